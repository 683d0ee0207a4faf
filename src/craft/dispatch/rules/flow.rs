//! A racket in the house costs a little: what is early at no price is strung early.

/// Stable code.
pub const CODE: &str = "flow";

/// Price of a racket's stay from release to completion.
#[must_use]
pub const fn price(flow: i64, release: i64, completion: i64) -> i64 {
    flow * (completion - release)
}
