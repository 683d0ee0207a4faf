//! `--clock`: another time at the desk, perhaps running faster; for demos and rehearsals.
use chrono::{DateTime, Utc};

use crate::desk::Clock;

/// The fastest desk clock: an hour in a second.
const FASTEST: f64 = 3600.0;

/// When the desk clock starts and how fast it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockOption {
    start: DateTime<Utc>,
    rate: f64,
}

impl ClockOption {
    /// The clock, starting now.
    #[must_use]
    pub fn clock(option: Option<Self>) -> Clock {
        option.map_or_else(Clock::real, |option| {
            Clock::starting_at(option.start, option.rate)
        })
    }
}

impl std::str::FromStr for ClockOption {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let (start, rate) = text.split_once('@').unwrap_or((text, "1x"));
        let start = DateTime::parse_from_rfc3339(start)
            .map_err(|_unreadable| format!("\"{start}\" is not a time such as 2026-05-02T08:00:00Z"))?;
        let rate = rate
            .strip_suffix('x')
            .and_then(|number| number.parse::<f64>().ok())
            .filter(|rate| (0.1..=FASTEST).contains(rate))
            .ok_or_else(|| format!("\"{rate}\" is not a pace from 0.1x to {FASTEST}x, such as 20x"))?;
        Ok(Self {
            start: start.to_utc(),
            rate,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_is_a_time_and_perhaps_a_pace() {
        let plain: ClockOption = "2026-05-02T08:00:00Z".parse().unwrap();
        assert!((plain.rate - 1.0).abs() < f64::EPSILON);
        let fast: ClockOption = "2026-05-02T10:00:00+02:00@20x".parse().unwrap();
        assert_eq!(fast.start, plain.start);
        assert!((fast.rate - 20.0).abs() < f64::EPSILON);
        for wrong in [
            "today",
            "2026-05-02T08:00:00Z@20",
            "2026-05-02T08:00:00Z@0x",
            "2026-05-02T08:00:00Z@NaNx",
        ] {
            assert!(wrong.parse::<ClockOption>().is_err(), "{wrong}");
        }
    }
}
