//! The last word on every answer: problems fitted to their request, HEAD,
//! `Accept`, the trace. Wrapped around the whole application.
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{self, HeaderName, HeaderValue};
use actix_web::http::{Method, StatusCode};
use actix_web::middleware::Next;
use actix_web::{Error, HttpRequest, HttpResponse};
use bytes::Bytes;

use super::problem::{Code, Problem};
use super::request::media;
use super::trace::TraceId;

const TRACEPARENT: HeaderName = HeaderName::from_static("traceparent");

/// Finishes an answer; use with `middleware::from_fn`.
///
/// # Errors
/// Only those of other middleware; refusals of handlers leave as answers.
pub async fn finish(
    mut incoming: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let head = incoming.method() == Method::HEAD;
    if head {
        // HEAD is GET without the body, so no handler needs to know it
        incoming.head_mut().method = Method::GET;
    }
    if incoming.path().contains("%00") {
        // no id holds U+0000, and a database may stumble over it
        let request = incoming.request().clone();
        let refused = HttpResponse::from_error(Problem::new(Code::NotFound).answering(&request));
        return Ok(signed(incoming.into_response(refused)));
    }
    if changes_something(incoming.method())
        && incoming.path().starts_with("/v1")
        && !media::accepts(incoming.headers(), "application/json")
    {
        let request = incoming.request().clone();
        let refused = HttpResponse::from_error(media::not_acceptable("application/json").answering(&request));
        return Ok(signed(incoming.into_response(refused)));
    }
    let answer = next.call(incoming).await?.map_into_boxed_body();
    let answer = as_problem(refuse_unaccepted(answer));
    let answer = if head {
        answer.map_body(|_, body| BoxBody::new(Bodiless(body.size())))
    } else {
        answer
    };
    Ok(signed(answer))
}

fn changes_something(method: &Method) -> bool {
    !method.is_safe()
}

/// Puts the trace on the answer, and what caches may do with it.
fn signed(mut answer: ServiceResponse<BoxBody>) -> ServiceResponse<BoxBody> {
    if let Ok(line) = HeaderValue::from_str(&TraceId::of(answer.request()).traceparent()) {
        answer.headers_mut().insert(TRACEPARENT, line);
    }
    if answer.request().path().starts_with("/v1") && !answer.headers().contains_key(header::CACHE_CONTROL) {
        // specs are confidential: what does not say otherwise is kept nowhere
        answer
            .headers_mut()
            .insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    answer
}

/// 406 when a successful read has a form the caller does not accept.
fn refuse_unaccepted(answer: ServiceResponse<BoxBody>) -> ServiceResponse<BoxBody> {
    let request = answer.request();
    if answer.status() != StatusCode::OK || !request.path().starts_with("/v1") || !request.method().is_safe()
    {
        return answer;
    }
    let offered = answer
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|line| line.to_str().ok());
    let Some(offered) = offered.filter(|offered| !media::accepts(request.headers(), offered)) else {
        return answer;
    };
    let refused = HttpResponse::from_error(media::not_acceptable(offered));
    answer.into_response(refused)
}

/// Fits our problems to their request and turns the framework's own refusals,
/// which are plain text, into problems.
fn as_problem(answer: ServiceResponse<BoxBody>) -> ServiceResponse<BoxBody> {
    let Some(error) = answer.response().error() else {
        return answer;
    };
    let problem = match error.as_error::<Problem>() {
        Some(problem) => problem.clone(),
        None if is_plain(&answer) => stand_in(answer.status(), error),
        None => return answer,
    };
    let fitted = HttpResponse::from_error(problem.answering(answer.request()));
    answer.into_response(fitted)
}

fn is_plain(answer: &ServiceResponse<BoxBody>) -> bool {
    let kind = answer
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|line| line.to_str().ok());
    kind.is_none_or(|kind| kind.starts_with("text/plain"))
}

/// The problem that stands for a refusal of the framework.
fn stand_in(status: StatusCode, error: &Error) -> Problem {
    match status {
        StatusCode::NOT_FOUND => Problem::new(Code::NotFound),
        StatusCode::METHOD_NOT_ALLOWED => Problem::new(Code::MethodNotAllowed),
        StatusCode::PAYLOAD_TOO_LARGE => Problem::new(Code::BodyTooLarge),
        StatusCode::UNSUPPORTED_MEDIA_TYPE => Problem::new(Code::UnsupportedMediaType),
        status if status.is_client_error() => {
            // the framework speaks English alone: in French the code's own words have to do
            let french = Code::MalformedRequest.entry().explanation[1];
            Problem::new(Code::MalformedRequest).detail(format!("{error}."), french)
        }
        _ => {
            tracing::error!(error = %error, "the request failed inside");
            Problem::new(Code::InternalFault)
        }
    }
}

/// The body of an answer to HEAD: its size is told, nothing is sent.
struct Bodiless(BodySize);

impl MessageBody for Bodiless {
    type Error = std::convert::Infallible;
    fn size(&self) -> BodySize {
        self.0
    }
    fn poll_next(
        self: std::pin::Pin<&mut Self>,
        _: &mut std::task::Context<'_>,
    ) -> std::task::Poll<Option<Result<Bytes, Self::Error>>> {
        std::task::Poll::Ready(None)
    }
}

