//! Times of a tournament's day on the venue's clock, and the instants they mean.
use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, Days, NaiveDate, NaiveDateTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// A time of the tournament's day, `HH:MM` with hours up to 29: 24:30 is half past midnight, the same day of play.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DayTime {
    minutes: u16,
}

/// A text that is no time of a day of play.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("is not a time of the day; write HH:MM, with hours from 00 to 29 (24:30 is half past midnight)")]
pub struct NotADayTime;

impl DayTime {
    /// Minutes after midnight with which the day begins.
    #[must_use]
    pub const fn minutes(self) -> u16 {
        self.minutes
    }

    /// A time of the day that is written into the program: hours below 30, minutes below 60.
    #[must_use]
    pub const fn at(hours: u16, minutes: u16) -> Self {
        assert!(hours < 30 && minutes < 60, "a time of a day of play");
        Self {
            minutes: hours * 60 + minutes,
        }
    }

    /// The time so many minutes after midnight; none past 29:59.
    #[must_use]
    pub const fn from_minutes(minutes: u16) -> Option<Self> {
        if minutes < 30 * 60 {
            Some(Self { minutes })
        } else {
            None
        }
    }
}

impl FromStr for DayTime {
    type Err = NotADayTime;
    fn from_str(text: &str) -> Result<Self, NotADayTime> {
        let (hours, minutes) = text.split_once(':').ok_or(NotADayTime)?;
        let two = |digits: &str| -> Result<u16, NotADayTime> {
            if digits.len() != 2 || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
                return Err(NotADayTime);
            }
            digits.parse().map_err(|_unread| NotADayTime)
        };
        let (hours, minutes) = (two(hours)?, two(minutes)?);
        if minutes > 59 {
            return Err(NotADayTime);
        }
        Self::from_minutes(hours * 60 + minutes).ok_or(NotADayTime)
    }
}

impl fmt::Display for DayTime {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:02}:{:02}", self.minutes / 60, self.minutes % 60)
    }
}

/// What the clock did to a local time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockChange {
    /// Nothing: the clock shows it once.
    None,
    /// It is shown twice; the first is meant.
    ShownTwice,
    /// It is never shown; the offset before the gap is meant.
    NeverShown,
}

/// The instant of a local time (RFC 5545, section 3.3.5), and what the clock did to it.
///
/// `None` at the end of the calendar only.
#[must_use]
pub fn instant(zone: Tz, local: NaiveDateTime) -> Option<(DateTime<Utc>, ClockChange)> {
    match zone.from_local_datetime(&local) {
        chrono::LocalResult::Single(at) => Some((at.to_utc(), ClockChange::None)),
        chrono::LocalResult::Ambiguous(first, _) => Some((first.to_utc(), ClockChange::ShownTwice)),
        chrono::LocalResult::None => {
            // zones have skipped as much as a whole day
            let before = (1..=24 * 60)
                .filter_map(|minutes| local.checked_sub_signed(TimeDelta::minutes(minutes)))
                .find_map(|shown| zone.from_local_datetime(&shown).latest())?;
            let utc = local.checked_sub_offset(before.offset().fix())?.and_utc();
            Some((utc, ClockChange::NeverShown))
        }
    }
}

/// The instant of a time of the tournament's day.
#[must_use]
pub fn day_instant(zone: Tz, day: NaiveDate, time: DayTime) -> Option<(DateTime<Utc>, ClockChange)> {
    let date = day.checked_add_days(Days::new(u64::from(time.minutes / (24 * 60))))?;
    let minutes = u32::from(time.minutes % (24 * 60));
    instant(zone, date.and_hms_opt(minutes / 60, minutes % 60, 0)?)
}

/// The time of `day` that the venue's clock shows at `at`; none before the day or past 29:59.
#[must_use]
pub fn shown(zone: Tz, day: NaiveDate, at: DateTime<Utc>) -> Option<DayTime> {
    let local = at.with_timezone(&zone).naive_local();
    let minutes = local
        .signed_duration_since(day.and_hms_opt(0, 0, 0)?)
        .num_minutes();
    DayTime::from_minutes(u16::try_from(minutes).ok()?)
}

/// Whole minutes since the epoch.
#[must_use]
pub const fn minute_of(at: DateTime<Utc>) -> i64 {
    at.timestamp().div_euclid(60)
}

/// The instant of a minute since the epoch.
#[must_use]
pub fn at_minute(minute: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(minute.saturating_mul(60), 0).unwrap_or(DateTime::UNIX_EPOCH)
}

#[cfg(test)]
mod tests {
    use chrono_tz::{America, Asia, Europe, Pacific};
    use proptest::prelude::*;

    use super::*;

    fn local(text: &str) -> NaiveDateTime {
        text.parse().unwrap()
    }

    #[test]
    fn the_example_of_the_standard_is_the_first_of_two() {
        let (at, change) = instant(America::New_York, local("2007-11-04T01:30:00")).unwrap();
        assert_eq!(at.to_rfc3339(), "2007-11-04T05:30:00+00:00");
        assert_eq!(change, ClockChange::ShownTwice);
    }

    #[test]
    fn a_time_in_the_gap_takes_the_offset_before_it() {
        let (at, change) = instant(America::New_York, local("2007-03-11T02:30:00")).unwrap();
        assert_eq!(at.to_rfc3339(), "2007-03-11T07:30:00+00:00");
        assert_eq!(change, ClockChange::NeverShown);
        // Samoa left out 30 December 2011, offset before: -10
        let (at, _) = instant(Pacific::Apia, local("2011-12-30T12:00:00")).unwrap();
        assert_eq!(at.to_rfc3339(), "2011-12-30T22:00:00+00:00");
    }

    #[test]
    fn half_past_midnight_belongs_to_the_day_before() {
        let day = "2026-10-24".parse().unwrap();
        let (at, _) = day_instant(Europe::Paris, day, "24:30".parse().unwrap()).unwrap();
        assert_eq!(at.to_rfc3339(), "2026-10-24T22:30:00+00:00");
        assert_eq!(shown(Europe::Paris, day, at).unwrap().to_string(), "24:30");
    }

    #[test]
    fn only_two_digits_and_two_digits_are_a_time() {
        for text in ["11:00", "00:00", "29:59"] {
            assert_eq!(text.parse::<DayTime>().unwrap().to_string(), text);
        }
        for text in ["30:00", "9:00", "11:60", "11.00", "", "-1:00", "+1:00", "11:000"] {
            assert_eq!(text.parse::<DayTime>(), Err(NotADayTime), "{text}");
        }
    }

    proptest! {
        #[test]
        fn ordinary_times_are_shown_as_they_were_given(minutes in 0_u16..1800, day in 0_u64..3000) {
            let day = NaiveDate::from_ymd_opt(2020, 1, 1).unwrap().checked_add_days(Days::new(day)).unwrap();
            let time = DayTime::from_minutes(minutes).unwrap();
            for zone in [Asia::Tokyo, Europe::Paris, America::New_York] {
                let (at, change) = day_instant(zone, day, time).unwrap();
                if change == ClockChange::None {
                    prop_assert_eq!(shown(zone, day, at), Some(time));
                }
            }
        }
    }
}
