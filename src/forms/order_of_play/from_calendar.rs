//! The order of play from iCalendar: one event per match, its rule in properties of our own.
use chrono::{NaiveDate, NaiveDateTime};
use chrono_tz::Tz;

use super::{Cell, Cells, Raw};
use crate::craft::match_times::order_faults::Refusal;
use crate::forms::calendar::{Component, Property, calendar};
use crate::forms::place::{FormFault, Place};

/// Our properties, by the name of what they hold.
const OWN: [(&str, &str); 10] = [
    ("X-WEFTDESK-START-RULE", "start_rule"),
    ("X-WEFTDESK-SEQ", "seq"),
    ("X-WEFTDESK-REST-MIN", "rest_min"),
    ("X-WEFTDESK-COURT", "court"),
    ("X-WEFTDESK-FORMAT", "format"),
    ("X-WEFTDESK-DRAW", "draw"),
    ("X-WEFTDESK-ROUND", "round"),
    ("X-WEFTDESK-SIDE1", "side1"),
    ("X-WEFTDESK-SIDE2", "side2"),
    ("DESCRIPTION", "note"),
];

pub(super) fn raw(text: &str) -> Result<Raw, Vec<FormFault>> {
    let calendar = calendar(text).map_err(|why| {
        vec![FormFault {
            refusal: Refusal::Unreadable,
            place: why.place,
            detail: why.detail,
        }]
    })?;
    let mut raw = Raw::default();
    let events: Vec<&Component> = calendar
        .inside
        .iter()
        .filter(|inside| inside.name == "VEVENT")
        .collect();
    let zone = zone(&calendar, &events, &mut raw);
    let starts: Vec<Option<NaiveDateTime>> =
        events.iter().map(|event| start(event, zone, &mut raw)).collect();
    let day = day(&calendar, &starts);
    if let Some(day) = day {
        raw.whole.named.insert(
            "day",
            Cell {
                text: day.to_string(),
                place: calendar.place.clone(),
            },
        );
    }
    let mut version = 0_u32;
    for (event, start) in events.iter().zip(&starts) {
        if event
            .get("STATUS")
            .is_some_and(|status| status.value.eq_ignore_ascii_case("CANCELLED"))
        {
            continue;
        }
        if let Some(sequence) = event
            .get("SEQUENCE")
            .and_then(|sequence| sequence.value.parse().ok())
        {
            version = version.max(sequence);
        }
        let cells = one(event, *start, day, &mut raw);
        raw.matches.push(cells);
    }
    raw.whole.named.insert(
        "version",
        Cell {
            text: version.to_string(),
            place: calendar.place,
        },
    );
    Ok(raw)
}

fn cell(property: &Property) -> Cell {
    Cell {
        text: property.text(),
        place: property.place.clone(),
    }
}

/// The zone of the calendar's times: that of the starts, else that of the calendar.
fn zone(calendar: &Component, events: &[&Component], raw: &mut Raw) -> Option<Tz> {
    let of_start = events.iter().find_map(|event| {
        let start = event.get("DTSTART")?;
        Some((start.parameter("TZID")?.to_owned(), start.place.clone()))
    });
    let declared = calendar.inside.iter().find_map(|inside| {
        let id = inside.get("TZID").filter(|_| inside.name == "VTIMEZONE")?;
        Some((id.value.clone(), id.place.clone()))
    });
    let (text, place) = of_start.or(declared)?;
    let zone = text.parse().ok();
    raw.whole.named.insert("tzid", Cell { text, place });
    zone
}

/// The start of an event in venue time.
fn start(event: &Component, zone: Option<Tz>, raw: &mut Raw) -> Option<NaiveDateTime> {
    let start = event.get("DTSTART")?;
    let read = |text: &str| NaiveDateTime::parse_from_str(text, "%Y%m%dT%H%M%S").ok();
    let local = match (start.value.strip_suffix('Z'), zone) {
        (Some(utc), Some(zone)) => read(utc).map(|utc| utc.and_utc().with_timezone(&zone).naive_local()),
        (Some(utc), None) => read(utc),
        (None, _) => read(&start.value),
    };
    if local.is_none() {
        let detail = format!("\"{}\" is no time; write YYYYMMDDTHHMMSS", start.value);
        raw.faults.push(FormFault {
            refusal: Refusal::NotAValue,
            place: start.place.clone(),
            detail,
        });
    }
    local
}

