//! The browser's session: an access token in a cookie no script can read.
use actix_web::HttpRequest;
use actix_web::cookie::{Cookie, SameSite, time::Duration};

/// Bound to this host, to `/` and to https by its very name (RFC 6265bis, `__Host-`).
const SECURE_NAME: &str = "__Host-weftdesk";
/// For plain http on localhost, where browsers refuse `Secure` prefixes.
const PLAIN_NAME: &str = "weftdesk";

const fn name(secure: bool) -> &'static str {
    if secure { SECURE_NAME } else { PLAIN_NAME }
}

/// The cookie that carries `token`. It lasts as long as the browser session.
pub fn carrying(token: String, secure: bool) -> Cookie<'static> {
    Cookie::build(name(secure), token)
        .path("/")
        .http_only(true)
        .secure(secure)
        .same_site(SameSite::Lax)
        .finish()
}

/// The cookie that ends the session.
pub fn ending(secure: bool) -> Cookie<'static> {
    let mut cookie = carrying(String::new(), secure);
    cookie.set_max_age(Duration::ZERO);
    cookie
}

/// The token in the request's cookie.
pub fn token_of(request: &HttpRequest, secure: bool) -> Option<String> {
    request
        .cookie(name(secure))
        .map(|cookie| cookie.value().to_owned())
        .filter(|token| !token.is_empty())
}

/// How long a registered device keeps its secret: as long as browsers keep any cookie (RFC 6265bis, 400 days).
const DEVICE_KEEPS: Duration = Duration::days(400);

const fn device_name(secure: bool) -> &'static str {
    if secure {
        "__Host-weftdesk-device"
    } else {
        "weftdesk-device"
    }
}

/// The cookie by which a registered device is known.
pub fn of_device(token: String, secure: bool) -> Cookie<'static> {
    let mut cookie = carrying(token, secure);
    cookie.set_name(device_name(secure));
    cookie.set_max_age(DEVICE_KEEPS);
    cookie
}

/// The secret of the registered device that asks.
pub fn device_token_of(request: &HttpRequest, secure: bool) -> Option<String> {
    request
        .cookie(device_name(secure))
        .map(|cookie| cookie.value().to_owned())
        .filter(|token| !token.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_secure_cookie_has_every_attribute() {
        let line = carrying("t".to_owned(), true).to_string();
        assert_eq!(line, "__Host-weftdesk=t; HttpOnly; SameSite=Lax; Secure; Path=/");
        assert!(!carrying("t".to_owned(), false).to_string().contains("Secure"));
        assert!(ending(true).to_string().contains("Max-Age=0"));
        let device = of_device("t".to_owned(), true).to_string();
        assert!(
            device.starts_with("__Host-weftdesk-device=t; HttpOnly") && device.contains("Max-Age=34560000")
        );
    }
}
