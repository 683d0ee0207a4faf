//! When the business day at a venue ends.
//!
//! A day at the desk goes on past midnight and ends at a set time on the venue's
//! clock, also in the nights when clocks are moved.
use chrono::{DateTime, Days, NaiveDateTime, NaiveTime, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// The longest stretch of local time that a zone has skipped at once: a whole day, in minutes.
const LONGEST_GAP_MIN: i64 = 24 * 60;

/// Reads the time at which business days end, `HH:MM`.
#[must_use]
pub fn day_end_time(text: &str) -> Option<NaiveTime> {
    let time = NaiveTime::parse_from_str(text, "%H:%M").ok()?;
    (text.len() == 5).then_some(time)
}

/// The first end of a business day after `now`, for days that end at `ends` in `zone`.
///
/// Where the clocks jump over `ends`, the day ends as they jump; where they show
/// it twice, it ends the first time. `None` only at the end of the calendar.
#[must_use]
pub fn business_day_end(now: DateTime<Utc>, zone: Tz, ends: NaiveTime) -> Option<DateTime<Utc>> {
    let today = now.with_timezone(&zone).date_naive();
    // two days ahead, because a zone that leaves out a day ends two business days at one instant
    (0..=2)
        .filter_map(|days| today.checked_add_days(Days::new(days)))
        .filter_map(|date| first_instant(zone, date.and_time(ends)))
        .find(|end| *end > now)
}

/// The first instant at which the zone's clock shows `local`, or has jumped past it.
fn first_instant(zone: Tz, local: NaiveDateTime) -> Option<DateTime<Utc>> {
    (0..=LONGEST_GAP_MIN)
        .filter_map(|minutes| local.checked_add_signed(TimeDelta::minutes(minutes)))
        .find_map(|shown| zone.from_local_datetime(&shown).earliest())
        .map(|instant| instant.to_utc())
}

#[cfg(test)]
mod tests {
    use chrono_tz::{America, Asia, Australia, Europe, Pacific};
    use proptest::prelude::*;

    use super::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    fn end(now: &str, zone: Tz, ends: &str) -> String {
        let end = business_day_end(utc(now), zone, day_end_time(ends).unwrap()).unwrap();
        end.format("%Y-%m-%dT%H:%MZ").to_string()
    }

    #[test]
    fn an_evening_and_the_small_hours_belong_to_one_day() {
        assert_eq!(
            end("2026-06-01T20:00:00Z", Europe::Paris, "04:00"),
            "2026-06-02T02:00Z"
        );
        assert_eq!(
            end("2026-06-02T01:59:59Z", Europe::Paris, "04:00"),
            "2026-06-02T02:00Z"
        );
        assert_eq!(
            end("2026-06-02T02:00:00Z", Europe::Paris, "04:00"),
            "2026-06-03T02:00Z"
        );
        // 19:30 UTC is one in the morning in Kolkata, so the date there is already the next
        assert_eq!(
            end("2026-06-01T19:30:00Z", Asia::Kolkata, "04:00"),
            "2026-06-01T22:30Z"
        );
    }

    // The instants of the changes are those of the IANA time zone database: Paris went to
    // summer time on 2026-03-29 at 01:00Z and back on 2026-10-25 at 01:00Z, New York on
    // 2026-03-08 at 07:00Z, Lord Howe back by half an hour on 2026-04-04 at 15:00Z.
    #[test]
    fn a_time_that_is_jumped_over_ends_the_day_at_the_jump() {
        assert_eq!(
            end("2026-03-28T20:00:00Z", Europe::Paris, "02:30"),
            "2026-03-29T01:00Z"
        );
        assert_eq!(
            end("2026-03-08T03:00:00Z", America::New_York, "02:00"),
            "2026-03-08T07:00Z"
        );
        assert_eq!(
            end("2026-03-28T20:00:00Z", Europe::Paris, "04:00"),
            "2026-03-29T02:00Z"
        );
    }

    #[test]
    fn a_time_that_is_shown_twice_ends_the_day_once() {
        assert_eq!(
            end("2026-10-24T20:00:00Z", Europe::Paris, "02:30"),
            "2026-10-25T00:30Z"
        );
        assert_eq!(
            end("2026-10-25T00:45:00Z", Europe::Paris, "02:30"),
            "2026-10-26T01:30Z"
        );
        assert_eq!(
            end("2026-04-04T12:00:00Z", Australia::Lord_Howe, "01:45"),
            "2026-04-04T14:45Z"
        );
    }

    #[test]
    fn a_day_that_a_zone_left_out_ends_as_the_next_begins() {
        // Samoa left out 2011-12-30: 2011-12-30T10:00Z was the midnight from the 29th to the 31st
        assert_eq!(
            end("2011-12-30T05:00:00Z", Pacific::Apia, "04:00"),
            "2011-12-30T10:00Z"
        );
        assert_eq!(
            end("2011-12-30T10:00:00Z", Pacific::Apia, "04:00"),
            "2011-12-30T14:00Z"
        );
    }

    #[test]
    fn only_a_time_of_the_day_is_read() {
        assert_eq!(day_end_time("04:00"), NaiveTime::from_hms_opt(4, 0, 0));
        for text in ["24:00", "4:00", "04:00:00", "noon", ""] {
            assert_eq!(day_end_time(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn the_end_lies_ahead_within_a_day_and_the_clocks_change(
            zone in prop::sample::select(chrono_tz::TZ_VARIANTS.to_vec()),
            now_s in 1_577_836_800_i64..1_893_456_000,
            minute in 0_u32..1440,
        ) {
            let now = DateTime::from_timestamp(now_s, 0).unwrap();
            let ends = NaiveTime::from_hms_opt(minute / 60, minute % 60, 0).unwrap();
            let end = business_day_end(now, zone, ends).unwrap();
            prop_assert!(end > now);
            // the largest step back in these years is three hours, at Casey
            prop_assert!(end - now <= TimeDelta::hours(27));
            // all the time up to the end, the same end is named
            let halfway = now + (end - now) / 2;
            prop_assert_eq!(business_day_end(halfway, zone, ends), Some(end));
        }
    }
}
