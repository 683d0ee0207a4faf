//! Access tokens: JWT (RFC 7519) with `typ: at+jwt` (RFC 9068), HS256 alone.
//!
//! A token is taken only when its header is exactly the one we write: no other
//! algorithm, type, key address or extension is ever looked at (RFC 8725).
use chrono::{DateTime, TimeDelta, Utc};
use jsonwebtoken::{Algorithm, DecodingKey, EncodingKey, Header, Validation};
use serde::{Deserialize, Serialize};

use super::hs256;

/// How long an access token lives.
pub const ACCESS_LIFETIME: TimeDelta = TimeDelta::minutes(15);
/// How long a stream ticket lives.
pub const TICKET_LIFETIME: TimeDelta = TimeDelta::seconds(30);
/// Every token is for this service alone.
const AUDIENCE: &str = "weftdesk";
/// Clocks of two instances may differ by this much before a token counts as not yet valid.
const SKEW_S: i64 = 5;

/// Kinds of token; one can never stand in for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    Access,
    StreamTicket,
}

impl TokenKind {
    const fn typ(self) -> &'static str {
        match self {
            Self::Access => "at+jwt",
            Self::StreamTicket => "stream-ticket+jwt",
        }
    }

    const fn lifetime(self) -> TimeDelta {
        match self {
            Self::Access => ACCESS_LIFETIME,
            Self::StreamTicket => TICKET_LIFETIME,
        }
    }
}

/// Who a token speaks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Identity {
    /// The account.
    pub sub: String,
    /// The tournament; everything the caller may see belongs to it.
    pub tid: String,
    /// The role's name.
    pub role: String,
    /// The session, for signing out.
    pub sid: String,
    /// The registered device, when there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub did: Option<String>,
}

/// All claims of a token.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Claims {
    pub iss: String,
    pub aud: String,
    #[serde(flatten)]
    pub identity: Identity,
    /// Issued at, not before, expires at: seconds since 1970.
    pub iat: i64,
    pub nbf: i64,
    pub exp: i64,
    /// Names this one token.
    pub jti: String,
}

/// Why a token is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TokenFault {
    #[error("the token has expired")]
    Expired,
    #[error("the token is not valid")]
    Invalid,
    #[error("another token crypto provider is installed")]
    OtherProvider,
    #[error("no random numbers")]
    NoRandomness,
}

/// Signs and checks tokens.
pub struct TokenKeys {
    signing: EncodingKey,
    checking: DecodingKey,
    issuer: String,
}

impl TokenKeys {
    /// Keys from 32 secret bytes.
    ///
    /// # Errors
    /// [`TokenFault::OtherProvider`].
    pub fn new(key: &[u8; 32], issuer: &str) -> Result<Self, TokenFault> {
        if !hs256::install() {
            return Err(TokenFault::OtherProvider);
        }
        Ok(Self {
            signing: EncodingKey::from_secret(key),
            checking: DecodingKey::from_secret(key),
            issuer: issuer.to_owned(),
        })
    }

    /// Issues a token of `kind` at `now`.
    ///
    /// # Errors
    /// Only when the machine has no randomness or signing fails.
    pub fn issue(
        &self,
        kind: TokenKind,
        identity: &Identity,
        now: DateTime<Utc>,
    ) -> Result<String, TokenFault> {
        let seconds = now.timestamp();
        let claims = Claims {
            iss: self.issuer.clone(),
            aud: AUDIENCE.to_owned(),
            identity: identity.clone(),
            iat: seconds,
            nbf: seconds,
            exp: (now + kind.lifetime()).timestamp(),
            jti: random_name()?,
        };
        jsonwebtoken::encode(&header(kind), &claims, &self.signing).map_err(|error| {
            tracing::error!(error = %error, "a token could not be signed");
            TokenFault::Invalid
        })
    }

