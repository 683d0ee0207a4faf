//! The only place where a refusal becomes a status code and a document.
//!
//! Every refusal is an `application/problem+json` document (RFC 9457). `type` is
//! an absolute address built from the host the caller used, so that it opens as
//! a page; before the request is known it is the relative `/problems/<slug>`.
pub mod code;
pub mod fault;
mod french;
mod from_access;
mod from_desk;
pub mod language;
pub mod page;
pub mod schema;

use std::fmt;

use actix_web::http::StatusCode;
use actix_web::http::header::{self, HeaderName, HeaderValue};
use actix_web::{HttpRequest, HttpResponse, ResponseError};
use serde_json::{Map, Value, json};

pub use self::code::Code;
pub use self::fault::{Fault, Place};
pub use self::french::french;
pub use self::language::{Language, Said};
use crate::api::trace::TraceId;

/// The media type of every refusal.
pub const PROBLEM_JSON: &str = "application/problem+json";

/// A refusal on its way out. Boxed, so that a `Result` stays small.
#[derive(Debug, Clone)]
pub struct Problem(Box<Refusal>);

#[derive(Debug, Clone)]
struct Refusal {
    code: Code,
    detail: Option<Said>,
    faults: Vec<Fault>,
    members: Map<String, Value>,
    headers: Vec<(HeaderName, HeaderValue)>,
    asked: Asked,
}

/// What of the request shows in the document.
#[derive(Debug, Clone, Default)]
struct Asked {
    language: Language,
    base: String,
    instance: Option<String>,
    trace_id: Option<String>,
}

impl Problem {
    /// A refusal for the reason `code`.
    pub fn new(code: Code) -> Self {
        Self(Box::new(Refusal {
            code,
            detail: None,
            faults: Vec::new(),
            members: Map::new(),
            headers: Vec::new(),
            asked: Asked::default(),
        }))
    }

    /// Logs `cause` once and answers 500; the cause never leaves the house.
    pub fn internal(cause: &(dyn std::error::Error + 'static)) -> Self {
        tracing::error!(error = cause, "the request failed inside");
        Self::new(Code::InternalFault)
    }

    /// Adds what is special to this occurrence, in both languages.
    #[must_use]
    pub fn detail(mut self, english: impl Into<String>, french: impl Into<String>) -> Self {
        self.0.detail = Some(Said::new(english, french));
        self
    }

    /// Adds a wrong place; the first one also serves as detail when there is none.
    #[must_use]
    pub fn fault(mut self, fault: Fault) -> Self {
        self.0.faults.push(fault);
        self
    }

    /// Adds a member of this problem's own, such as `allowed_actions` or `current`.
    #[must_use]
    pub fn member(mut self, name: &str, value: Value) -> Self {
        self.0.members.insert(name.to_owned(), value);
        self
    }

    /// Adds a response header. A value that is not a legal header is left out.
    #[must_use]
    pub fn header(mut self, name: HeaderName, value: &str) -> Self {
        if let Ok(value) = HeaderValue::from_str(value) {
            self.0.headers.push((name, value));
        }
        self
    }

    /// Says when to try again, as header and as member.
    #[must_use]
    pub fn retry_after_s(self, seconds: u64) -> Self {
        self.header(header::RETRY_AFTER, &seconds.to_string())
            .member("retry_after", json!(seconds))
    }

    /// The same refusal for a reason that says more.
    #[must_use]
    pub fn with_code(mut self, code: Code) -> Self {
        self.0.code = code;
        self
    }

    /// The reason.
    pub fn code(&self) -> Code {
        self.0.code
    }

    /// Fits the document to the request it answers: language, address, trace.
    #[must_use]
    pub fn answering(mut self, request: &HttpRequest) -> Self {
        let base = base_of(request);
        self.0.asked = Asked {
            language: Language::preferred(request.headers()),
            base,
            instance: Some(request.path().to_owned()),
            trace_id: Some(TraceId::of(request).to_string()),
        };
        self
    }

    fn document(&self) -> Value {
        let refusal = &*self.0;
        let entry = refusal.code.entry();
        let language = refusal.asked.language;
        let mut document = Map::new();
        let mut put = |name: &str, value: Value| {
            document.insert(name.to_owned(), value);
        };
        put(
            "type",
            json!(format!("{}/problems/{}", refusal.asked.base, refusal.code.slug())),
        );
        put("title", json!(language.of(entry.title)));
        put("status", json!(entry.status));
        put("code", json!(entry.code));
        let detail = refusal
            .detail
            .as_ref()
            .or_else(|| refusal.faults.first().map(Fault::detail));
        put(
            "detail",
            json!(detail.map_or(language.of(entry.explanation), |said| said.in_language(language))),
        );
        if let Some(instance) = &refusal.asked.instance {
            put("instance", json!(instance));
        }
        if let Some(trace_id) = &refusal.asked.trace_id {
            put("trace_id", json!(trace_id));
        }
        if !refusal.faults.is_empty() {
            put(
                "errors",
                refusal
                    .faults
                    .iter()
                    .map(|fault| fault.to_json(language))
                    .collect(),
            );
        }
        for (name, value) in &refusal.members {
            let mut value = value.clone();
            if language == Language::French {
                french_of_actions(name, &mut value);
            }
            put(name, value);
        }
        Value::Object(document)
    }
}

/// Says in French why actions are not allowed, wherever a list of them stands in a problem's own members.
fn french_of_actions(name: &str, value: &mut Value) {
    match value {
        Value::Array(actions) if name == "allowed_actions" => {
            for sentence in actions
                .iter_mut()
                .filter_map(|one| one.pointer_mut("/why/sentence"))
            {
                if let Some(french) = sentence.as_str().and_then(french) {
                    *sentence = json!(french);
                }
            }
        }
        Value::Object(members) => {
            for (name, inner) in members {
                french_of_actions(name, inner);
            }
        }
        _ => {}
    }
}

/// `http(s)://host` as the caller wrote it; empty when that is no plain host.
fn base_of(request: &HttpRequest) -> String {
    let connection = request.connection_info();
    let host = connection.host();
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b".:-[]_".contains(&byte);
    if host.is_empty() || !host.bytes().all(plain) {
        return String::new();
    }
    let scheme = if connection.scheme() == "https" {
        "https"
    } else {
        "http"
    };
    format!("{scheme}://{host}")
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let entry = self.0.code.entry();
        let detail = self
            .0
            .detail
            .as_ref()
            .map_or(entry.title[0], |said| said.english.as_str());
        write!(f, "{}: {detail}", entry.code)
    }
}

