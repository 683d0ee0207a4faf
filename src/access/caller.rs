//! The caller of a request: by bearer token, else by the browser's cookie.
use std::ops::Deref;

use actix_web::http::header;
use actix_web::{HttpRequest, web};

use super::refused::Refused;
use super::token::{TokenFault, TokenKind};
use super::{Access, Claims, Identity, cookie, same_origin};

/// A caller whose token was checked. Extracting it is what signing in means.
#[derive(Debug, Clone)]
pub struct Caller {
    claims: Claims,
}

impl Caller {
    /// All claims.
    pub fn claims(&self) -> &Claims {
        &self.claims
    }
}

impl Deref for Caller {
    type Target = Identity;
    fn deref(&self) -> &Identity {
        &self.claims.identity
    }
}

/// Checks who asks.
///
/// # Errors
/// Without a valid token, and when a cookie's change came from another site.
pub fn identify(request: &HttpRequest) -> Result<Caller, Refused> {
    let access = access(request)?;
    let (token, by_cookie) = match request.headers().get(header::AUTHORIZATION) {
        Some(line) => (bearer(line), false),
        None => (cookie::token_of(request, access.secure_cookies), true),
    };
    let token = token.ok_or(Refused::NotSignedIn)?;
    let now = access.now();
    let claims = access.keys.check(TokenKind::Access, &token, now)?;
    if access.withdrawn.contains(&claims.identity.sid, now) {
        return Err(TokenFault::Invalid.into());
    }
    if by_cookie {
        same_origin::require(request)?;
    }
    Ok(Caller { claims })
}

/// The access desk of this process.
///
/// # Errors
/// When the server was composed without one.
pub fn access(request: &HttpRequest) -> Result<&Access, Refused> {
    let found = request.app_data::<web::Data<Access>>().map(|data| data.get_ref());
    found.ok_or(Refused::NoAccess)
}

fn bearer(line: &header::HeaderValue) -> Option<String> {
    let (scheme, token) = line.to_str().ok()?.split_once(' ')?;
    scheme
        .eq_ignore_ascii_case("bearer")
        .then(|| token.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use actix_web::test::TestRequest;
    use chrono::{DateTime, Utc};

    use super::*;

    fn noon() -> DateTime<Utc> {
        DateTime::from_timestamp(1_777_723_200, 0).unwrap()
    }

    fn desk() -> (web::Data<Access>, String) {
        let access = Access::new(&[7; 32], "https://desk.example", true, Arc::new(noon)).unwrap();
        let identity = Identity {
            sub: "acc_1".into(),
            tid: "trn_1".into(),
            role: "desk".into(),
            sid: "ses_1".into(),
            did: None,
        };
        let token = access.keys.issue(TokenKind::Access, &identity, noon()).unwrap();
        (web::Data::new(access), token)
    }

    #[test]
    fn bearer_and_cookie_carry_the_same_token() {
        let (access, token) = desk();
        let bearer = TestRequest::post()
            .app_data(access.clone())
            .insert_header(("Authorization", format!("bearer {token}")))
            .to_http_request();
        assert_eq!(identify(&bearer).unwrap().role, "desk");
        let by_cookie = |site| {
            let request = TestRequest::post()
                .app_data(access.clone())
                .cookie(cookie::carrying(token.clone(), true))
                .insert_header(("Sec-Fetch-Site", site))
                .to_http_request();
            identify(&request).map(|caller| caller.sub.clone())
        };
        assert_eq!(by_cookie("same-origin"), Ok("acc_1".to_owned()));
        assert_eq!(by_cookie("cross-site"), Err(Refused::AnotherSite));
    }

    #[test]
    fn no_token_and_a_wrong_one_are_told_apart() {
        let (access, _) = desk();
        for (line, refused) in [
            (None, Refused::NotSignedIn),
            (Some("Basic YTpi"), Refused::NotSignedIn),
            (Some("Bearer x.y.z"), TokenFault::Invalid.into()),
        ] {
            let mut request = TestRequest::get().app_data(access.clone());
            if let Some(line) = line {
                request = request.insert_header(("Authorization", line));
            }
            assert_eq!(identify(&request.to_http_request()).unwrap_err(), refused);
        }
    }

    #[test]
    fn a_withdrawn_session_is_out_at_once() {
        let (access, token) = desk();
        access.withdraw_session("ses_1");
        let request = TestRequest::get()
            .app_data(access)
            .insert_header(("Authorization", format!("Bearer {token}")))
            .to_http_request();
        assert_eq!(identify(&request).unwrap_err(), TokenFault::Invalid.into());
    }
}
