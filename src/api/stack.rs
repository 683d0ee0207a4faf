//! The layers around the whole application, in the order they need.
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceFactory, ServiceRequest, ServiceResponse};
use actix_web::middleware::from_fn;
use actix_web::{App, Error};
use tracing_actix_web::TracingLogger;

use super::{answer, headers, metrics, trace};

/// Wraps `app` in all its layers.
///
/// From the inside out: the finish of answers, security headers (`secure` when
/// browsers come by https), metrics, the request's span. The span is outermost,
/// so that everything else is logged inside it.
pub fn wrap<T, B>(
    app: App<T>,
    secure: bool,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<impl MessageBody>,
        Error = Error,
        InitError = (),
    >,
>
where
    T: ServiceFactory<
            ServiceRequest,
            Config = (),
            Response = ServiceResponse<B>,
            Error = Error,
            InitError = (),
        > + 'static,
    B: MessageBody + 'static,
{
    app.wrap(from_fn(answer::finish))
        .wrap(headers::security(secure))
        .wrap(from_fn(metrics::measure))
        .wrap(TracingLogger::<trace::RequestSpan>::new())
}
