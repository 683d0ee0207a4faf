//! Conditional requests (RFC 9110, 8.8.3 and 13): nobody's change is lost.
use actix_web::http::header::{
    self, ETag, EntityTag, Header, HeaderName, HeaderValue, IfMatch, IfNoneMatch, TryIntoHeaderPair,
};
use actix_web::{HttpRequest, HttpResponse};
use serde::Serialize;
use serde_json::json;

use super::problem::{Code, Fault, Place, Problem, Said};

/// How operations that change something declare the version they need.
#[derive(Debug, utoipa::IntoParams)]
#[into_params(parameter_in = Header)]
pub struct IfMatchHeader {
    /// The `ETag` of the representation the change was made from.
    #[param(rename = "If-Match", example = "\"3\"")]
    pub version: String,
}

/// How reads of single things declare that they can be told what is known.
#[derive(Debug, utoipa::IntoParams)]
#[into_params(parameter_in = Header)]
pub struct IfNoneMatchHeader {
    /// An `ETag` the caller holds; 304 when it is still current.
    #[param(rename = "If-None-Match", example = "\"3\"")]
    pub known: Option<String>,
}

/// The strong entity tag of a version.
pub fn etag(version: i64) -> EntityTag {
    EntityTag::new_strong(version.to_string())
}

/// The `ETag` header of a version, for `insert_header`.
pub fn etag_header(version: i64) -> ETag {
    ETag(etag(version))
}

/// Requires `If-Match` and that it names `version`; `current` is shown when it does not.
///
/// # Errors
/// 428 without the header, 400 when it cannot be read, 412 when it is stale.
pub fn require_match<T: Serialize>(request: &HttpRequest, version: i64, current: &T) -> Result<(), Problem> {
    if !request.headers().contains_key(header::IF_MATCH) {
        return Err(Problem::new(Code::VersionRequired).fault(Fault::at(
            Place::Header("If-Match".to_owned()),
            "missing_header",
            Said::new(
                "Send If-Match with the ETag you read.",
                "Envoyez If-Match avec l’ETag que vous avez lu.",
            ),
        )));
    }
    let Ok(asked) = IfMatch::parse(request) else {
        return Err(unreadable("If-Match"));
    };
    let hit = match asked {
        IfMatch::Any => true,
        // the parser leaves out what is no tag; with nothing left the header was malformed
        IfMatch::Items(tags) if tags.is_empty() => return Err(unreadable("If-Match")),
        IfMatch::Items(tags) => tags.iter().any(|tag| tag.strong_eq(&etag(version))),
    };
    if hit { Ok(()) } else { Err(stale(version, current)) }
}

/// The refusal of a stale version, with the current representation and its tag.
pub fn stale<T: Serialize>(version: i64, current: &T) -> Problem {
    Problem::new(Code::StaleVersion)
        .member("current", json!(current))
        .header(header::ETAG, &etag(version).to_string())
}

/// Answers 304 when the caller holds `version` already, else 200 with `body`.
///
/// # Errors
/// 400 when `If-None-Match` cannot be read.
pub fn unless_known<T: Serialize>(
    request: &HttpRequest,
    version: i64,
    body: &T,
) -> Result<HttpResponse, Problem> {
    let known = match if_none_match(request)? {
        Some(IfNoneMatch::Any) => true,
        Some(IfNoneMatch::Items(tags)) => tags.iter().any(|tag| tag.weak_eq(&etag(version))),
        None => false,
    };
    let mut answer = if known {
        HttpResponse::NotModified()
    } else {
        HttpResponse::Ok()
    };
    answer
        .insert_header(etag_header(version))
        .insert_header(private());
    Ok(if known { answer.finish() } else { answer.json(body) })
}

/// Does the caller ask to create only (`If-None-Match: *`)?
///
/// # Errors
/// 400 when the header cannot be read.
pub fn create_only(request: &HttpRequest) -> Result<bool, Problem> {
    Ok(matches!(if_none_match(request)?, Some(IfNoneMatch::Any)))
}

fn if_none_match(request: &HttpRequest) -> Result<Option<IfNoneMatch>, Problem> {
    if !request.headers().contains_key(header::IF_NONE_MATCH) {
        return Ok(None);
    }
    match IfNoneMatch::parse(request) {
        Ok(IfNoneMatch::Items(tags)) if tags.is_empty() => Err(unreadable("If-None-Match")),
        Ok(tags) => Ok(Some(tags)),
        Err(_) => Err(unreadable("If-None-Match")),
    }
}

/// Keep it, but ask each time whether it still holds.
fn private() -> impl TryIntoHeaderPair {
    (header::CACHE_CONTROL, "private, no-cache")
}

fn unreadable(name: &str) -> Problem {
    Problem::new(Code::MalformedRequest).fault(Fault::at(
        Place::Header(name.to_owned()),
        "malformed_header",
        Said::new(
            format!("{name} is not a list of quoted entity tags, such as \"3\"."),
            format!("{name} n’est pas une liste d’étiquettes entre guillemets, comme \"3\"."),
        ),
    ))
}

/// Marks an answer that was given before to the same idempotency key.
pub const REPLAYED: (HeaderName, HeaderValue) = (
    HeaderName::from_static("idempotency-replayed"),
    HeaderValue::from_static("true"),
);

#[cfg(test)]
mod tests {
    use actix_web::ResponseError;
    use actix_web::test::TestRequest;

    use super::*;

    fn change(if_match: Option<&str>) -> Result<(), Problem> {
        let mut request = TestRequest::patch();
        if let Some(line) = if_match {
            request = request.insert_header(("If-Match", line));
        }
        require_match(&request.to_http_request(), 3, &json!({"id": "job_1"}))
    }

    #[test]
    fn a_change_needs_the_version_it_was_made_from() {
        let code = |line| change(line).unwrap_err().code();
        assert_eq!(code(None), Code::VersionRequired);
        assert_eq!(code(Some("\"2\"")), Code::StaleVersion);
        assert_eq!(code(Some("W/\"3\"")), Code::StaleVersion);
        assert_eq!(code(Some("3")), Code::MalformedRequest);
        assert!(change(Some("\"3\"")).is_ok());
        assert!(change(Some("\"2\", \"3\"")).is_ok());
        assert!(change(Some("*")).is_ok());
        let answer = change(Some("\"2\"")).unwrap_err().error_response();
        assert_eq!(answer.headers().get("ETag").unwrap(), "\"3\"");
    }

    #[test]
    fn what_the_caller_holds_is_not_sent_again() {
        let status = |line: &str| {
            let request = TestRequest::get()
                .insert_header(("If-None-Match", line))
                .to_http_request();
            unless_known(&request, 3, &"body").unwrap().status().as_u16()
        };
        assert_eq!(
            (status("\"3\""), status("W/\"3\""), status("*"), status("\"2\"")),
            (304, 304, 304, 200)
        );
        let fresh = unless_known(&TestRequest::get().to_http_request(), 3, &"body").unwrap();
        assert_eq!(fresh.headers().get("ETag").unwrap(), "\"3\"");
    }
}
