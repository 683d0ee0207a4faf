//! Metrics in the Prometheus text format: base units, `_total`, no ids in labels.
use std::sync::OnceLock;
use std::time::Instant;

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::middleware::Next;
use actix_web::{Error, HttpResponse, get};
use metrics_exporter_prometheus::{PrometheusBuilder, PrometheusHandle};

use super::problem::Problem;

/// Upper bounds in seconds; from a tap's paint (0.1 s) to what needs an end time (10 s).
const REQUEST_BUCKETS_S: &[f64] = &[
    0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.15, 0.25, 0.5, 1.0, 2.5, 10.0,
];

static HANDLE: OnceLock<Option<PrometheusHandle>> = OnceLock::new();

/// Starts collecting; once per process, later calls do nothing. `false` when
/// another recorder is in place.
pub fn install() -> bool {
    handle().is_some()
}

fn handle() -> Option<&'static PrometheusHandle> {
    let started = HANDLE.get_or_init(|| {
        let recorder = PrometheusBuilder::new()
            .set_buckets(REQUEST_BUCKETS_S)
            .ok()?
            .build_recorder();
        let handle = recorder.handle();
        metrics::set_global_recorder(recorder).ok()?;
        metrics::describe_histogram!(
            "http_request_duration_seconds",
            metrics::Unit::Seconds,
            "Time from a request's head to its answer's head"
        );
        metrics::gauge!("weftdesk_build_info", "version" => env!("CARGO_PKG_VERSION")).set(1.0);
        Some(handle)
    });
    started.as_ref()
}

/// Folds collected samples together; call it every few seconds, or they pile up
/// while nobody reads `/metrics`.
pub fn upkeep() {
    if let Some(handle) = handle() {
        handle.run_upkeep();
    }
}

/// Times every request by route; use with `middleware::from_fn`.
///
/// # Errors
/// Those of the request.
pub async fn measure<B: MessageBody>(
    request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<B>, Error> {
    let started = Instant::now();
    let method = method_label(request.method());
    let route = request.match_pattern().unwrap_or_else(|| "unmatched".to_owned());
    let outcome = next.call(request).await;
    let status = match &outcome {
        Ok(answer) => answer.status(),
        Err(error) => error.as_response_error().status_code(),
    };
    let labels = [
        ("route", route),
        ("method", method.to_owned()),
        ("status", status.as_str().to_owned()),
    ];
    metrics::histogram!("http_request_duration_seconds", &labels).record(started.elapsed().as_secs_f64());
    outcome
}

/// Known methods only: a caller must not be able to invent label values.
fn method_label(method: &Method) -> &'static str {
    match *method {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        Method::PUT => "PUT",
        Method::PATCH => "PATCH",
        Method::DELETE => "DELETE",
        Method::OPTIONS => "OPTIONS",
        _ => "other",
    }
}

/// Figures for a Prometheus server.
#[utoipa::path(
    tag = "about",
    responses((status = 200, description = "The figures.", content_type = "text/plain", body = String))
)]
#[get("/metrics")]
pub(crate) async fn metrics_page() -> Result<HttpResponse, Problem> {
    let Some(handle) = handle() else {
        return Err(Problem::internal(&std::io::Error::other(
            "another metrics recorder is in place",
        )));
    };
    handle.run_upkeep();
    Ok(HttpResponse::Ok()
        .content_type("text/plain; version=0.0.4; charset=utf-8")
        .body(handle.render()))
}

#[cfg(test)]
mod tests {
    use actix_web::middleware::from_fn;
    use actix_web::{App, test, web};

    use super::*;

    #[actix_web::test]
    async fn requests_are_counted_in_buckets_by_route_not_by_address() {
        assert!(install() && install());
        let app = App::new()
            .service(metrics_page)
            .route("/counted/{id}", web::get().to(HttpResponse::NoContent))
            .wrap(from_fn(measure));
        let app = test::init_service(app).await;
        for path in ["/counted/job_1", "/counted/job_2", "/elsewhere"] {
            test::call_service(&app, test::TestRequest::get().uri(path).to_request()).await;
        }
        let text =
            test::call_and_read_body(&app, test::TestRequest::get().uri("/metrics").to_request()).await;
        let text = String::from_utf8_lossy(&text).into_owned();
        let labels = "route=\"/counted/{id}\",method=\"GET\",status=\"204\"";
        assert!(
            text.contains(&format!("http_request_duration_seconds_count{{{labels}}} 2")),
            "{text}"
        );
        assert!(
            text.contains(&format!(
                "http_request_duration_seconds_bucket{{{labels},le=\"10\"}} 2"
            )),
            "{text}"
        );
        assert!(text.contains("route=\"unmatched\""));
        assert!(!text.contains("job_1") && !text.contains("quantile"));
    }
}
