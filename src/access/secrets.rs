//! Passwords and PINs: what is good enough, and Argon2id (RFC 9106) over it.
//!
//! Hashing takes tens of milliseconds of one core by design: call it off the
//! threads that serve requests.
use std::sync::OnceLock;

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use unicode_normalization::UnicodeNormalization;

/// Why a secret cannot be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SecretFault {
    #[error("must have at least 10 characters")]
    PasswordTooShort,
    #[error("must have at most 200 characters")]
    PasswordTooLong,
    #[error("must be 4 to 8 digits")]
    PinNotDigits,
    #[error("must not be one digit repeated or a run such as 1234")]
    PinTooPlain,
    #[error("could not be hashed")]
    Hashing,
}

/// A password as its owner typed it, in one Unicode form. Shown to nobody.
pub struct Password(String);

impl Password {
    /// # Errors
    /// When it is shorter than 10 or longer than 200 characters (own limits, no source).
    pub fn parse(typed: &str) -> Result<Self, SecretFault> {
        let text: String = typed.nfc().collect();
        match text.chars().count() {
            0..10 => Err(SecretFault::PasswordTooShort),
            10..=200 => Ok(Self(text)),
            201.. => Err(SecretFault::PasswordTooLong),
        }
    }

    /// # Errors
    /// [`SecretFault::Hashing`].
    pub fn hash(&self) -> Result<String, SecretFault> {
        hash(&self.0)
    }
}

/// A PIN for switching users on a registered device.
pub struct Pin(String);

impl Pin {
    /// # Errors
    /// When it is not 4 to 8 digits, or among the first anybody would try.
    pub fn parse(typed: &str) -> Result<Self, SecretFault> {
        let digits = typed.as_bytes();
        if !(4..=8).contains(&digits.len()) || !digits.iter().all(u8::is_ascii_digit) {
            return Err(SecretFault::PinNotDigits);
        }
        let steps = |step: i16| {
            digits
                .windows(2)
                .all(|pair| i16::from(pair[1]) - i16::from(pair[0]) == step)
        };
        if steps(0) || steps(1) || steps(-1) {
            return Err(SecretFault::PinTooPlain);
        }
        Ok(Self(typed.to_owned()))
    }

    /// # Errors
    /// [`SecretFault::Hashing`].
    pub fn hash(&self) -> Result<String, SecretFault> {
        hash(&self.0)
    }
}

/// Does what was typed fit the stored hash? With no stored hash a made-up one is
/// checked, so that the time taken does not tell whether an account exists.
pub fn verify(typed: &str, stored: Option<&str>) -> bool {
    static NOBODY: OnceLock<Option<String>> = OnceLock::new();
    let text: String = typed.nfc().collect();
    let fits = |hash: &str| {
        PasswordHash::new(hash)
            .is_ok_and(|hash| Argon2::default().verify_password(text.as_bytes(), &hash).is_ok())
    };
    match stored {
        Some(hash) => fits(hash),
        None => {
            let nobody = NOBODY.get_or_init(|| hash("nobody has this password").ok());
            let _ = nobody.as_deref().is_some_and(fits);
            false
        }
    }
}

fn hash(text: &str) -> Result<String, SecretFault> {
    match Argon2::default().hash_password(text.as_bytes()) {
        Ok(hash) => Ok(hash.to_string()),
        Err(error) => {
            tracing::error!(error = %error, "a secret could not be hashed");
            Err(SecretFault::Hashing)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_argon2id_salted_and_fits_only_its_secret() {
        let password = Password::parse("correct horse").unwrap();
        let (one, two) = (password.hash().unwrap(), password.hash().unwrap());
        assert!(one.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{one}");
        assert_ne!(one, two);
        assert!(verify("correct horse", Some(&one)));
        assert!(!verify("correct horsf", Some(&one)));
        assert!(!verify("correct horse", Some("not a hash")));
        assert!(!verify("nobody has this password", None));
    }

    #[test]
    fn both_ways_to_type_an_umlaut_are_one_password() {
        let hash = Password::parse("schl\u{e4}ger-24").unwrap().hash().unwrap();
        assert!(verify("schla\u{308}ger-24", Some(&hash)));
    }

    #[test]
    fn plain_secrets_are_refused() {
        assert_eq!(
            Password::parse("short").err(),
            Some(SecretFault::PasswordTooShort)
        );
        assert_eq!(
            Password::parse(&"x".repeat(201)).err(),
            Some(SecretFault::PasswordTooLong)
        );
        for pin in ["123", "12a4", "123456789", "١٢٣٤"] {
            assert_eq!(Pin::parse(pin).err(), Some(SecretFault::PinNotDigits), "{pin}");
        }
        for pin in ["0000", "1234", "8765"] {
            assert_eq!(Pin::parse(pin).err(), Some(SecretFault::PinTooPlain), "{pin}");
        }
        assert!(verify("2905", Some(&Pin::parse("2905").unwrap().hash().unwrap())));
    }
}
