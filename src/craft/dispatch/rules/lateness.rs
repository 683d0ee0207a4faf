//! A late racket costs a step, however late it is.

/// Stable code.
pub const CODE: &str = "late";

/// Price of being late at all.
#[must_use]
pub const fn price(late: i64, seconds_late: i64) -> i64 {
    if seconds_late > 0 { late } else { 0 }
}
