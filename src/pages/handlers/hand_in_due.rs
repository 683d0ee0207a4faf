//! What decides a ready-by at the counter: a match of the player's, an evening, a morning, or a time.
use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta, Timelike, Utc};
use chrono_tz::Tz;

use super::visit::Visitor;
use super::words;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::court_times::coming_matches::{ComingMatch, ComingMatches};
use crate::desk::court_times::due_by::DueBy;
use crate::desk::records::Purpose;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::{Choice, Control, Field};

/// So many matches of a player are offered; further ones are named by a change of the ready-by.
const OFFERED: usize = 2;
/// Which days may be named beside a time, counted from today.
const DAYS_AHEAD: u64 = 7;
/// When nobody says when: the proposal. Common practice, no source.
const USUAL: TimeDelta = TimeDelta::hours(2);
/// What a player means by "this evening" and "tomorrow morning". Common practice, no source.
const EVENING_H: u32 = 18;
const MORNING_H: u32 = 9;

/// What a line of the form says of its ready-by.
#[derive(Debug, Clone, Copy)]
pub struct Said<'a> {
    pub tile: &'a str,
    pub typed: &'a str,
    /// `2026-05-03`; empty: the next time the clock shows that.
    pub day: &'a str,
    pub purpose: Option<Purpose>,
}

/// The ready-by that was asked for; `at` is the pointer of the line.
///
/// # Errors
/// [`DeskError::Invalid`] where no time can be read, and where a tile and a time say two things.
pub fn asked(said: Said<'_>, at: &str, (zone, now): (Tz, DateTime<Utc>)) -> DeskResult<DueBy> {
    let refuse = |words: &str| Err(DeskError::member(format!("{at}/due_at"), "invalid_value", words));
    let is_typed = !said.typed.is_empty();
    let other = match said.tile {
        "" | "time" | "until_match" => false,
        _ => is_typed || !said.day.is_empty(),
    };
    if other {
        return refuse(
            "A time is written and another tile is chosen: choose \u{201c}At the time below\u{201d}, or empty the time.",
        );
    }
    let fixed = |days: u64, hour: u32| {
        let day = today(zone, now).checked_add_days(Days::new(days))?;
        moment_on(zone, day, NaiveTime::from_hms_opt(hour, 0, 0)?).filter(|at| *at > now)
    };
    let time = match said.tile {
        "evening" => fixed(0, EVENING_H),
        "tomorrow" => fixed(1, MORNING_H),
        "next_match" => Some(usual(now)),
        _ => typed(said, zone, now),
    };
    if let Some(id) = said.tile.strip_prefix("match:") {
        return Ok(DueBy::Match(id.to_owned()));
    }
    if said.tile == "evening" && time.is_none() {
        return refuse("It is evening already: choose another time.");
    }
    let follows = match said.tile {
        "" => said.purpose == Some(Purpose::Match),
        tile => matches!(tile, "next_match" | "until_match"),
    };
    if time.is_none() && !(follows && !is_typed && said.day.is_empty()) {
        return refuse(
            "Give the time as the venue's clock shows it, such as 14:30, on a day that is still to come.",
        );
    }
    DueBy::asked(None, time, follows, at)
}

/// The moment that was typed, on the day beside it if one is chosen.
fn typed(said: Said<'_>, zone: Tz, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    if said.day.is_empty() {
        return words::moment(zone, now, said.typed);
    }
    let day: NaiveDate = said.day.parse().ok()?;
    let clock = NaiveTime::parse_from_str(&said.typed.replace('.', ":"), "%H:%M").ok()?;
    // today by its date reaches as far back as a time alone does
    moment_on(zone, day, clock).filter(|at| *at > now - TimeDelta::hours(1))
}

fn today(zone: Tz, now: DateTime<Utc>) -> NaiveDate {
    now.with_timezone(&zone).date_naive()
}

fn moment_on(zone: Tz, day: NaiveDate, clock: NaiveTime) -> Option<DateTime<Utc>> {
    let local = day.and_time(clock).and_local_timezone(zone).earliest()?;
    Some(local.to_utc())
}

/// Two hours on, at the next full five minutes.
fn usual(now: DateTime<Utc>) -> DateTime<Utc> {
    const STEP_S: i64 = 300;
    let at_s = (now + USUAL).timestamp();
    let rounded = (at_s + STEP_S - 1) / STEP_S * STEP_S;
    DateTime::from_timestamp(rounded, 0).unwrap_or(now)
}

/// "M12, Court 1, about 15:10".
pub fn next_match(visitor: &Visitor, coming: &ComingMatches) -> String {
    coming.of_player.first().map_or_else(String::new, |played| {
        format!(
            "{}, {}, {}",
            played.match_id,
            played.court,
            about(visitor, played)
        )
    })
}

