//! The plain HTML of the few pages this door serves itself: no scripts.
use std::fmt::Write as _;

use actix_web::{HttpResponse, get};

const STYLE: &str = "body{font:1rem/1.5 system-ui,sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem;\
color:#14181c;background:#fff}code,pre{font-family:ui-monospace,monospace;background:#f2f2f2;padding:0 .2rem}\
pre{padding:.6rem;overflow:auto}table{border-collapse:collapse}td,th{border:1px solid #bbb;padding:.3rem .6rem;\
text-align:left;vertical-align:top}section{border-top:1px solid #bbb;margin-top:2rem}";

/// Makes text safe between tags and inside quoted attributes.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}

/// Escapes a sentence and sets what stands between backticks as code.
pub fn prose(text: &str) -> String {
    let mut safe = String::new();
    for (index, part) in text.split('`').enumerate() {
        let part = escape(part);
        if index % 2 == 1 {
            safe.push_str(&format!("<code>{part}</code>"));
        } else {
            safe.push_str(&part);
        }
    }
    safe
}

/// A whole page around `body`, which must be safe HTML already.
pub fn page(language: &str, title: &str, body: &str) -> HttpResponse {
    let mut text = String::new();
    // writing into a String cannot fail
    let _ = write!(
        text,
        "<!doctype html><html lang=\"{language}\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{}</title>\
         <link rel=\"stylesheet\" href=\"/docs/style.css\"></head><body><main>{body}</main></body></html>",
        escape(title)
    );
    HttpResponse::Ok()
        .content_type("text/html; charset=utf-8")
        .insert_header(("Vary", "Accept-Language"))
        .body(text)
}

/// The stylesheet of these pages; inline styles are forbidden by our own policy.
#[utoipa::path(
    tag = "about",
    responses((status = 200, description = "The stylesheet.", content_type = "text/css", body = String))
)]
#[get("/docs/style.css")]
pub(crate) async fn style() -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/css; charset=utf-8")
        .body(STYLE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_can_break_out_of_the_text() {
        assert_eq!(escape("<a href='x'>\"&"), "&lt;a href=&#39;x&#39;&gt;&quot;&amp;");
        assert_eq!(
            prose("send `If-Match` & wait"),
            "send <code>If-Match</code> &amp; wait"
        );
    }
}
