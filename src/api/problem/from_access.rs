//! The one place where a refusal at the door gets its problem code.
use actix_web::http::header;

use super::{Code, Problem};
use crate::access::refused::Refused;
use crate::access::token::TokenFault;

impl From<Refused> for Problem {
    fn from(refused: Refused) -> Self {
        match refused {
            Refused::NotSignedIn => {
                Self::new(Code::NotSignedIn).header(header::WWW_AUTHENTICATE, "Bearer realm=\"weftdesk\"")
            }
            Refused::Token(fault) => of_token(fault),
            Refused::AnotherSite => Self::new(Code::CrossSiteRequest),
            Refused::TooManyTries { wait_s } => Self::new(Code::TooManyTries).retry_after_s(wait_s),
            Refused::NoAccess => Self::internal(&refused),
        }
    }
}

/// The refusal of a token, with the challenge of RFC 6750 section 3.
fn of_token(fault: TokenFault) -> Problem {
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
    use actix_web::ResponseError;

    use super::*;

    #[track_caller]
    fn check(refused: Refused, code: Code, header: &str, said: &str) {
        let problem = Problem::from(refused);
        assert_eq!(problem.code(), code);
        let answer = problem.error_response();
        let line = answer.headers().get(header).unwrap().to_str().unwrap();
        assert!(line.contains(said), "{line}");
    }

    #[test]
    fn no_token_and_a_wrong_one_are_challenged_as_the_standard_says() {
        check(
            Refused::NotSignedIn,
            Code::NotSignedIn,
            "WWW-Authenticate",
            "Bearer",
        );
        let answer = Problem::from(Refused::NotSignedIn).error_response();
        let line = answer.headers().get("WWW-Authenticate").unwrap();
        assert!(!line.to_str().unwrap().contains("invalid_token"));
        for (fault, code) in [
            (TokenFault::Invalid, Code::TokenInvalid),
            (TokenFault::Expired, Code::TokenExpired),
        ] {
            check(
                Refused::Token(fault),
                code,
                "WWW-Authenticate",
                "error=\"invalid_token\"",
            );
        }
    }

    #[test]
    fn too_many_tries_say_when_the_next_one_is_granted() {
        let refused = Refused::TooManyTries { wait_s: 60 };
        check(refused, Code::TooManyTries, "Retry-After", "60");
    }
}