/// The tiles and the time with its day, as the line named by `name` has them filled in.
pub fn fields(
    visitor: &Visitor,
    coming: &ComingMatches,
    name: impl Fn(&str) -> String,
    said: Said<'_>,
) -> (Field, Field, Field) {
    let (zone, now) = (visitor.house.zone, visitor.now);
    let tiles = tiles(visitor, coming, said.tile);
    let until_match = tiles
        .iter()
        .any(|tile| tile.chosen && tile.value == "until_match");
    let time = match said.typed {
        "" if until_match => words::time(zone, usual(now)),
        typed => typed.to_owned(),
    };
    let mut days = vec![Choice::new("", "today or tomorrow")];
    days.extend((1..=DAYS_AHEAD).filter_map(|ahead| {
        let day = today(zone, now).checked_add_days(Days::new(ahead))?;
        let value = day.to_string();
        let chosen = value == said.day;
        Some(Choice::new(value, day.format("%a %-d %b").to_string()).chosen(chosen))
    }));
    (
        Field::new(name("due"), "Ready", Control::One(tiles)),
        Field::new(name("ready_by"), "Time", Control::Time)
            .value(time)
            .free(),
        Field::new(name("day"), "Day", Control::Select(days)).free(),
    )
}

/// Matches with their safe ready-by, the usual words for later, then a time.
fn tiles(visitor: &Visitor, coming: &ComingMatches, chosen: &str) -> Vec<Choice> {
    let (zone, now) = (visitor.house.zone, visitor.now);
    let mut tiles: Vec<Choice> = coming
        .of_player
        .iter()
        .take(OFFERED)
        .enumerate()
        .map(|(place, played)| tile(visitor, place, played))
        .collect();
    if tiles.is_empty() {
        tiles.push(
            Choice::new("until_match", "Before the next match")
                .hint("None is known yet: by the time below until then."),
        );
    }
    if now.with_timezone(&zone).hour() + 1 < EVENING_H {
        tiles.push(Choice::new("evening", "This evening").hint(format!("By {EVENING_H:02}:00.")));
    }
    tiles.push(Choice::new("tomorrow", "Tomorrow morning").hint(format!("By {MORNING_H:02}:00.")));
    tiles.push(Choice::new("time", "At the time below"));
    let known = tiles.iter().any(|tile| tile.value == chosen);
    let tiles = tiles.into_iter().enumerate().map(|(place, tile)| {
        let here = if known { tile.value == chosen } else { place == 0 };
        tile.chosen(here)
    });
    tiles.collect()
}

fn tile(visitor: &Visitor, place: usize, played: &ComingMatch) -> Choice {
    let (value, label) = if place == 0 {
        (
            "next_match".to_owned(),
            format!("By {} for the next match", day_and_time(visitor, played.ready_by)),
        )
    } else {
        (
            format!("match:{}", played.match_id),
            format!("By {} for the one after", day_and_time(visitor, played.ready_by)),
        )
    };
    let perhaps = if played.chance_to_play < 0.995 {
        format!(", {:.0} % likely to be theirs", played.chance_to_play * 100.0)
    } else {
        String::new()
    };
    Choice::new(value, label).hint(format!(
        "{}, {}, {}{perhaps}",
        played.match_id,
        played.court,
        about(visitor, played)
    ))
}

/// When it starts: a certain time, or the middle of what is likely.
fn about(visitor: &Visitor, played: &ComingMatch) -> String {
    let at = day_and_time(visitor, at_minute(played.walk_on.p50));
    if played.walk_on.p95 - played.walk_on.p05 < 2 {
        at
    } else {
        format!("about {at}")
    }
}

/// "15:10" today, "Thu 11:00" on another day.
fn day_and_time(visitor: &Visitor, at: DateTime<Utc>) -> String {
    words::time_on(visitor.house.zone, today(visitor.house.zone, visitor.now), at)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ZONE: Tz = chrono_tz::Europe::Paris;

    fn due(tile: &str, typed: &str, day: &str) -> Result<DueBy, String> {
        let said = Said {
            tile,
            typed,
            day,
            purpose: None,
        };
        // 10:00 at the venue
        let now = "2026-05-02T08:00:00Z".parse().unwrap();
        asked(said, "/jobs/0", (ZONE, now)).map_err(|error| error.to_string())
    }

    fn time(at: &str) -> Result<DueBy, String> {
        Ok(DueBy::Time(at.parse().unwrap()))
    }

    #[test]
    fn tomorrow_this_evening_and_a_time_on_a_day_are_moments_of_the_venue() {
        assert_eq!(due("tomorrow", "", ""), time("2026-05-03T07:00:00Z"));
        assert_eq!(due("evening", "", ""), time("2026-05-02T16:00:00Z"));
        assert_eq!(due("time", "14:30", ""), time("2026-05-02T12:30:00Z"));
        assert_eq!(due("time", "14:30", "2026-05-04"), time("2026-05-04T12:30:00Z"));
        assert!(due("time", "14:30", "2026-05-01").is_err());
        assert!(due("time", "", "2026-05-04").is_err());
    }

    #[test]
    fn a_time_beside_another_tile_is_asked_about_and_never_dropped() {
        for tile in ["next_match", "match:M3", "evening", "tomorrow"] {
            assert!(due(tile, "18:00", "").is_err(), "{tile}");
            assert!(due(tile, "", "2026-05-04").is_err(), "{tile}");
        }
        let until_known = Some("2026-05-02T16:00:00Z".parse().unwrap());
        assert_eq!(
            due("until_match", "18:00", ""),
            Ok(DueBy::NextMatch { until_known })
        );
        assert!(matches!(due("next_match", "", ""), Ok(DueBy::NextMatch { .. })));
    }
}
