//! Changes made with a cookie must come from our own pages.
use actix_web::HttpRequest;
use actix_web::http::header;

use super::refused::Refused;

/// Refuses a changing request that another site may have caused.
///
/// Browsers say so in `Sec-Fetch-Site`, but only towards https and localhost;
/// elsewhere the host in `Origin` must be the one that was asked.
///
/// # Errors
/// [`Refused::AnotherSite`].
pub fn require(request: &HttpRequest) -> Result<(), Refused> {
    if request.method().is_safe() {
        return Ok(());
    }
    let line = |name: &str| request.headers().get(name).and_then(|line| line.to_str().ok());
    let ours = match line("sec-fetch-site") {
        Some(site) => matches!(site, "same-origin" | "none"),
        None => line(header::ORIGIN.as_str())
            .and_then(|origin| origin.split_once("://"))
            .is_some_and(|(_, host)| host.eq_ignore_ascii_case(request.connection_info().host())),
    };
    if ours { Ok(()) } else { Err(Refused::AnotherSite) }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[track_caller]
    fn check(headers: &[(&str, &str)], expected: bool) {
        let mut request = TestRequest::post().insert_header(("Host", "desk.example:8080"));
        for header in headers {
            request = request.insert_header(*header);
        }
        assert_eq!(
            require(&request.to_http_request()).is_ok(),
            expected,
            "{headers:?}"
        );
    }

    #[test]
    fn only_our_own_pages_may_change_things() {
        check(&[("Sec-Fetch-Site", "same-origin")], true);
        check(&[("Sec-Fetch-Site", "none")], true);
        check(&[("Sec-Fetch-Site", "same-site")], false);
        check(
            &[
                ("Sec-Fetch-Site", "cross-site"),
                ("Origin", "http://desk.example:8080"),
            ],
            false,
        );
        check(&[("Origin", "http://desk.example:8080")], true);
        check(&[("Origin", "http://desk.example")], false);
        check(&[("Origin", "https://evil.example")], false);
        check(&[("Origin", "null")], false);
        check(&[], false);
        assert!(require(&TestRequest::get().to_http_request()).is_ok());
    }
}