/// The day of play as told, else that of the first start.
fn day(calendar: &Component, starts: &[Option<NaiveDateTime>]) -> Option<NaiveDate> {
    let told = calendar
        .get("X-WEFTDESK-DAY")
        .and_then(|day| day.value.parse().ok());
    told.or_else(|| starts.iter().flatten().min().map(NaiveDateTime::date))
}

fn one(event: &Component, start: Option<NaiveDateTime>, day: Option<NaiveDate>, raw: &mut Raw) -> Cells {
    let mut cells = Cells {
        place: event.place.clone(),
        ..Cells::default()
    };
    for (name, holds) in OWN {
        if let Some(property) = event.get(name) {
            cells.named.insert(holds, cell(property));
        }
    }
    if let Some(uid) = event.get("UID") {
        let id = uid.value.split('@').next().unwrap_or_default();
        let id = id.rsplit_once('.').map_or(id, |(id, tournament)| {
            raw.whole.named.entry("tournament").or_insert_with(|| Cell {
                text: tournament.to_owned(),
                place: uid.place.clone(),
            });
            id
        });
        cells.named.insert(
            "id",
            Cell {
                text: id.to_owned(),
                place: uid.place.clone(),
            },
        );
    }
    standard_properties(event, &mut cells);
    fixed_start(event, start, day, &mut cells, raw);
    cells
}

/// What properties of the standard say of a match.
fn standard_properties(event: &Component, cells: &mut Cells) {
    let after: Vec<String> = event
        .properties
        .iter()
        .filter(|property| property.name == "RELATED-TO")
        .map(|property| {
            let id = property.value.split('@').next().unwrap_or_default();
            id.rsplit_once('.').map_or(id, |(id, _)| id).to_owned()
        })
        .collect();
    if !after.is_empty() {
        cells.named.insert(
            "after",
            Cell {
                text: after.join(";"),
                place: event.place.clone(),
            },
        );
    }
    if let Some(categories) = event.get("CATEGORIES") {
        let sport = categories.value.split(',').next().unwrap_or_default().to_owned();
        cells.named.insert(
            "discipline",
            Cell {
                text: sport,
                place: categories.place.clone(),
            },
        );
    }
    if let (None, Some(summary)) = (event.get("X-WEFTDESK-ROUND"), event.get("SUMMARY")) {
        let said = summary.text();
        let round = said
            .split(':')
            .next()
            .and_then(|head| head.split_once(' '))
            .map_or("", |(_, round)| round);
        cells.named.insert(
            "round",
            Cell {
                text: round.to_owned(),
                place: summary.place.clone(),
            },
        );
    }
    if let Some(location) = event.get("LOCATION") {
        cells.named.insert("label", cell(location));
    }
}

/// The time of a start that is fixed; of the others the calendar has only a forecast.
fn fixed_start(
    event: &Component,
    start: Option<NaiveDateTime>,
    day: Option<NaiveDate>,
    cells: &mut Cells,
    raw: &mut Raw,
) {
    let rule = cells.named.get("start_rule").map(|cell| cell.text.as_str());
    let (Some(start), Some(day), Some(property)) = (start, day, event.get("DTSTART")) else {
        return;
    };
    if !matches!(rule, Some("starting_at" | "not_before")) {
        return;
    }
    let place: Place = property.place.clone();
    let midnight = day.and_hms_opt(0, 0, 0).unwrap_or_default();
    let minutes = start.signed_duration_since(midnight).num_minutes();
    if minutes < 0 {
        let detail = format!("{start} is before the day of play, {day}");
        raw.faults.push(FormFault {
            refusal: Refusal::BeforeTheDay,
            place,
            detail,
        });
        return;
    }
    cells.named.insert(
        "start_time",
        Cell {
            text: format!("{:02}:{:02}", minutes / 60, minutes % 60),
            place,
        },
    );
}