    /// Checks a token of `kind` at `now` and gives its claims.
    ///
    /// # Errors
    /// [`TokenFault::Expired`], or [`TokenFault::Invalid`] for everything else.
    pub fn check(&self, kind: TokenKind, token: &str, now: DateTime<Utc>) -> Result<Claims, TokenFault> {
        let mut rules = Validation::new(Algorithm::HS256);
        rules.set_issuer(&[&self.issuer]);
        rules.set_audience(&[AUDIENCE]);
        // times are checked below, by the clock that was passed in
        rules.validate_exp = false;
        rules.required_spec_claims.clear();
        let Ok(data) = jsonwebtoken::decode::<Claims>(token, &self.checking, &rules) else {
            return Err(TokenFault::Invalid);
        };
        let (claims, seconds) = (data.claims, now.timestamp());
        let ours = data.header == header(kind) && claims.exp - claims.iat == kind.lifetime().num_seconds();
        if !ours || claims.nbf > seconds + SKEW_S || claims.iat > seconds + SKEW_S {
            return Err(TokenFault::Invalid);
        }
        if claims.exp <= seconds {
            return Err(TokenFault::Expired);
        }
        Ok(claims)
    }
}

fn header(kind: TokenKind) -> Header {
    Header {
        typ: Some(kind.typ().to_owned()),
        ..Header::new(Algorithm::HS256)
    }
}

/// A name nobody can guess: 128 random bits in base64url.
fn random_name() -> Result<String, TokenFault> {
    use base64::Engine as _;
    let mut bytes = [0; 16];
    if getrandom::fill(&mut bytes).is_err() {
        return Err(TokenFault::NoRandomness);
    }
    Ok(base64::engine::general_purpose::URL_SAFE_NO_PAD.encode(bytes))
}

#[cfg(test)]
mod tests {
    use base64::Engine as _;
    use base64::engine::general_purpose::URL_SAFE_NO_PAD as BASE64URL;
    use serde_json::{Value, json};

    use super::*;

    const KEY: [u8; 32] = [7; 32];

