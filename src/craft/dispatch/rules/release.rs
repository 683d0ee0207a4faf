//! The set-up needs the racket: no block starts before its release.

/// Stable code.
pub const CODE: &str = "before_release";

/// The earliest start of a block on a station that is free from `free`.
#[must_use]
pub const fn earliest(release: i64, free: i64) -> i64 {
    if free > release { free } else { release }
}
