//! When stations work by the published shifts: what a plan may count on.
//!
//! An open station works until its shift ends and again from its next one; where no shift of its own covers
//! this moment nobody has said when it ends, and it works on. A closed one counts from the beginning of its
//! next shift; one whose shift has begun and that is closed was closed by a person, who knows better.
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::craft::dispatch::problem::Window;
use crate::craft::match_times::venue_time::day_instant;
use crate::desk::court_times::board;
use crate::desk::publish_shifts;
use crate::desk::refusal::DeskResult;
use crate::desk::tomorrow::USUAL_OPENING;
use crate::storage::Db;
use crate::storage::workshop::places::Station;

/// Days of work from yesterday, which goes on past midnight, to tomorrow.
const DAYS: std::ops::RangeInclusive<i64> = -1..=1;

/// The published shifts about this moment, in the order of their beginnings.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hours {
    shifts: Vec<Span>,
    zone: Tz,
}

/// One shift as instants.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Span {
    station_id: String,
    stringer_id: Option<String>,
    from: DateTime<Utc>,
    to: DateTime<Utc>,
}

/// What a plan may count on at a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Working {
    /// Who works there.
    pub stringer_id: Option<String>,
    /// Shifts, in seconds from now.
    shifts_s: Vec<(i64, i64)>,
    /// From here on it works as long as a plan reaches.
    goes_on_s: i64,
}

impl Working {
    /// When it takes new work, free from `free_s` on: upwards, and the last one ends at `reach_s`.
    #[must_use]
    pub fn windows(&self, free_s: i64, reach_s: i64) -> Vec<Window> {
        let mut windows: Vec<Window> = Vec::new();
        for &(from, to) in self.shifts_s.iter().chain([&(self.goes_on_s, reach_s)]) {
            match windows.last_mut() {
                // yesterday's shift may go on past midnight into today's
                Some(before) if from <= before.to => before.to = before.to.max(to),
                _ if from.max(free_s) < to => windows.push(Window {
                    from: from.max(free_s),
                    to,
                }),
                _ => {}
            }
        }
        windows
    }
}

