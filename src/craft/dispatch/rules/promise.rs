//! A player who was told a time comes back for it: work that came later does not push theirs past it for nothing.
//!
//! Without this price a long job with a far ready-by gives way to every shorter one that comes in after it, each time
//! a little later than its player was told.

/// Price of one second, where nothing else is said.
///
/// Twenty of the house's seconds, so that it holds against a whole drop-off that came later; far less than a second
/// late at any weight, so that no ready-by is given up for it. Common practice, no source.
pub const PRICE: i64 = 20;

/// Price of being strung so many seconds after the time that keeps what was told.
#[must_use]
pub const fn price(promise: i64, seconds_after: i64) -> i64 {
    if seconds_after > 0 {
        promise * seconds_after
    } else {
        0
    }
}
