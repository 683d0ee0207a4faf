//! JSON bodies: read whole, parsed strictly, refused with a pointer.
use std::ops::Deref;

use actix_web::dev::Payload;
use actix_web::http::header;
use actix_web::web::BytesMut;
use actix_web::{FromRequest, HttpRequest};
use bytes::Bytes;
use futures_util::StreamExt;
use futures_util::future::LocalBoxFuture;
use serde::de::{DeserializeOwned, IgnoredAny};

use super::{media, reader, shape};
use crate::api::problem::fault::pointer;
use crate::api::problem::{Code, Fault, Place, Problem, Said};

/// The largest body read, in bytes (1 MiB).
pub const BODY_LIMIT: usize = 1024 * 1024;

/// A body that has arrived but was not looked at.
#[derive(Debug, Clone)]
pub struct UnreadJson(Result<Bytes, Problem>);

impl UnreadJson {
    /// Parses the body.
    ///
    /// # Errors
    /// 415 for another media type, 413 above [`BODY_LIMIT`], 400 when it is not
    /// JSON, 422 with a JSON Pointer when a member is unknown, missing or wrong.
    pub fn read<T: DeserializeOwned>(self) -> Result<T, Problem> {
        parse(&self.0?)
    }

    /// The bytes, for fingerprints of the request.
    ///
    /// # Errors
    /// As [`Self::read`], for the media type and the size.
    pub fn bytes(&self) -> Result<&Bytes, Problem> {
        self.0.as_ref().map_err(Problem::clone)
    }
}

impl FromRequest for UnreadJson {
    type Error = Problem;
    type Future = LocalBoxFuture<'static, Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let wrong_type = media::require_content_type(request, "application/json").err();
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            Ok(Self(match wrong_type {
                Some(problem) => Err(problem),
                None => collect(&request, payload).await,
            }))
        })
    }
}

/// A parsed JSON body, for operations where nothing is looked up before.
#[derive(Debug, Clone)]
pub struct StrictJson<T>(pub T);

impl<T> StrictJson<T> {
    /// The parsed body.
    pub fn into_inner(self) -> T {
        self.0
    }
}

impl<T> Deref for StrictJson<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: DeserializeOwned + 'static> FromRequest for StrictJson<T> {
    type Error = Problem;
    type Future = LocalBoxFuture<'static, Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let unread = UnreadJson::from_request(request, payload);
        Box::pin(async move { unread.await?.read().map(Self) })
    }
}

/// Reads the payload up to the limit.
pub(super) async fn collect(request: &HttpRequest, mut payload: Payload) -> Result<Bytes, Problem> {
    let told = request
        .headers()
        .get(header::CONTENT_LENGTH)
        .and_then(|line| line.to_str().ok()?.parse().ok());
    if told.is_some_and(|length: u64| length > BODY_LIMIT as u64) {
        return Err(Problem::new(Code::BodyTooLarge));
    }
    let mut body = BytesMut::new();
    while let Some(chunk) = payload.next().await {
        let chunk = chunk.map_err(|error| {
            Problem::new(Code::MalformedRequest).detail(
                format!("The body broke off: {error}."),
                "Le corps s’est interrompu avant sa fin ; envoyez-le de nouveau.",
            )
        })?;
        if body.len() + chunk.len() > BODY_LIMIT {
            return Err(Problem::new(Code::BodyTooLarge));
        }
        body.extend_from_slice(&chunk);
    }
    Ok(body.freeze())
}

/// Parses a JSON object, telling text that is not JSON from JSON of the wrong shape.
pub(super) fn parse<T: DeserializeOwned>(body: &[u8]) -> Result<T, Problem> {
    if let Err(error) = std::str::from_utf8(body) {
        let at = error.valid_up_to();
        return Err(Problem::new(Code::MalformedJson).detail(
            format!("Not UTF-8 at byte {at}."),
            format!("Pas de l’UTF-8 à l’octet {at}."),
        ));
    }
    // the whole text first: a wrong member must not hide that the rest is not JSON
    if let Err(error) = serde_json::from_slice::<IgnoredAny>(body) {
        return Err(malformed(body, &error));
    }
    if body.trim_ascii_start().first() != Some(&b'{') {
        // a derived reader would take an array as the members in order
        let said = Said::new(
            "The body must be a JSON object.",
            "Le corps doit être un objet JSON.",
        );
        return Err(Problem::new(Code::InvalidBody).fault(Fault::at(
            Place::Body(String::new()),
            "wrong_type",
            said,
        )));
    }
    refuse_nul(body)?;
    let mut reader = serde_json::Deserializer::from_slice(body);
    serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        // the text is JSON, so whatever is wrong now is a value
        Problem::new(Code::InvalidBody).fault(shape::fault_at(error.path(), &error.inner().to_string()))
    })
}

