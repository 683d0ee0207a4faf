//! Stringbed readings: only ever compared with this racket's own earlier ones.
//!
//! A fresh bed loses quickly in the first hour, so like ages are compared; the band is common practice, no source.

/// What a bed should read, per cent of this racket's last reading at a like age.
pub const EXPECTED_PERCENT: (f64, f64) = (96.0, 104.0);

/// Readings whose ages differ by more than this factor are not compared. Own choice, no source.
const LIKE_AGE_FACTOR: f64 = 2.0;
/// Ages below this are alike, minutes. Own choice, no source.
const YOUNG_MIN: f64 = 20.0;

/// A reading with the bed's age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgedReading {
    /// In the instrument's own unit.
    pub value: f64,
    /// Minutes since the racket came off the machine.
    pub minutes_after: u32,
}

/// `now` as per cent of the newest of `before` (newest first) that has a like age; `None` without one.
#[must_use]
pub fn percent_of_last(now: AgedReading, before: &[AgedReading]) -> Option<f64> {
    let age = |reading: &AgedReading| f64::from(reading.minutes_after).max(YOUNG_MIN);
    let like = |reading: &&AgedReading| {
        let ratio = age(reading) / age(&now);
        (1.0 / LIKE_AGE_FACTOR..=LIKE_AGE_FACTOR).contains(&ratio) && reading.value > 0.0
    };
    before
        .iter()
        .find(like)
        .map(|last| now.value / last.value * 100.0)
}

/// Is a reading as it should be?
#[must_use]
pub fn is_expected(percent: f64) -> bool {
    (EXPECTED_PERCENT.0..=EXPECTED_PERCENT.1).contains(&percent)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn aged(value: f64, minutes_after: u32) -> AgedReading {
        AgedReading { value, minutes_after }
    }

    #[test]
    fn only_a_reading_of_like_age_is_compared_and_the_newest_of_them() {
        let before = [aged(30.0, 600), aged(50.0, 5), aged(40.0, 10)];
        assert_eq!(percent_of_last(aged(49.0, 8), &before), Some(98.0));
        assert_eq!(percent_of_last(aged(27.0, 500), &before), Some(90.0));
        assert_eq!(percent_of_last(aged(27.0, 120), &before), None);
        assert!(is_expected(98.0) && !is_expected(90.0));
    }
}
