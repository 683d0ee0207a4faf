//! The trace a request belongs to (W3C Trace Context), in logs and in problems.
use std::fmt;

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::{HttpMessage, HttpRequest};
use tracing::Span;
use tracing_actix_web::RootSpanBuilder;

/// 16 bytes that name a trace; shown as 32 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TraceId(u128);

impl TraceId {
    /// The trace of `request`: its `traceparent`, else a fresh one kept with the request.
    pub fn of(request: &HttpRequest) -> Self {
        if let Some(known) = request.extensions().get::<Self>() {
            return *known;
        }
        let found = request
            .headers()
            .get("traceparent")
            .and_then(|line| Self::parse(line.to_str().ok()?));
        let trace = found.unwrap_or_else(Self::fresh);
        request.extensions_mut().insert(trace);
        trace
    }

    fn fresh() -> Self {
        // a machine without randomness still serves; the trace is then merely unnamed
        Self(getrandom_u128().unwrap_or(1))
    }

    /// Reads `version-trace-parent-flags`; all-zero ids are invalid by the standard.
    fn parse(line: &str) -> Option<Self> {
        let mut parts = line.split('-');
        let (version, trace, parent) = (parts.next()?, parts.next()?, parts.next()?);
        let lower_hex = |text: &str| text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        let fits = version.len() == 2 && version != "ff" && trace.len() == 32 && parent.len() == 16;
        if !fits || !lower_hex(version) || !lower_hex(trace) || !lower_hex(parent) {
            return None;
        }
        let trace = u128::from_str_radix(trace, 16).ok()?;
        let parent = u64::from_str_radix(parent, 16).ok()?;
        (trace != 0 && parent != 0).then_some(Self(trace))
    }

    /// The `traceparent` we answer with: the same trace, a span of our own.
    pub fn traceparent(self) -> String {
        let span = getrandom::u64().unwrap_or(1).max(1);
        format!("00-{self}-{span:016x}-01")
    }
}

fn getrandom_u128() -> Option<u128> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).ok()?;
    Some(u128::from_be_bytes(bytes).max(1))
}

impl fmt::Display for TraceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

/// One span per request. It names the route, never the address: addresses can
/// carry a player's link, a search for a name or a stream ticket.
#[derive(Debug)]
pub struct RequestSpan;

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        let route = request.match_pattern();
        tracing::info_span!(
            "request",
            http.method = %request.method(),
            http.route = route.as_deref().unwrap_or("unmatched"),
            http.status_code = tracing::field::Empty,
            trace_id = %TraceId::of(request.request()),
        )
    }

    fn on_request_end<B: MessageBody>(span: Span, outcome: &Result<ServiceResponse<B>, actix_web::Error>) {
        let status = match outcome {
            Ok(response) => response.status(),
            Err(error) => error.as_response_error().status_code(),
        };
        span.record("http.status_code", status.as_u16());
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    /// The header of the example in W3C Trace Context, section 3.2.4.
    #[test]
    fn the_callers_trace_is_taken_over() {
        let line = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";
        let request = TestRequest::get()
            .insert_header(("traceparent", line))
            .to_http_request();
        assert_eq!(
            TraceId::of(&request).to_string(),
            "4bf92f3577b34da6a3ce929d0e0e4736"
        );
    }

    #[test]
    fn a_wrong_header_is_ignored_and_the_fresh_trace_stays_the_same() {
        for line in [
            "00-00000000000000000000000000000000-00f067aa0ba902b7-01",
            "00-4bf92f3577b34da6a3ce929d0e0e4736-0000000000000000-01",
            "00-4BF92F3577B34DA6A3CE929D0E0E4736-00f067aa0ba902b7-01",
            "ff-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01",
            "nonsense",
        ] {
            assert_eq!(TraceId::parse(line), None, "{line}");
        }
        let request = TestRequest::get().to_http_request();
        assert_eq!(TraceId::of(&request), TraceId::of(&request));
    }
}