/// Refuses a path whose variables cannot be read: nothing is at that address.
pub fn path_config() -> actix_web::web::PathConfig {
    actix_web::web::PathConfig::default()
        .error_handler(|_, _: &HttpRequest| Problem::new(Code::NotFound).into())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use actix_web::middleware::from_fn;
    use actix_web::{App, get, post, test, web};
    use serde_json::Value;
    use utoipa_actix_web::AppExt;

    use super::*;
    use crate::api::request::fallback::{RouteTable, fallback};
    use crate::api::request::json::StrictJson;

    #[utoipa::path(responses((status = 200)))]
    #[get("/v1/rackets/{number}")]
    async fn read(number: web::Path<u32>) -> HttpResponse {
        HttpResponse::Ok().json(serde_json::json!({ "number": *number }))
    }

    #[utoipa::path(responses((status = 200)))]
    #[post("/v1/rackets/{number}")]
    async fn write(body: StrictJson<BTreeMap<String, u32>>) -> HttpResponse {
        HttpResponse::Ok().json(body.into_inner())
    }

    /// Sends one request through the whole stack; gives status, headers, document.
    async fn ask(request: test::TestRequest) -> (u16, header::HeaderMap, Value) {
        let (app, document) = App::new()
            .into_utoipa_app()
            .service(read)
            .service(write)
            .split_for_parts();
        let app = app
            .app_data(path_config())
            .app_data(web::Data::new(RouteTable::from_document(&document)))
            .route(
                "/v1/plain",
                web::get().to(|| async { Err::<HttpResponse, _>(actix_web::error::ErrorBadGateway("x")) }),
            )
            .default_service(web::to(fallback))
            .wrap(from_fn(finish));
        let app = test::init_service(app).await;
        let answer = test::call_service(&app, request.to_request()).await;
        let (status, headers) = (answer.status().as_u16(), answer.headers().clone());
        let body = test::read_body(answer).await;
        (status, headers, serde_json::from_slice(&body).unwrap_or_default())
    }

    #[actix_web::test]
    async fn whatever_is_refused_is_a_problem_with_a_trace() {
        for (request, status, code) in [
            (test::TestRequest::get().uri("/nowhere"), 404, "not_found"),
            (test::TestRequest::get().uri("/v1/rackets/%00"), 404, "not_found"),
            (
                test::TestRequest::get().uri("/v1/rackets/seven"),
                404,
                "not_found",
            ),
            (
                test::TestRequest::delete().uri("/v1/rackets/7"),
                405,
                "method_not_allowed",
            ),
            (
                test::TestRequest::get()
                    .uri("/v1/rackets/7")
                    .insert_header(("Accept", "text/html")),
                406,
                "not_acceptable",
            ),
            (
                test::TestRequest::post()
                    .uri("/v1/rackets/7")
                    .insert_header(("Accept", "text/html")),
                406,
                "not_acceptable",
            ),
            (
                test::TestRequest::post().uri("/v1/rackets/7").set_payload("[]"),
                415,
                "unsupported_media_type",
            ),
            (
                test::TestRequest::post()
                    .uri("/v1/rackets/7")
                    .insert_header(header::ContentType::json())
                    .set_payload("["),
                400,
                "malformed_json",
            ),
            (
                test::TestRequest::post()
                    .uri("/v1/rackets/7")
                    .set_json(serde_json::json!({"a": "b"})),
                422,
                "invalid_body",
            ),
            (
                test::TestRequest::post()
                    .uri("/v1/rackets/7")
                    .insert_header(header::ContentType::json())
                    .set_payload(vec![b' '; 1024 * 1024 + 1]),
                413,
                "body_too_large",
            ),
            (test::TestRequest::get().uri("/v1/plain"), 500, "internal_fault"),
        ] {
            let (got, headers, document) = ask(request.insert_header(("Accept-Language", "fr"))).await;
            assert_eq!((got, document["code"].as_str().unwrap()), (status, code));
            assert_eq!(headers.get("content-type").unwrap(), "application/problem+json");
            assert_eq!(headers.get("content-language").unwrap(), "fr");
            let trace = document["trace_id"].as_str().unwrap();
            assert!(
                headers
                    .get("traceparent")
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .contains(trace)
            );
        }
    }

    #[actix_web::test]
    async fn allow_names_the_methods_of_the_address() {
        let (_, headers, _) = ask(test::TestRequest::delete().uri("/v1/rackets/7")).await;
        assert_eq!(headers.get("allow").unwrap(), "GET, HEAD, POST, OPTIONS");
        let options = test::TestRequest::default()
            .method(Method::OPTIONS)
            .uri("/v1/rackets/7");
        let (status, headers, _) = ask(options).await;
        assert_eq!(
            (status, headers.get("allow").unwrap().to_str().unwrap()),
            (204, "GET, HEAD, POST, OPTIONS")
        );
    }

    #[actix_web::test]
    async fn head_has_the_status_and_no_body() {
        let head = |path| test::TestRequest::default().method(Method::HEAD).uri(path);
        let (status, headers, body) = ask(head("/v1/rackets/7")).await;
        assert_eq!((status, body), (200, Value::Null));
        assert_eq!(headers.get("content-type").unwrap(), "application/json");
        assert_eq!(headers.get("cache-control").unwrap(), "no-store");
        assert_eq!(ask(head("/nowhere")).await.0, 404);
    }
}