impl std::error::Error for Problem {}

impl ResponseError for Problem {
    fn status_code(&self) -> StatusCode {
        StatusCode::from_u16(self.0.code.entry().status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    fn error_response(&self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status_code());
        for (name, value) in &self.0.headers {
            response.append_header((name.clone(), value.clone()));
        }
        response
            .content_type(PROBLEM_JSON)
            .insert_header((header::CONTENT_LANGUAGE, self.0.asked.language.tag()))
            .insert_header((header::VARY, "Accept-Language"))
            .insert_header((header::CACHE_CONTROL, "no-store"))
            .body(self.document().to_string())
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[test]
    fn a_problem_carries_the_members_of_the_standard_and_its_own() {
        let request = TestRequest::get()
            .uri("/v1/jobs/job_1")
            .insert_header(("Host", "desk.example"))
            .insert_header(("Accept-Language", "fr"))
            .to_http_request();
        let fault = Fault::at(
            Place::Body("/spec/mains/tension".to_owned()),
            "unit_suspect",
            Said::new("Did you mean lb?", "Vouliez-vous dire lb ?"),
        )
        .suggest(json!({"value": "52", "unit": "lb"}));
        let problem = Problem::new(Code::TensionOutOfRange)
            .fault(fault)
            .member("override", json!({"allowed": true}))
            .answering(&request);
        let document = problem.document();
        assert_eq!(
            document["type"],
            "http://desk.example/problems/tension-out-of-range"
        );
        assert_eq!(document["status"], 422);
        assert_eq!(document["code"], "tension_out_of_range");
        assert_eq!(document["title"], "La tension sort de la plage de ce cadre");
        assert_eq!(document["detail"], "Vouliez-vous dire lb ?");
        assert_eq!(document["instance"], "/v1/jobs/job_1");
        assert_eq!(document["errors"][0]["pointer"], "/spec/mains/tension");
        assert_eq!(document["errors"][0]["suggestion"]["unit"], "lb");
        assert_eq!(document["override"]["allowed"], true);
        assert_eq!(document["trace_id"].as_str().unwrap().len(), 32);
    }

    #[test]
    fn a_host_that_is_not_one_gives_a_relative_address() {
        let request = TestRequest::get()
            .insert_header(("Host", "a\"b"))
            .to_http_request();
        let document = Problem::new(Code::NotFound).answering(&request).document();
        assert_eq!(document["type"], "/problems/not-found");
    }

    #[test]
    fn waiting_times_stand_in_the_header_and_in_the_document() {
        let problem = Problem::new(Code::TooManyTries).retry_after_s(7);
        assert_eq!(
            problem.error_response().headers().get("Retry-After").unwrap(),
            "7"
        );
        assert_eq!(problem.document()["retry_after"], 7);
    }
}