    fn at(minute: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_777_708_800 + minute * 60, 0).unwrap()
    }

    fn keys() -> TokenKeys {
        TokenKeys::new(&KEY, "https://desk.example").unwrap()
    }

    fn identity() -> Identity {
        Identity {
            sub: "acc_1".into(),
            tid: "trn_1".into(),
            role: "desk".into(),
            sid: "ses_1".into(),
            did: Some("dev_1".into()),
        }
    }

    /// Signs any header and claims with our key: what a forger with the key could make.
    fn forged(header: &Value, claims: &Value) -> String {
        use hmac::{Hmac, KeyInit, Mac};
        let part = |value: &Value| BASE64URL.encode(value.to_string());
        let text = format!("{}.{}", part(header), part(claims));
        let mac = <Hmac<sha2::Sha256>>::new_from_slice(&KEY)
            .unwrap()
            .chain_update(&text)
            .finalize();
        format!("{text}.{}", BASE64URL.encode(mac.into_bytes()))
    }

    fn claims() -> Value {
        let seconds = at(0).timestamp();
        json!({"iss": "https://desk.example", "aud": "weftdesk", "sub": "acc_1", "tid": "trn_1", "role": "desk",
               "sid": "ses_1", "did": "dev_1", "iat": seconds, "nbf": seconds, "exp": seconds + 900, "jti": "x"})
    }

    #[test]
    fn a_token_is_good_for_fifteen_minutes() {
        let token = keys().issue(TokenKind::Access, &identity(), at(0)).unwrap();
        assert_eq!(
            keys().check(TokenKind::Access, &token, at(14)).unwrap().identity,
            identity()
        );
        assert_eq!(
            keys().check(TokenKind::Access, &token, at(15)),
            Err(TokenFault::Expired)
        );
        assert_eq!(
            keys().check(TokenKind::Access, &token, at(-1)),
            Err(TokenFault::Invalid)
        );
    }

    #[test]
    fn only_our_exact_header_is_taken() {
        let good = json!({"typ": "at+jwt", "alg": "HS256"});
        let check = |header: Value| keys().check(TokenKind::Access, &forged(&header, &claims()), at(1));
        assert!(check(good).is_ok());
        for header in [
            json!({"typ": "at+jwt", "alg": "none"}),
            json!({"typ": "at+jwt", "alg": "HS512"}),
            json!({"typ": "at+jwt", "alg": "RS256"}),
            json!({"typ": "JWT", "alg": "HS256"}),
            json!({"alg": "HS256"}),
            json!({"typ": "stream-ticket+jwt", "alg": "HS256"}),
            json!({"typ": "at+jwt", "alg": "HS256", "kid": "other"}),
            json!({"typ": "at+jwt", "alg": "HS256", "jku": "https://evil.example/keys"}),
            json!({"typ": "at+jwt", "alg": "HS256", "crit": ["exp"]}),
            json!({"typ": "at+jwt", "alg": "HS256", "mine": 1}),
        ] {
            assert_eq!(check(header.clone()), Err(TokenFault::Invalid), "{header}");
        }
    }

    #[test]
    fn every_claim_is_checked() {
        let header = json!({"typ": "at+jwt", "alg": "HS256"});
        for (name, value) in [
            ("iss", json!("https://other.example")),
            ("aud", json!("other")),
            ("exp", json!(at(0).timestamp() + 90_000)),
            ("nbf", json!(at(5).timestamp())),
            ("iat", json!(at(5).timestamp())),
            ("sub", Value::Null),
            ("tid", Value::Null),
            ("role", Value::Null),
            ("sid", Value::Null),
            ("jti", Value::Null),
        ] {
            let mut changed = claims();
            changed[name] = value;
            let outcome = keys().check(TokenKind::Access, &forged(&header, &changed), at(1));
            assert_eq!(outcome, Err(TokenFault::Invalid), "{name}");
            changed.as_object_mut().unwrap().remove(name);
            let outcome = keys().check(TokenKind::Access, &forged(&header, &changed), at(1));
            assert_eq!(outcome, Err(TokenFault::Invalid), "without {name}");
        }
    }

    #[test]
    fn changed_unsigned_and_foreign_tokens_are_refused() {
        let token = keys().issue(TokenKind::Access, &identity(), at(0)).unwrap();
        let (text, signed) = token.rsplit_once('.').unwrap();
        let other = TokenKeys::new(&[8; 32], "https://desk.example").unwrap();
        let foreign = other.issue(TokenKind::Access, &identity(), at(0)).unwrap();
        let swapped = format!("{}.{signed}", text.replacen('.', ".A", 1));
        for token in ["", "a.b.c", text, &format!("{text}."), &swapped, &foreign] {
            assert_eq!(
                keys().check(TokenKind::Access, token, at(1)),
                Err(TokenFault::Invalid),
                "{token}"
            );
        }
    }

    /// The signature of the HS256 example in RFC 7515, appendix A.1.
    #[test]
    fn our_hs256_agrees_with_the_standards_example() {
        let key = "AyM1SysPpbyDfgZld3umj1qzKObwVMkoqQ-EstJQLr_T-1qS0gZH75aKtMN3Yj0iPS4hcgUuTwjAzZr1Z9CAow";
        let text = "eyJ0eXAiOiJKV1QiLA0KICJhbGciOiJIUzI1NiJ9.\
                    eyJpc3MiOiJqb2UiLA0KICJleHAiOjEzMDA4MTkzODAsDQogImh0dHA6Ly9leGFtcGxlLmNvbS9pc19yb290Ijp0cnVlfQ";
        assert!(hs256::install());
        let key = EncodingKey::from_secret(&BASE64URL.decode(key).unwrap());
        let signed = jsonwebtoken::crypto::sign(text.as_bytes(), &key, Algorithm::HS256).unwrap();
        assert_eq!(signed, "dBjftJeZ4CVP-mB92K27uhbUJU1p1r_wW1gFWFOEjXk");
    }
}
