//! PATCH bodies: `application/merge-patch+json` (RFC 7396).
use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest};
use bytes::Bytes;
use futures_util::future::LocalBoxFuture;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;

use super::{json, media};
use crate::api::problem::Problem;

/// A merge patch that has arrived but was not looked at.
#[derive(Debug, Clone)]
pub struct UnreadPatch(Result<Bytes, Problem>);

impl UnreadPatch {
    /// Parses the patch into `T`, whose members are [`Change`]s.
    ///
    /// # Errors
    /// As for [`json::UnreadJson::read`].
    pub fn read<T: DeserializeOwned>(self) -> Result<T, Problem> {
        json::parse(&self.0?)
    }

    /// Lays the patch over `current` and reads the outcome as strictly as a whole body.
    ///
    /// A `null` stays in place, so that one for an unknown or a required member is refused by name.
    ///
    /// # Errors
    /// As for [`json::UnreadJson::read`].
    pub fn onto<T: Serialize + DeserializeOwned>(self, current: &T) -> Result<T, Problem> {
        laid_over(self.read()?, current)
    }

    /// The bytes, for fingerprints of the request.
    ///
    /// # Errors
    /// For the media type and the size.
    pub fn bytes(&self) -> Result<&Bytes, Problem> {
        self.0.as_ref().map_err(Problem::clone)
    }
}

impl FromRequest for UnreadPatch {
    type Error = Problem;
    type Future = LocalBoxFuture<'static, Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let wrong_type = media::require_content_type(request, "application/merge-patch+json").err();
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            Ok(Self(match wrong_type {
                Some(problem) => Err(problem),
                None => json::collect(&request, payload).await,
            }))
        })
    }
}

/// What `current` becomes by the patch, read as strictly as a whole body.
pub(super) fn laid_over<T: Serialize + DeserializeOwned>(patch: Value, current: &T) -> Result<T, Problem> {
    let internal = |error: serde_json::Error| Problem::internal(&error);
    let mut whole = serde_json::to_value(current).map_err(internal)?;
    lay_over(&mut whole, patch);
    json::parse(&serde_json::to_vec(&whole).map_err(internal)?)
}

fn lay_over(whole: &mut Value, patch: Value) {
    match (whole, patch) {
        (Value::Object(members), Value::Object(changes)) => {
            for (name, change) in changes {
                lay_over(members.entry(name).or_insert(Value::Null), change);
            }
        }
        (whole, patch) => *whole = patch,
    }
}

/// What a merge patch says about one member. Use with `#[serde(default)]`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Change<T> {
    /// The member is absent: leave it.
    #[default]
    Keep,
    /// The member is `null`: remove the value.
    Clear,
    /// The member has a value: take it.
    Set(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Change<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Option::<T>::deserialize(deserializer).map(|value| value.map_or(Self::Clear, Self::Set))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Edit {
        #[serde(default)]
        note: Change<String>,
    }

    #[test]
    fn absent_null_and_value_are_three_things() {
        let note = |text: &str| json::parse::<Edit>(text.as_bytes()).unwrap().note;
        assert_eq!(note("{}"), Change::Keep);
        assert_eq!(note(r#"{"note":null}"#), Change::Clear);
        assert_eq!(
            note(r#"{"note":"two knots"}"#),
            Change::Set("two knots".to_owned())
        );
    }
}
