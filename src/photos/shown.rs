//! A kept photo on its way out.
use actix_web::http::header::{
    self, ContentDisposition, DispositionParam, DispositionType, ETag, EntityTag, Header, IfNoneMatch,
};
use actix_web::{HttpMessage, HttpResponse, HttpResponseBuilder};

/// Which photo, and which of its two forms.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The photo's id, for the name under which somebody saves it.
    pub id: String,
    /// The fingerprint it was kept with.
    pub digest: String,
    /// The small form.
    pub small: bool,
}

impl Shown {
    fn tag(&self) -> EntityTag {
        let form = if self.small { "small" } else { "whole" };
        EntityTag::new_strong(format!("{}-{form}", self.digest))
    }

    /// Whether the asker holds it already. A list of tags that can't be read names none.
    pub fn is_held(&self, request: &impl HttpMessage) -> bool {
        match IfNoneMatch::parse(request) {
            Ok(IfNoneMatch::Any) => true,
            Ok(IfNoneMatch::Items(tags)) => tags.iter().any(|tag| tag.weak_eq(&self.tag())),
            Err(_) => false,
        }
    }

    /// The answer to somebody who holds it.
    #[must_use]
    pub fn unchanged(&self) -> HttpResponse {
        self.headed(HttpResponse::NotModified()).finish()
    }

    /// The answer with its bytes.
    #[must_use]
    pub fn answer(&self, bytes: Vec<u8>) -> HttpResponse {
        let name = DispositionParam::Filename(format!("{}.jpg", self.id));
        self.headed(HttpResponse::Ok())
            .content_type("image/jpeg")
            .insert_header(ContentDisposition {
                disposition: DispositionType::Inline,
                parameters: vec![name],
            })
            .body(bytes)
    }

    fn headed(&self, mut answer: HttpResponseBuilder) -> HttpResponseBuilder {
        answer
            .insert_header(ETag(self.tag()))
            // kept by nobody but the asker, who asks each time whether it is still there to be seen
            .insert_header((header::CACHE_CONTROL, "private, no-cache"))
            .insert_header((header::X_CONTENT_TYPE_OPTIONS, "nosniff"));
        answer
    }
}
