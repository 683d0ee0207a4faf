//! Forms that may carry a file: `multipart/form-data` (RFC 7578), or the ordinary kind.
use actix_web::http::header::CONTENT_TYPE;
use actix_web::{HttpRequest, web};

use super::filled::Filled;
use crate::desk::{DeskError, DeskResult};

/// The fields of a sent form; a file counts as the text in it.
///
/// # Errors
/// [`DeskError::Invalid`] for what is not a form, and for a file that is not text.
pub fn fields(request: &HttpRequest, body: &[u8]) -> DeskResult<Filled> {
    let kind = request
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok());
    let kind = kind.unwrap_or_default();
    if let Some(boundary) = boundary(kind) {
        return parts(body, boundary);
    }
    let read = web::Query::<Filled>::from_query(&String::from_utf8_lossy(body));
    read.map(web::Query::into_inner)
        .map_err(|_unread| DeskError::member("", "invalid_value", "Send this form from its page."))
}

fn boundary(kind: &str) -> Option<&str> {
    let parameters = kind.strip_prefix("multipart/form-data")?;
    let start = parameters.find("boundary=")? + "boundary=".len();
    let value = parameters[start..].split(';').next()?.trim();
    Some(value.trim_matches('"')).filter(|value| !value.is_empty())
}

fn parts(body: &[u8], boundary: &str) -> DeskResult<Filled> {
    let mut form = Filled::default();
    let delimiter = format!("\r\n--{boundary}");
    // the first delimiter has no line before it
    let whole = [b"\r\n", body].concat();
    for part in split(&whole, delimiter.as_bytes()).into_iter().skip(1) {
        let Some(end) = find(part, b"\r\n\r\n") else {
            continue;
        };
        let head = String::from_utf8_lossy(&part[..end]);
        let Some(name) = parameter(&head, " name=") else {
            continue;
        };
        let text = std::str::from_utf8(&part[end + 4..]).map_err(|_other| {
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

/// The value of a quoted parameter of a part's header.
fn parameter(head: &str, name: &str) -> Option<String> {
    let start = head.find(name)? + name.len();
    let quoted = head[start..].strip_prefix('"')?;
    quoted.split('"').next().map(str::to_owned)
}

fn find(text: &[u8], what: &[u8]) -> Option<usize> {
    text.windows(what.len()).position(|window| window == what)
}

fn split<'a>(mut text: &'a [u8], by: &[u8]) -> Vec<&'a [u8]> {
    let mut pieces = Vec::new();
    while let Some(at) = find(text, by) {
        pieces.push(&text[..at]);
        text = &text[at + by.len()..];
    }
    pieces.push(text);
    pieces
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    /// The example of RFC 7578, section 4.1 and 5, with a file as browsers send one.
    const SENT: &str = "--AaB03x\r\ncontent-disposition: form-data; name=\"day\"\r\n\r\n2026-05-02\r\n\
        --AaB03x\r\ncontent-disposition: form-data; name=\"file\"; filename=\"order.csv\"\r\n\
        Content-Type: text/csv\r\n\r\n\u{feff}day,court\r\n2026-05-02,C1\r\n\r\n--AaB03x--\r\n";

    #[test]
    fn a_file_is_read_as_the_text_in_it() {
        let form = parts(SENT.as_bytes(), "AaB03x").unwrap();
        assert_eq!(form.get("day"), "2026-05-02");
        assert_eq!(form.get("file"), "day,court\r\n2026-05-02,C1");
        assert_eq!(boundary("multipart/form-data; boundary=AaB03x"), Some("AaB03x"));
        assert_eq!(boundary("application/x-www-form-urlencoded"), None);
    }

    #[test]
    fn a_file_that_is_no_text_is_refused_by_name() {
        let mut sent = SENT.as_bytes().to_vec();
        let at = find(&sent, b"C1").unwrap();
        sent[at] = 0xff;
        let DeskError::Invalid(faults) = parts(&sent, "AaB03x").unwrap_err() else {
            panic!("a fault of the field");
        };
        assert_eq!(faults[0].pointer, "/file");
    }

    #[test]
    fn an_ordinary_form_is_read_as_ever() {
        let request = TestRequest::default()
            .insert_header((CONTENT_TYPE, "application/x-www-form-urlencoded"))
            .to_http_request();
        let form = fields(&request, b"day=2026-05-02&text=a%2Cb").unwrap();
        assert_eq!((form.get("day"), form.get("text")), ("2026-05-02", "a,b"));
    }
}
