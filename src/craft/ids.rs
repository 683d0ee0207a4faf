//! Identities: an opaque typed text, `job_` and 26 symbols, that says what it names.
//!
//! The symbols are Crockford's base 32 (lower case) of a 128-bit number; the
//! caller passes the number in (a time-ordered UUID), so that nothing here
//! depends on chance or a clock.
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

const SYMBOLS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// How many symbols 128 bits take at 5 bits each.
const LENGTH: usize = 26;

/// A text that is not an identity of the wanted kind.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("must be an id that starts with `{prefix}_` and has 26 more symbols")]
pub struct NotAnId {
    /// What the id should have started with.
    pub prefix: &'static str,
}

fn encode(prefix: &str, number: u128) -> String {
    let mut text = String::with_capacity(prefix.len() + 1 + LENGTH);
    text.push_str(prefix);
    text.push('_');
    for place in (0..LENGTH).rev() {
        let symbol = (number >> (5 * place)) & 31;
        text.push(char::from(SYMBOLS[usize::try_from(symbol).unwrap_or(0)]));
    }
    text
}

fn is_id(prefix: &str, text: &str) -> bool {
    text.strip_prefix(prefix)
        .and_then(|rest| rest.strip_prefix('_'))
        .is_some_and(|symbols| {
            // 130 bits in 26 symbols: the first symbol holds three of the 128
            symbols.len() == LENGTH
                && symbols.bytes().all(|symbol| SYMBOLS.contains(&symbol))
                && symbols.as_bytes()[0] <= b'7'
        })
}

macro_rules! identity {
    ($($(#[$doc:meta])* $name:ident = $prefix:literal),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
        #[serde(try_from = "String", into = "String")]
        #[schema(value_type = String, pattern = "^[a-z]+_[0-9a-hjkmnp-tv-z]{26}$")]
        pub struct $name(String);

        impl $name {
            /// What every id of this kind starts with.
            pub const PREFIX: &'static str = $prefix;

            /// The id that carries `number`.
            #[must_use]
            pub fn from_number(number: u128) -> Self {
                Self(encode($prefix, number))
            }

            /// The id as text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl FromStr for $name {
            type Err = NotAnId;
            fn from_str(text: &str) -> Result<Self, NotAnId> {
                is_id($prefix, text).then(|| Self(text.to_owned())).ok_or(NotAnId { prefix: $prefix })
            }
        }

        impl TryFrom<String> for $name {
            type Error = NotAnId;
            fn try_from(text: String) -> Result<Self, NotAnId> {
                text.parse()
            }
        }

        impl From<$name> for String {
            fn from(id: $name) -> Self {
                id.0
            }
        }
    )+};
}

identity! {
    /// A tournament: everything else belongs to one.
    TournamentId = "tour",
    /// A person's or machine's sign-in.
    AccountId = "acct",
    /// A registered tablet, laptop, phone or wall screen.
    DeviceId = "dev",
    /// One signed-in stretch of an account on a device.
    SessionId = "sess",
    /// A player, who owns rackets.
    PlayerId = "plyr",
    /// A frame model's stringing facts.
    FrameId = "frm",
    /// One physical racket.
    RacketId = "rkt",
    /// A string product.
    StringId = "str",
    /// A reel, set, half set or offcut.
    StockPieceId = "piece",
    /// A stringing machine.
    MachineId = "mach",
    /// One calibration of a machine.
    CalibrationId = "cal",
    /// A machine with a stringer on shift at it.
    StationId = "stn",
    /// A person who strings.
    StringerId = "strg",
    /// One stringing of one racket to one spec.
    JobId = "job",
    /// Several rackets of one drop-off, strung back to back.
    BatchId = "batch",
    /// One try at a job.
    AttemptId = "att",
    /// One phase tap of an attempt.
    PhaseId = "phs",
    /// One check of a strung racket.
    CheckId = "chk",
    /// One stringbed reading.
    ReadingId = "rdg",
    /// Something that waits for a person's decision.
    SnagId = "snag",
    /// One hand-out of rackets.
    PickupId = "pick",
    /// One photo of a racket's marks.
    PhotoId = "photo",
    /// One entry of the event log.
    EventId = "evt",
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_carries_its_number_in_crockford_base_32() {
        // Crockford's base 32: 31 is the last symbol, z; 32 carries to the next place.
        assert_eq!(JobId::from_number(0).as_str(), "job_00000000000000000000000000");
        assert_eq!(
            JobId::from_number(32 + 31).as_str(),
            "job_0000000000000000000000001z"
        );
        assert_eq!(
            JobId::from_number(u128::MAX).as_str(),
            "job_7zzzzzzzzzzzzzzzzzzzzzzzzz"
        );
    }

    #[test]
    fn an_id_of_another_kind_or_shape_is_refused() {
        assert!("job_00000000000000000000000000".parse::<JobId>().is_ok());
        assert!("rkt_00000000000000000000000000".parse::<JobId>().is_err());
        assert!("job_0000000000000000000000000".parse::<JobId>().is_err());
        assert!("job_0000000000000000000000000u".parse::<JobId>().is_err());
        assert!("job_80000000000000000000000000".parse::<JobId>().is_err());
    }

    #[test]
    fn later_numbers_sort_later_as_text() {
        assert!(JobId::from_number(1 << 80) < JobId::from_number((1 << 80) + 1));
    }
}
