//! The code on the player's page that proves a pick-up: it changes, so a copied one soon is no use.
//!
//! A time-based one-time password (RFC 6238) over HMAC-SHA-256 with the player's private link as its secret.
use chrono::{DateTime, Utc};
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

/// A code is shown for ten minutes and taken for another ten: the walk to the desk. Own choice, no source.
const STEP_S: i64 = 600;
const DIGITS: u32 = 6;

/// The code that a player's page shows now, six digits.
#[must_use]
pub fn shown(link_token: &str, now: DateTime<Utc>) -> String {
    code(link_token.as_bytes(), now.timestamp().div_euclid(STEP_S), DIGITS)
}

/// Until when the code of `now` is taken.
#[must_use]
pub fn taken_until(now: DateTime<Utc>) -> DateTime<Utc> {
    let step = now.timestamp().div_euclid(STEP_S);
    DateTime::from_timestamp((step + 2) * STEP_S, 0).unwrap_or(now)
}

/// Is `typed` the code of now or of the ten minutes before? Spaces are not counted.
#[must_use]
pub fn fits(link_token: &str, typed: &str, now: DateTime<Utc>) -> bool {
    let typed: String = typed.chars().filter(|one| !one.is_whitespace()).collect();
    let step = now.timestamp().div_euclid(STEP_S);
    [step, step - 1]
        .into_iter()
        .any(|step| code(link_token.as_bytes(), step, DIGITS) == typed)
}

/// RFC 4226 section 5.3 (dynamic truncation) over the counter of RFC 6238.
fn code(secret: &[u8], step: i64, digits: u32) -> String {
    let Ok(mut mac) = Hmac::<Sha256>::new_from_slice(secret) else {
        // HMAC takes a key of any length
        return String::new();
    };
    mac.update(&step.to_be_bytes());
    let sum = mac.finalize().into_bytes();
    let start = usize::from(sum[sum.len() - 1] & 0x0f);
    let number = u32::from_be_bytes([sum[start] & 0x7f, sum[start + 1], sum[start + 2], sum[start + 3]]);
    let width = digits as usize;
    format!("{:0width$}", number % 10_u32.pow(digits))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_values_of_the_standard_come_out() {
        // RFC 6238 appendix B, mode SHA256, eight digits, steps of 30 s.
        let secret = b"12345678901234567890123456789012";
        for (at_s, expected) in [
            (59_i64, "46119246"),
            (1_111_111_109, "68084774"),
            (1_111_111_111, "67062674"),
            (1_234_567_890, "91819424"),
            (2_000_000_000, "90698825"),
            (20_000_000_000, "77737706"),
        ] {
            assert_eq!(code(secret, at_s / 30, 8), expected, "{at_s}");
        }
    }

    #[test]
    fn a_code_is_good_for_ten_to_twenty_minutes() {
        let at = |second: i64| DateTime::from_timestamp(1_777_723_200 + second, 0).unwrap();
        let code = shown("invented-link", at(0));
        assert_eq!(code.len(), 6);
        assert!(fits("invented-link", &code, at(0)));
        assert!(fits(
            "invented-link",
            &format!("{} {}", &code[..3], &code[3..]),
            at(1_199)
        ));
        assert!(!fits("invented-link", &code, at(1_200)));
        assert_eq!([taken_until(at(0)), taken_until(at(599))], [at(1_200); 2]);
        assert!(!fits("another-link", &code, at(0)));
        assert!(!fits("invented-link", "", at(0)));
    }
}
