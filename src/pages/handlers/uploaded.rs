//! Forms that may carry a file: `multipart/form-data` (RFC 7578), or the ordinary kind.
use actix_multipart::Multipart;
use actix_web::error::PayloadError;
use actix_web::http::header::CONTENT_TYPE;
use actix_web::{HttpRequest, web};
use futures_util::{StreamExt, stream};

use super::filled::Filled;
use crate::desk::{DeskError, DeskResult};
use crate::photos::sent;

/// What a form without files may take, in bytes.
const ORDINARY_LIMIT: usize = 1024 * 1024;

/// A form and the photos in it.
pub struct WithPhotos {
    pub form: Filled,
    /// The name of the field and the file.
    pub photos: Vec<(String, web::Bytes)>,
    /// The names of fields whose photo was too large to be read.
    pub too_large: Vec<String>,
}

/// The fields of a sent form and its photos; an ordinary form has none. What was sent tells in
/// [`Filled::fingerprint`] too, as a field that no page has.
///
/// # Errors
/// [`DeskError::Invalid`] for what is not a form.
pub async fn with_photos(
    request: &HttpRequest,
    payload: web::Payload,
    is_photo: fn(&str) -> bool,
) -> DeskResult<WithPhotos> {
    if !sent::is_form(request.headers()) {
        let body = payload.to_bytes_limited(ORDINARY_LIMIT).await;
        let body = body.map_err(|_too_large| no_form_of_ours())?;
        return Ok(WithPhotos {
            form: fields(request, body.map_err(|_broken| no_form_of_ours())?).await?,
            photos: Vec::new(),
            too_large: Vec::new(),
        });
    }
    let read = sent::read(request.headers(), payload, is_photo).await;
    let sent = read.map_err(|_cause| no_form_of_ours())?;
    let mut form = Filled(sent.fields.clone());
    if !sent.photos.is_empty() {
        form.put("photos sent", sent.fingerprint());
    }
    Ok(WithPhotos {
        form,
        photos: sent.photos,
        too_large: sent.too_large,
    })
}

/// The fields of a sent form, whose size the door has limited; a file counts as the text in it.
///
/// # Errors
/// [`DeskError::Invalid`] for what is not a form, and for a file that is not text.
pub async fn fields(request: &HttpRequest, body: web::Bytes) -> DeskResult<Filled> {
    let kind = request
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok());
    if kind.is_some_and(|kind| kind.starts_with("multipart/form-data")) {
        return parts(request, body).await;
    }
    let read = web::Query::<Filled>::from_query(&String::from_utf8_lossy(&body));
    read.map(web::Query::into_inner)
        .map_err(|_unread| no_form_of_ours())
}

fn no_form_of_ours() -> DeskError {
    DeskError::member("", "invalid_value", "Send this form from its page.")
}

async fn parts(request: &HttpRequest, body: web::Bytes) -> DeskResult<Filled> {
    let whole = stream::once(async { Ok::<_, PayloadError>(body) });
    let mut sent = Multipart::new(request.headers(), Box::pin(whole));
    let mut form = Filled::default();
    while let Some(field) = sent.next().await {
        let mut field = field.map_err(|_unread| no_form_of_ours())?;
        let name = field.name().unwrap_or_default().to_owned();
        let mut value = Vec::new();
        while let Some(piece) = field.next().await {
            value.extend_from_slice(&piece.map_err(|_unread| no_form_of_ours())?);
        }
        let text = std::str::from_utf8(&value).map_err(|_other| {
            DeskError::member(
                format!("/{name}"),
                "invalid_value",
                "This file is not text in UTF-8; save it as CSV, JSON or iCalendar in UTF-8 and choose it again.",
            )
        })?;
        form.put(name, text.trim_start_matches('\u{feff}'));
    }
    Ok(form)
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    /// The example of RFC 7578, section 4.1 and 5, with a file as browsers send one.
    const SENT: &str = "--AaB03x\r\ncontent-disposition: form-data; name=\"day\"\r\n\r\n2026-05-02\r\n\
        --AaB03x\r\ncontent-disposition: form-data; name=\"file\"; filename=\"order.csv\"\r\n\
        Content-Type: text/csv\r\n\r\n\u{feff}day,court\r\n2026-05-02,C1\r\n\r\n--AaB03x--\r\n";

    async fn read(kind: &str, sent: &[u8]) -> DeskResult<Filled> {
        let request = TestRequest::default().insert_header((CONTENT_TYPE, kind));
        fields(&request.to_http_request(), web::Bytes::copy_from_slice(sent)).await
    }

    #[actix_web::test]
    async fn a_file_is_read_as_the_text_in_it() {
        for kind in [
            "multipart/form-data; boundary=AaB03x",
            "multipart/form-data; charset=utf-8; boundary=\"AaB03x\"",
        ] {
            let form = read(kind, SENT.as_bytes()).await.unwrap();
            assert_eq!(form.get("day"), "2026-05-02");
            assert_eq!(form.get("file"), "day,court\r\n2026-05-02,C1");
        }
    }

    #[actix_web::test]
    async fn a_file_that_is_no_text_is_refused_by_name() {
        let mut sent = SENT.as_bytes().to_vec();
        let at = SENT.find("C1").unwrap();
        sent[at] = 0xff;
        let refused = read("multipart/form-data; boundary=AaB03x", &sent).await;
        let DeskError::Invalid(faults) = refused.unwrap_err() else {
            panic!("a fault of the field");
        };
        assert_eq!(faults[0].pointer, "/file");
    }

    #[actix_web::test]
    async fn what_is_cut_off_or_without_boundary_is_no_form() {
        for (kind, sent) in [
            ("multipart/form-data; boundary=AaB03x", &SENT[..SENT.len() / 2]),
            ("multipart/form-data", SENT),
        ] {
            let refused = read(kind, sent.as_bytes()).await;
            assert!(matches!(refused, Err(DeskError::Invalid(_))), "{kind}");
        }
    }

    #[actix_web::test]
    async fn an_ordinary_form_is_read_as_ever() {
        let form = read("application/x-www-form-urlencoded", b"day=2026-05-02&text=a%2Cb").await;
        let form = form.unwrap();
        assert_eq!((form.get("day"), form.get("text")), ("2026-05-02", "a,b"));
    }
}
