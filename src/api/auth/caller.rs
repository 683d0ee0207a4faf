//! The caller of a request: by bearer token, else by the browser's cookie.
use std::future::{Ready, ready};
use std::ops::Deref;

use actix_web::dev::Payload;
use actix_web::http::header;
use actix_web::{FromRequest, HttpRequest, web};

use super::token::{TokenFault, TokenKind};
use super::{Access, Claims, Identity, cookie, same_origin};
use crate::api::problem::{Code, Problem};

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

impl FromRequest for Caller {
    type Error = Problem;
    type Future = Ready<Result<Self, Problem>>;
    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(identify(request))
    }
}

/// Checks who asks.
///
/// # Errors
/// 401 without a valid token, 403 when a cookie's change came from another site.
pub fn identify(request: &HttpRequest) -> Result<Caller, Problem> {
    let access = access(request)?;
    let (token, by_cookie) = match request.headers().get(header::AUTHORIZATION) {
        Some(line) => (bearer(line), false),
        None => (cookie::token_of(request, access.secure_cookies), true),
    };
    let token = token.ok_or_else(not_signed_in)?;
    let now = access.now();
    let claims = access
        .keys
        .check(TokenKind::Access, &token, now)
        .map_err(refusal)?;
    if access.withdrawn.contains(&claims.identity.sid, now) {
        return Err(refusal(TokenFault::Invalid));
    }
    if by_cookie {
        same_origin::require(request)?;
    }
    Ok(Caller { claims })
}

/// The access desk of this process.
///
/// # Errors
/// 500 when the server was composed without one.
pub fn access(request: &HttpRequest) -> Result<&Access, Problem> {
    let found = request.app_data::<web::Data<Access>>().map(|data| data.get_ref());
    found.ok_or_else(|| Problem::internal(&std::io::Error::other("no access desk in the application")))
}

fn bearer(line: &header::HeaderValue) -> Option<String> {
    let (scheme, token) = line.to_str().ok()?.split_once(' ')?;
    scheme
        .eq_ignore_ascii_case("bearer")
        .then(|| token.trim().to_owned())
}

fn not_signed_in() -> Problem {
    Problem::new(Code::NotSignedIn).header(header::WWW_AUTHENTICATE, "Bearer realm=\"weftdesk\"")
}

/// The refusal of a token, with the challenge of RFC 6750 section 3.
pub(super) fn refusal(fault: TokenFault) -> Problem {
    let (code, said) = match fault {
        TokenFault::Expired => (Code::TokenExpired, "the token has expired"),
        TokenFault::Invalid => (Code::TokenInvalid, "the token is not valid"),
        TokenFault::OtherProvider | TokenFault::NoRandomness => return Problem::internal(&fault),
    };
    let challenge =
        format!("Bearer realm=\"weftdesk\", error=\"invalid_token\", error_description=\"{said}\"");
    Problem::new(code).header(header::WWW_AUTHENTICATE, &challenge)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use actix_web::ResponseError;
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
            identify(&request)
                .map(|caller| caller.sub.clone())
                .map_err(|problem| problem.code())
        };
        assert_eq!(by_cookie("same-origin"), Ok("acc_1".to_owned()));
        assert_eq!(by_cookie("cross-site"), Err(Code::CrossSiteRequest));
    }

    #[test]
    fn no_token_and_a_wrong_one_are_challenged() {
        let (access, _) = desk();
        for (line, code) in [
            (None, Code::NotSignedIn),
            (Some("Basic YTpi"), Code::NotSignedIn),
            (Some("Bearer x.y.z"), Code::TokenInvalid),
        ] {
            let mut request = TestRequest::get().app_data(access.clone());
            if let Some(line) = line {
                request = request.insert_header(("Authorization", line));
            }
            let problem = identify(&request.to_http_request()).unwrap_err();
            assert_eq!(problem.code(), code);
            let answer = problem.error_response();
            let challenge = answer
                .headers()
                .get("WWW-Authenticate")
                .unwrap()
                .to_str()
                .unwrap()
                .to_owned();
            assert!(challenge.starts_with("Bearer"));
            assert_eq!(challenge.contains("invalid_token"), code == Code::TokenInvalid);
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
        assert_eq!(identify(&request).unwrap_err().code(), Code::TokenInvalid);
    }
}
