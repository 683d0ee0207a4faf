//! Headers that tell browsers what our pages never do.
use actix_web::middleware::DefaultHeaders;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

use crate::craft::drawing;

/// Everything from our own address; images also as drawn data, no frames, no plug-ins.
/// The one style sheet allowed inside a page is that of a frame's drawing, known by its hash.
fn content_policy() -> String {
    let drawing = STANDARD.encode(Sha256::digest(drawing::STYLE));
    format!(
        "default-src 'self'; style-src 'self' 'sha256-{drawing}'; img-src 'self' data: blob:; object-src 'none'; \
         base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
    )
}

/// The security headers of every answer; `secure` when browsers come by https.
pub fn security(secure: bool) -> DefaultHeaders {
    let headers = DefaultHeaders::new()
        .add(("Content-Security-Policy", content_policy()))
        .add(("X-Content-Type-Options", "nosniff"))
        // our own pages may see where one came from; others must not learn a player's link
        .add(("Referrer-Policy", "same-origin"))
        .add((
            "Permissions-Policy",
            "camera=(self), microphone=(), geolocation=()",
        ))
        .add(("Cross-Origin-Opener-Policy", "same-origin"));
    if secure {
        headers.add(("Strict-Transport-Security", "max-age=31536000"))
    } else {
        headers
    }
}

#[cfg(test)]
mod tests {
    use actix_web::{App, test};

    use super::*;

    #[actix_web::test]
    async fn even_a_missing_page_carries_the_headers() {
        let app = test::init_service(App::new().wrap(security(true))).await;
        let answer = test::call_service(&app, test::TestRequest::get().uri("/nowhere").to_request()).await;
        let header = |name| answer.headers().get(name).unwrap().to_str().unwrap();
        assert!(header("content-security-policy").contains("frame-ancestors 'none'"));
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert_eq!(header("strict-transport-security"), "max-age=31536000");
    }
}
