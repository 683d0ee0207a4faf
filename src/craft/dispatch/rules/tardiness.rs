//! Each second late costs by the job's weight.

/// Stable code.
pub const CODE: &str = "weighted_tardiness";

/// Price of the seconds late.
#[must_use]
pub const fn price(tardy: i64, weight: i64, seconds_late: i64) -> i64 {
    if seconds_late > 0 {
        tardy * weight * seconds_late
    } else {
        0
    }
}
