//! An order of play as iCalendar.
use chrono::{DateTime, Datelike, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

use super::sides::written as side;
use crate::craft::match_times::order::{Match, OrderOfPlay, StartRule};
use crate::forms::calendar::{escaped, written};

/// What a calendar says of a match besides the order: the median forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CalendarTimes {
    /// Median walk-on.
    pub start: DateTime<Utc>,
    /// Median minutes from walk-on to last point.
    pub takes_min: i64,
}

/// The order as a calendar, one event per match; [`super::read`] reads it back.
///
/// `times` are those of the matches, in their order; `stamp` is when this is said.
#[must_use]
pub fn calendar(order: &OrderOfPlay, times: &[CalendarTimes], stamp: DateTime<Utc>) -> String {
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//weftdesk//order of play//EN".to_owned(),
        format!("X-WEFTDESK-DAY:{}", order.day),
    ];
    lines.extend(zone_lines(order));
    for (played, times) in order.matches.iter().zip(times) {
        lines.extend(event(order, played, *times, stamp));
    }
    lines.push("END:VCALENDAR".to_owned());
    written(&lines)
}

/// A time without zone, as the format writes it.
fn local(zone: Tz, at: DateTime<Utc>) -> String {
    at.with_timezone(&zone).format("%Y%m%dT%H%M%S").to_string()
}

fn uid(order: &OrderOfPlay, id: &str) -> String {
    let tournament = if order.tournament.is_empty() {
        "desk"
    } else {
        &order.tournament
    };
    format!("{id}.{tournament}@weftdesk.invalid")
}

fn event(order: &OrderOfPlay, played: &Match, times: CalendarTimes, stamp: DateTime<Utc>) -> Vec<String> {
    let fixed = matches!(played.start.rule, StartRule::StartingAt | StartRule::NotBefore);
    let start = played
        .start
        .time
        .filter(|_| fixed)
        .and_then(|time| order.at(time))
        .unwrap_or(times.start);
    let decided = played.players().count() > 0 && played.feeders().count() == played.after.len();
    let status = if fixed && decided {
        "CONFIRMED"
    } else {
        "TENTATIVE"
    };
    let (one, two) = (side(&played.sides[0]), side(&played.sides[1]));
    let label = order
        .court(&played.court)
        .map_or(&played.court, |court| &court.label);
    let summary = format!("{} {}: {one} v {two}", played.draw, played.round);
    let format = played.format_name.clone();
    let format = format.unwrap_or_else(|| serde_json::to_string(&played.format).unwrap_or_default());
    let mut lines = vec![
        "BEGIN:VEVENT".to_owned(),
        format!("UID:{}", uid(order, &played.id)),
        format!("DTSTAMP:{}", stamp.format("%Y%m%dT%H%M%SZ")),
        format!("SEQUENCE:{}", order.version),
        format!("DTSTART;TZID={}:{}", order.zone.name(), local(order.zone, start)),
        format!("DURATION:PT{}H{}M", times.takes_min / 60, times.takes_min % 60),
        format!("STATUS:{status}"),
        format!("SUMMARY:{}", escaped(summary.trim())),
        format!("LOCATION:{}", escaped(label)),
        format!(
            "CATEGORIES:{},{}",
            super::to_json::discipline(played.sport),
            escaped(&format)
        ),
        format!("X-WEFTDESK-START-RULE:{}", played.start.rule),
        format!("X-WEFTDESK-SEQ:{}", played.seq),
        format!("X-WEFTDESK-COURT:{}", played.court),
        format!("X-WEFTDESK-FORMAT:{}", escaped(&format)),
        format!("X-WEFTDESK-DRAW:{}", escaped(&played.draw)),
        format!("X-WEFTDESK-ROUND:{}", escaped(&played.round)),
        format!("X-WEFTDESK-SIDE1:{one}"),
        format!("X-WEFTDESK-SIDE2:{two}"),
    ];
    lines.extend(played.rest_min.map(|rest| format!("X-WEFTDESK-REST-MIN:{rest}")));
    lines.extend(
        played
            .after
            .iter()
            .map(|after| format!("RELATED-TO:{}", uid(order, after))),
    );
    if !played.note.is_empty() {
        lines.push(format!("DESCRIPTION:{}", escaped(&played.note)));
    }
    lines.push("END:VEVENT".to_owned());
    lines
}

/// The zone's offsets around the day: what holds at its start, and every change in the year after.
fn zone_lines(order: &OrderOfPlay) -> Vec<String> {
    let zone = order.zone;
    let mut lines = vec!["BEGIN:VTIMEZONE".to_owned(), format!("TZID:{}", zone.name())];
    let year = order.day.year();
    let first = Utc
        .with_ymd_and_hms(year, 1, 1, 0, 0, 0)
        .single()
        .unwrap_or_default();
    let offset = |at: DateTime<Utc>| {
        zone.offset_from_utc_datetime(&at.naive_utc())
            .fix()
            .local_minus_utc()
    };
    let mut before = offset(first);
    lines.extend(observance(first, before, before));
    for hour in 1..=24 * 366 {
        let at = first + TimeDelta::hours(hour);
        let after = offset(at);
        if after != before {
            lines.extend(observance(at, before, after));
            before = after;
        }
    }
    lines.push("END:VTIMEZONE".to_owned());
    lines
}

/// One change of offset; the local time at which it happens is told by the clock before it.
fn observance(at: DateTime<Utc>, before_s: i32, after_s: i32) -> [String; 5] {
    let kind = if after_s > before_s {
        "DAYLIGHT"
    } else {
        "STANDARD"
    };
    let shown = at.naive_utc() + TimeDelta::seconds(i64::from(before_s));
    [
        format!("BEGIN:{kind}"),
        format!("DTSTART:{}", shown.format("%Y%m%dT%H%M%S")),
        format!("TZOFFSETFROM:{}", offset_text(before_s)),
        format!("TZOFFSETTO:{}", offset_text(after_s)),
        format!("END:{kind}"),
    ]
}

fn offset_text(seconds: i32) -> String {
    let sign = if seconds < 0 { '-' } else { '+' };
    let minutes = seconds.abs() / 60;
    format!("{sign}{:02}{:02}", minutes / 60, minutes % 60)
}
