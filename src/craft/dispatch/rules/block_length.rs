//! A block is exactly set-up plus stringing.
use crate::dispatch::problem::{Attributes, Job, SetUp, Station};

/// Stable code.
pub const CODE: &str = "block_length";

/// Seconds of stringing, without set-up, at the station's pace: rounded half up.
#[must_use]
pub const fn stringing_s(job: &Job, station: &Station) -> i64 {
    (job.base * station.pace + 500) / 1000
}

/// Seconds to make ready for `next` after `before`; after nothing, everything has to be set.
#[must_use]
pub fn set_up_s(set_up: &SetUp, before: Option<&Attributes>, next: &Attributes) -> i64 {
    let Some(before) = before else {
        return set_up.main + set_up.cross + set_up.pattern + set_up.mount + set_up.tension;
    };
    let pay = |same: bool, seconds: i64| if same { 0 } else { seconds };
    pay(before.main == next.main, set_up.main)
        + pay(before.cross == next.cross, set_up.cross)
        + pay(before.pattern == next.pattern, set_up.pattern)
        + pay(before.mount == next.mount, set_up.mount)
        + pay(before.tension == next.tension, set_up.tension)
}
