//! Bodies that are texts of one of several media types.
use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest};
use bytes::Bytes;
use futures_util::future::LocalBoxFuture;

use super::json::collect;
use super::media;
use crate::api::problem::{Code, Problem};

/// A body that has arrived but was not looked at.
#[derive(Debug, Clone)]
pub struct UnreadText(Result<Bytes, Problem>);

impl UnreadText {
    /// The text, if its media type is one of `expected`.
    ///
    /// # Errors
    /// 415 for another media type, 413 when it is too large, 400 when it is not UTF-8.
    pub fn read(self, request: &HttpRequest, expected: &[&str]) -> Result<String, Problem> {
        let bytes = self.0?;
        let fits = expected
            .iter()
            .any(|one| media::require_content_type(request, one).is_ok());
        if !fits {
            media::require_content_type(request, &expected.join(", "))?;
        }
        String::from_utf8(bytes.to_vec()).map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            Problem::new(Code::MalformedRequest).detail(
                format!("The body is not UTF-8 at byte {at}; save it as UTF-8."),
                format!("Le corps n’est pas de l’UTF-8 à l’octet {at} ; enregistrez-le en UTF-8."),
            )
        })
    }

    /// The bytes, for fingerprints of the request.
    ///
    /// # Errors
    /// 413 when the body is too large.
    pub fn bytes(&self) -> Result<&Bytes, Problem> {
        self.0.as_ref().map_err(Problem::clone)
    }
}

impl FromRequest for UnreadText {
    type Error = Problem;
    type Future = LocalBoxFuture<'static, Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move { Ok(Self(collect(&request, payload).await)) })
    }
}
