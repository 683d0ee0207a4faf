//! Safe repeats: the `Idempotency-Key` header and the fingerprint of a request.
//!
//! The key and the answer are stored in the transaction of the effect; here they
//! are only read and compared.
use actix_web::HttpRequest;
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::problem::{Code, Fault, Place, Problem, Said};

const HEADER: &str = "Idempotency-Key";

/// How operations that need the key declare it in the API document.
#[derive(Debug, utoipa::IntoParams)]
#[into_params(parameter_in = Header)]
pub struct IdempotencyHeader {
    /// Names this request, so that a repeat is answered like the first and does nothing twice.
    #[param(
        rename = "Idempotency-Key",
        min_length = 1,
        max_length = 257,
        example = "\"8e03978e-40d5-43dd-bc93-6894a57f9324\""
    )]
    pub key: String,
}

/// A key chosen by the caller: 1 to 255 visible ASCII characters.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct IdempotencyKey(String);

impl IdempotencyKey {
    /// Reads the header, a quoted string (RFC 8941, 3.3.3) or the bare value.
    ///
    /// # Errors
    /// 400 when it is missing, repeated or malformed.
    pub fn of(request: &HttpRequest) -> Result<Self, Problem> {
        let mut lines = request.headers().get_all(HEADER);
        let Some(line) = lines.next() else {
            return Err(Problem::new(Code::IdempotencyKeyMissing));
        };
        let key = line
            .to_str()
            .ok()
            .filter(|_| lines.next().is_none())
            .and_then(Self::parse);
        key.ok_or_else(|| {
            let said = Said::new(
                "Give one key of 1 to 255 visible ASCII characters.",
                "Donnez une seule clé de 1 à 255 caractères ASCII visibles.",
            );
            Problem::new(Code::IdempotencyKeyMalformed).fault(Fault::at(
                Place::Header(HEADER.to_owned()),
                "malformed_header",
                said,
            ))
        })
    }

    /// Parses the header's value; also used for the hidden field of pages.
    pub fn parse(line: &str) -> Option<Self> {
        let line = line.trim();
        let key = match line.strip_prefix('"') {
            Some(rest) => unquoted(rest)?,
            None => line.to_owned(),
        };
        let visible = key.bytes().all(|byte| byte.is_ascii_graphic());
        ((1..=255).contains(&key.len()) && visible).then_some(Self(key))
    }

    /// The key itself.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// The inside of a quoted string whose first quote is gone already.
fn unquoted(rest: &str) -> Option<String> {
    let mut inside = String::new();
    let mut letters = rest.chars();
    loop {
        match letters.next()? {
            '"' => return letters.next().is_none().then_some(inside),
            '\\' => inside.push(letters.next().filter(|escaped| matches!(escaped, '"' | '\\'))?),
            letter => inside.push(letter),
        }
    }
}

/// What makes two requests the same: method, path, query and the body's meaning.
///
/// Members are sorted and spaces dropped, so that a client which writes its JSON
/// anew still repeats itself. 64 hexadecimal digits (SHA-256).
pub fn fingerprint(request: &HttpRequest, body: &[u8]) -> String {
    let mut hash = Sha256::new();
    for part in [request.method().as_str(), request.path(), request.query_string()] {
        hash.update(part.as_bytes());
        hash.update(b"\n");
    }
    match serde_json::from_slice::<Value>(body) {
        Ok(value) => {
            let mut text = String::new();
            write_sorted(&value, &mut text);
            hash.update(text.as_bytes());
        }
        Err(_) => hash.update(body),
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

fn write_sorted(value: &Value, text: &mut String) {
    match value {
        Value::Object(members) => {
            let mut names: Vec<&String> = members.keys().collect();
            names.sort_unstable();
            text.push('{');
            for name in names {
                text.push_str(&Value::from(name.as_str()).to_string());
                text.push(':');
                write_sorted(&members[name], text);
                text.push(',');
            }
            text.push('}');
        }
        Value::Array(items) => {
            text.push('[');
            for item in items {
                write_sorted(item, text);
                text.push(',');
            }
            text.push(']');
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {
            text.push_str(&value.to_string())
        }
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[test]
    fn quoted_and_bare_keys_are_the_same_key() {
        let key = |line| IdempotencyKey::parse(line).map(|key| key.0);
        assert_eq!(key("\"8e03978e-40d5\""), key("8e03978e-40d5"));
        assert_eq!(key("\"a\\\"b\""), Some("a\"b".to_owned()));
        for line in ["", "\"\"", "\"open", "\"a\"b", "\"a\\n\"", "two words", "clé"] {
            assert_eq!(key(line), None, "{line}");
        }
        assert_eq!(key(&"k".repeat(256)), None);
    }

    #[test]
    fn a_missing_key_is_told_from_a_malformed_one() {
        let code = |request: TestRequest| IdempotencyKey::of(&request.to_http_request()).unwrap_err().code();
        assert_eq!(code(TestRequest::post()), Code::IdempotencyKeyMissing);
        assert_eq!(
            code(TestRequest::post().insert_header((HEADER, "\"\""))),
            Code::IdempotencyKeyMalformed
        );
        let twice = TestRequest::post()
            .append_header((HEADER, "a"))
            .append_header((HEADER, "b"));
        assert_eq!(code(twice), Code::IdempotencyKeyMalformed);
    }

    #[test]
    fn a_fingerprint_follows_the_meaning_not_the_spelling() {
        let of = |path: &str, body: &str| {
            fingerprint(&TestRequest::post().uri(path).to_http_request(), body.as_bytes())
        };
        let first = of("/v1/jobs", r#"{"a":1,"b":[{"c":2,"d":3}]}"#);
        assert_eq!(first, of("/v1/jobs", "{ \"b\": [{\"d\":3,\"c\":2}], \"a\": 1 }"));
        assert_ne!(first, of("/v1/jobs", r#"{"a":1,"b":[{"c":2,"d":4}]}"#));
        assert_ne!(first, of("/v1/pickups", r#"{"a":1,"b":[{"c":2,"d":3}]}"#));
        assert_ne!(of("/v1/jobs", r#"["a","b"]"#), of("/v1/jobs", r#"["a,b"]"#));
    }
}
