//! Media types: what the caller sends and what the caller accepts.
use actix_web::HttpRequest;
use actix_web::http::header::{self, HeaderMap};

use crate::api::problem::{Code, Problem};

/// Refuses a body of another media type than `expected`.
///
/// # Errors
/// 415, naming what came and what is taken.
pub fn require_content_type(request: &HttpRequest, expected: &str) -> Result<(), Problem> {
    let line = request
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|line| line.to_str().ok())
        .unwrap_or("");
    let (essence, parameters) = line.split_once(';').unwrap_or((line, ""));
    let charset = parameters
        .split(';')
        .filter_map(|parameter| parameter.trim().split_once('='))
        .find(|(name, _)| name.eq_ignore_ascii_case("charset"));
    let utf8 = charset.is_none_or(|(_, value)| value.trim_matches('"').eq_ignore_ascii_case("utf-8"));
    if essence.trim().eq_ignore_ascii_case(expected) && utf8 {
        return Ok(());
    }
    let came = if line.is_empty() { "nothing" } else { line };
    Err(Problem::new(Code::UnsupportedMediaType)
        .detail(
            format!("Content-Type is {came}; send {expected} in UTF-8."),
            format!("Content-Type vaut {came} ; envoyez {expected} en UTF-8."),
        )
        .header(
            if expected.contains("merge-patch") {
                ACCEPT_PATCH
            } else {
                header::ACCEPT
            },
            expected,
        ))
}

const ACCEPT_PATCH: header::HeaderName = header::HeaderName::from_static("accept-patch");

/// Does `Accept` admit `offered` (RFC 9110, 12.5.1)? No header admits all.
pub fn accepts(headers: &HeaderMap, offered: &str) -> bool {
    let offered = offered.split(';').next().unwrap_or_default().trim();
    let major = offered.split('/').next().unwrap_or_default();
    let mut best: Option<(u8, bool)> = None;
    let mut any = false;
    let lines = headers
        .get_all(header::ACCEPT)
        .filter_map(|line| line.to_str().ok());
    for range in lines
        .flat_map(|line| line.split(','))
        .map(str::trim)
        .filter(|range| !range.is_empty())
    {
        any = true;
        let mut parts = range.split(';').map(str::trim);
        let name = parts.next().unwrap_or_default();
        let refused = parts
            .filter_map(|part| part.strip_prefix("q="))
            .any(|q| q.parse::<f32>().is_ok_and(|weight| weight <= 0.0));
        let precision = if name.eq_ignore_ascii_case(offered) {
            3
        } else if name
            .strip_suffix("/*")
            .is_some_and(|range_major| range_major.eq_ignore_ascii_case(major))
        {
            2
        } else if name == "*/*" {
            1
        } else {
            continue;
        };
        // the most precise range decides, even when a wider one says otherwise
        if best.is_none_or(|(known, _)| precision > known) {
            best = Some((precision, !refused));
        }
    }
    !any || best.is_some_and(|(_, admitted)| admitted)
}

/// The refusal when nothing offered is accepted.
pub fn not_acceptable(offered: &str) -> Problem {
    Problem::new(Code::NotAcceptable).detail(
        format!("This address answers with {offered}."),
        format!("Cette adresse répond en {offered}."),
    )
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[track_caller]
    fn check_accept(line: &str, expected: bool) {
        let request = TestRequest::get()
            .insert_header(("Accept", line))
            .to_http_request();
        assert_eq!(
            accepts(request.headers(), "application/json; charset=utf-8"),
            expected,
            "{line}"
        );
    }

    #[test]
    fn accept_is_read_by_precision() {
        check_accept("application/json", true);
        check_accept("text/html, application/*;q=0.1", true);
        check_accept("*/*", true);
        check_accept("text/html", false);
        check_accept("*/*, application/json;q=0", false);
        assert!(accepts(&HeaderMap::new(), "application/json"));
    }

    #[track_caller]
    fn check_content_type(line: &str, expected: bool) {
        let request = TestRequest::post()
            .insert_header(("Content-Type", line))
            .to_http_request();
        assert_eq!(
            require_content_type(&request, "application/json").is_ok(),
            expected,
            "{line}"
        );
    }

    #[test]
    fn only_the_expected_type_in_utf8_is_taken() {
        check_content_type("application/json", true);
        check_content_type("Application/JSON; charset=\"UTF-8\"", true);
        check_content_type("application/json; charset=iso-8859-1", false);
        check_content_type("text/plain", false);
        check_content_type("application/merge-patch+json", false);
        assert!(require_content_type(&TestRequest::post().to_http_request(), "application/json").is_err());
    }
}