fn malformed(body: &[u8], error: &serde_json::Error) -> Problem {
    if body.iter().all(u8::is_ascii_whitespace) {
        return Problem::new(Code::MalformedJson).detail("The body is empty.", "Le corps est vide.");
    }
    let said = reader::not_json(error);
    Problem::new(Code::MalformedJson).detail(said.english, said.french)
}

/// Refuses U+0000 in texts, which no database column of ours can hold.
fn refuse_nul(body: &[u8]) -> Result<(), Problem> {
    if !body.windows(6).any(|window| window == b"\\u0000") {
        return Ok(());
    }
    let value: serde_json::Value = serde_json::from_slice(body).map_err(|error| malformed(body, &error))?;
    let Some(place) = find_nul(&value, String::new()) else {
        return Ok(());
    };
    Err(Problem::new(Code::InvalidBody).fault(Fault::at(
        Place::Body(place),
        "invalid_value",
        Said::new(
            "Texts cannot hold the character U+0000.",
            "Un texte ne peut pas contenir le caractère U+0000.",
        ),
    )))
}

fn find_nul(value: &serde_json::Value, at: String) -> Option<String> {
    use serde_json::Value;
    match value {
        Value::String(text) => text.contains('\0').then_some(at),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .find_map(|(index, item)| find_nul(item, format!("{at}/{index}"))),
        Value::Object(members) => members.iter().find_map(|(name, item)| {
            let here = format!("{at}{}", pointer([name.as_str()]));
            if name.contains('\0') {
                Some(here)
            } else {
                find_nul(item, here)
            }
        }),
        Value::Null | Value::Bool(_) | Value::Number(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use actix_web::ResponseError;
    use actix_web::body::to_bytes;
    use serde::Deserialize;

    use super::*;
    use crate::craft::tension::Tension;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Wish {
        #[serde(rename = "crosses")]
        _crosses: Vec<Strung>,
        #[serde(rename = "pieces")]
        _pieces: Option<u8>,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Strung {
        #[serde(rename = "tension")]
        _tension: Tension,
    }

    async fn refused(body: &str) -> (String, String, String) {
        let problem = parse::<Wish>(body.as_bytes()).unwrap_err();
        let bytes = to_bytes(problem.error_response().into_body()).await.unwrap();
        let document: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
        let text = |value: &serde_json::Value| value.as_str().unwrap_or("-").to_owned();
        let fault = &document["errors"][0];
        (
            text(&document["code"]),
            text(&fault["code"]),
            text(&fault["pointer"]),
        )
    }

    async fn check(body: &str, code: &str, fault: &str, place: &str) {
        let expected = (code.to_owned(), fault.to_owned(), place.to_owned());
        assert_eq!(refused(body).await, expected, "{body}");
    }

    #[actix_web::test]
    async fn json_of_the_wrong_shape_is_pointed_at() {
        let shape = "invalid_body";
        check(r#"{"crosses":[],"x/y":1}"#, shape, "unknown_member", "/x~1y").await;
        check(r#"{"pieces":1}"#, shape, "missing_member", "/crosses").await;
        check(r#"{"crosses":[],"pieces":"a"}"#, shape, "wrong_type", "/pieces").await;
        check(
            r#"{"crosses":[],"pieces":900}"#,
            shape,
            "invalid_value",
            "/pieces",
        )
        .await;
        check(r#"{"crosses":[],"pieces":-1}"#, shape, "invalid_value", "/pieces").await;
        check(
            r#"{"crosses":[],"crosses":[]}"#,
            shape,
            "repeated_member",
            "/crosses",
        )
        .await;
        check(
            r#"{"crosses":[{"tension":{"value":"24"}}]}"#,
            shape,
            "missing_member",
            "/crosses/0/tension/unit",
        )
        .await;
        check(
            r#"{"crosses":[{"tension":{"value":"24","unit":"stone"}}]}"#,
            shape,
            "unknown_value",
            "/crosses/0/tension/unit",
        )
        .await;
        check(
            r#"{"crosses":[{"tension":{"value":"24,5","unit":"kg"}}]}"#,
            shape,
            "invalid_value",
            "/crosses/0/tension",
        )
        .await;
        check("[]", shape, "wrong_type", "").await;
        check(
            r#"{"crosses":[{"\u0000":1}]}"#,
            shape,
            "invalid_value",
            "/crosses/0/\0",
        )
        .await;
    }

    #[actix_web::test]
    async fn text_that_is_not_json_is_malformed_even_after_a_wrong_member() {
        for body in [
            "",
            "  ",
            "{",
            "{\"crosses\":1,,}",
            "{\"x\":1} trailing",
            "{\"pieces\":NaN}",
            "\u{feff}{}",
        ] {
            check(body, "malformed_json", "-", "-").await;
        }
        let not_utf8 = parse::<Wish>(b"{\"x\":\"\xff\"}").unwrap_err();
        assert_eq!(not_utf8.code(), Code::MalformedJson);
        let deep = "[".repeat(100_000);
        assert_eq!(
            parse::<Wish>(deep.as_bytes()).unwrap_err().code(),
            Code::MalformedJson
        );
    }
}