impl Hours {
    /// The shifts of yesterday, today and tomorrow on the venue's clock.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn about(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Self> {
        let zone = board::zone(db, tournament)?;
        let today = now.with_timezone(&zone).date_naive();
        let mut shifts = Vec::new();
        for day in DAYS.filter_map(|days| today.checked_add_signed(TimeDelta::days(days))) {
            let published = publish_shifts::of_day(db, tournament, &day.to_string())?;
            for shift in published.into_iter().flat_map(|published| published.shifts) {
                let at = |time: &str| Some(day_instant(zone, day, time.parse().ok()?)?.0);
                // what was published was read before
                if let (Some(from), Some(to)) = (at(&shift.from), at(&shift.to)) {
                    shifts.push(Span {
                        station_id: shift.station_id,
                        stringer_id: shift.stringer_id,
                        from,
                        to,
                    });
                }
            }
        }
        shifts.sort_by_key(|span| span.from);
        Ok(Self { shifts, zone })
    }

    /// When a station works; nothing where it is closed and has no shift to come.
    #[must_use]
    pub fn at(&self, station: &Station, now: DateTime<Utc>) -> Option<Working> {
        let own = |span: &&Span| span.station_id == station.id && span.to > now;
        let (begun, coming): (Vec<_>, Vec<_>) =
            self.shifts.iter().filter(own).partition(|span| span.from <= now);
        let counted = match (station.open, begun.is_empty()) {
            (true, true) => {
                return Some(Working {
                    stringer_id: station.stringer_id.clone(),
                    shifts_s: Vec::new(),
                    goes_on_s: 0,
                });
            }
            (true, false) => [begun, coming].concat(),
            (false, _) => coming,
        };
        let (first, last) = (counted.first()?, counted.last()?);
        let seconds = |at: DateTime<Utc>| at.signed_duration_since(now).num_seconds();
        let here = station.stringer_id.clone().filter(|_| station.open);
        Some(Working {
            stringer_id: here.or_else(|| first.stringer_id.clone()),
            shifts_s: counted
                .iter()
                .map(|span| (seconds(span.from), seconds(span.to)))
                .collect(),
            // what fits into no shift is done on the morning after the last one
            goes_on_s: seconds(self.morning_after(last.to).unwrap_or(last.to)),
        })
    }

    /// When a desk usually opens next after this, on the venue's clock.
    fn morning_after(&self, at: DateTime<Utc>) -> Option<DateTime<Utc>> {
        let opens = |day: NaiveDate| Some(day_instant(self.zone, day, USUAL_OPENING)?.0);
        let day = at.with_timezone(&self.zone).date_naive();
        [Some(day), day.checked_add_days(Days::new(1))]
            .into_iter()
            .flatten()
            .filter_map(opens)
            .find(|opening| *opening >= at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    fn hours(shifts: &[(&str, &str, &str)]) -> Hours {
        let span = |(stringer, from, to): &(&str, &str, &str)| Span {
            station_id: "station".into(),
            stringer_id: Some((*stringer).into()),
            from: utc(from),
            to: utc(to),
        };
        Hours {
            shifts: shifts.iter().map(span).collect(),
            zone: chrono_tz::Europe::Paris,
        }
    }

    fn station(open: bool) -> Station {
        Station {
            id: "station".into(),
            tournament_id: "tournament".into(),
            name: "Station 1".into(),
            machine_id: "machine".into(),
            stringer_id: open.then(|| "present".into()),
            open,
            version: 1,
            created_at: utc(NOON).into(),
        }
    }

    /// Windows in minutes from noon in Paris, where the station is free at once; a plan reaches two days.
    fn windows(working: &Working) -> Vec<(i64, i64)> {
        let windows = working.windows(0, 48 * 3600);
        windows.iter().map(|one| (one.from / 60, one.to / 60)).collect()
    }

    const NOON: &str = "2026-06-01T10:00:00Z";

    #[test]
    fn an_open_station_works_until_its_shift_ends_and_again_the_next_morning() {
        let hours = hours(&[("present", "2026-06-01T06:00:00Z", "2026-06-01T13:30:00Z")]);
        let working = hours.at(&station(true), utc(NOON)).unwrap();
        // 07:30 in Paris is 19.5 h after noon
        assert_eq!(windows(&working), [(0, 210), (19 * 60 + 30, 48 * 60)]);
        assert_eq!(working.stringer_id.as_deref(), Some("present"));
    }

    #[test]
    fn an_open_station_without_a_shift_of_this_moment_works_on() {
        let later = hours(&[("other", "2026-06-01T14:00:00Z", "2026-06-01T20:00:00Z")]);
        for known in [Hours::default(), later] {
            let working = known.at(&station(true), utc(NOON)).unwrap();
            assert_eq!(windows(&working), [(0, 48 * 60)]);
        }
    }

    #[test]
    fn a_closed_station_counts_from_its_next_shift_with_who_comes() {
        let hours = hours(&[
            ("gone", "2026-06-01T06:00:00Z", "2026-06-01T12:00:00Z"),
            ("coming", "2026-06-01T14:00:00Z", "2026-06-01T20:00:00Z"),
        ]);
        let working = hours.at(&station(false), utc(NOON)).unwrap();
        assert_eq!(windows(&working), [(240, 600), (19 * 60 + 30, 48 * 60)]);
        assert_eq!(working.stringer_id.as_deref(), Some("coming"));
        let last = hours.at(&station(false), utc("2026-06-01T14:00:00Z"));
        assert_eq!(last, None, "closed in its last shift");
    }

    #[test]
    fn shifts_that_meet_past_midnight_are_one_time_of_work() {
        let hours = hours(&[
            ("present", "2026-06-01T06:00:00Z", "2026-06-02T00:00:00Z"),
            ("present", "2026-06-01T23:00:00Z", "2026-06-02T02:00:00Z"),
        ]);
        let working = hours.at(&station(true), utc(NOON)).unwrap();
        let windows = working.windows(1800, 48 * 3600);
        let pairs: Vec<_> = windows.iter().map(|one| (one.from / 60, one.to / 60)).collect();
        assert_eq!(pairs, [(30, 960), (19 * 60 + 30, 48 * 60)]);
    }
}
