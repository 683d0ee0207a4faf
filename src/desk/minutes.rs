//! Seconds as people read them: one rounding for every sentence, chip and chain.

/// Whole minutes, half a minute up; a time before now keeps its sign.
#[must_use]
pub const fn minutes(seconds: i64) -> i64 {
    (seconds + 30).div_euclid(60)
}

/// How many minutes late: what is late at all is late by one.
#[must_use]
pub const fn late_minutes(seconds: i64) -> i64 {
    let minutes = minutes(seconds);
    if seconds > 0 && minutes < 1 { 1 } else { minutes }
}

/// The links of a chain in minutes that add up to the whole chain's.
#[must_use]
pub fn links<const N: usize>(seconds: [i64; N]) -> [i64; N] {
    let mut passed = 0;
    seconds.map(|link| {
        let before = minutes(passed);
        passed += link;
        minutes(passed) - before
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_minute_is_one_and_late_is_never_none() {
        assert_eq!([29, 30, 89, 90, -29, -31].map(minutes), [0, 1, 1, 2, 0, -1]);
        assert_eq!([0, 1, 60, 4291].map(late_minutes), [0, 1, 1, 72]);
    }

    #[test]
    fn links_add_up_whatever_each_would_be_alone() {
        assert_eq!(links([29, 29, 29, 29]), [0, 1, 0, 1]);
        for seconds in [[600, 185, 1043, 240], [0, 30, 30, 30], [59, 59, 59, 59]] {
            let told: i64 = links(seconds).iter().sum();
            assert_eq!(told, minutes(seconds.iter().sum()));
        }
    }
}
