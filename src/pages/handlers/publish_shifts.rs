//! Publishing the shifts of a day from Tomorrow: a row per shift, the planned ones ticked.
use actix_web::web;

use super::filled::Filled;
use super::visit::Visitor;
use super::{Shown, refused, tomorrow};
use crate::craft::match_times::venue_time::DayTime;
use crate::desk::publish_shifts::{self, PUBLISHERS, Published, Shift};
use crate::desk::reads::{stations, stringers};
use crate::desk::tomorrow::TomorrowFacts;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::Choice;
use crate::pages::views::tomorrow::{Publish, ShiftRow};

/// A day ends at the latest here; the last minute that a day has.
const LAST_MINUTE: u16 = 1799;
/// Half hours to which the end of a day is rounded up.
const ROUND_MIN: i64 = 30;

fn opens(facts: &TomorrowFacts) -> DayTime {
    time(facts.expected.opens_s / 60)
}

/// When the last match is over in half of all days, rounded up.
fn closes(facts: &TomorrowFacts) -> DayTime {
    let minutes = (facts.last_point_s + 59) / 60;
    time((minutes + ROUND_MIN - 1) / ROUND_MIN * ROUND_MIN)
}

fn time(minutes: i64) -> DayTime {
    let minutes = u16::try_from(minutes.max(0)).unwrap_or(LAST_MINUTE);
    DayTime::from_minutes(minutes.min(LAST_MINUTE)).unwrap_or_default()
}

/// The panel that publishes, with the planned number of stations ticked.
pub async fn panel(visitor: &Visitor, facts: &TomorrowFacts) -> DeskResult<Publish> {
    let (tournament, standing) = (visitor.tournament(), facts.published.clone());
    let (count, hours) = (facts.stations, (opens(facts), closes(facts)));
    let read = visitor.desk.read(move |db| {
        let rows = publish_shifts::proposed(db, &tournament, standing.as_ref(), count, hours)?;
        Ok((
            rows,
            stations::all(db, &tournament)?,
            stringers::all(db, &tournament)?,
        ))
    });
    let (rows, stations, people) = read.await?;
    let name = |id: &str| {
        let found = stations.iter().find(|one| one.id == id);
        found.map_or_else(String::new, |one| one.name.clone())
    };
    let who = |chosen: Option<&String>| -> Vec<Choice> {
        let one = |one: &stringers::Stringer| {
            Choice::new(one.id.clone(), one.name.clone()).chosen(chosen == Some(&one.id))
        };
        people.iter().map(one).collect()
    };
    let rows = rows.iter().enumerate().map(|(number, (shift, works))| ShiftRow {
        number,
        station_id: shift.station_id.clone(),
        station: name(&shift.station_id),
        works: *works,
        stringers: who(shift.stringer_id.as_ref()),
        from: shift.from.clone(),
        to: shift.to.clone(),
    });
    let missing = facts.stations.saturating_sub(stations.len());
    let rows: Vec<ShiftRow> = rows.collect();
    Ok(Publish {
        more: rows.len(),
        rows,
        stations: stations
            .iter()
            .map(|one| Choice::new(one.id.clone(), one.name.clone()))
            .collect(),
        stringers: who(None),
        note: note(missing),
        version: facts
            .published
            .as_ref()
            .map_or(0, |published| published.row.version),
        published: facts
            .published
            .as_ref()
            .map(|published| stands(visitor, published))
            .unwrap_or_default(),
    })
}

/// What cannot be published.
fn note(missing: usize) -> String {
    match missing {
        0 => String::new(),
        1 => "One of the chosen stations is not set up yet; only the others can be published.".to_owned(),
        more => {
            format!("{more} of the chosen stations are not set up yet; only the others can be published.")
        }
    }
}

/// "Published on Sat 20:15: 3 stations."
fn stands(visitor: &Visitor, published: &Published) -> String {
    let at = published
        .row
        .published_at
        .utc()
        .with_timezone(&visitor.house.zone);
    let stations = match published.stations() {
        0 => "nobody works".to_owned(),
        1 => "1 station".to_owned(),
        many => format!("{many} stations"),
    };
    format!("Published on {}: {stations}.", at.format("%a %H:%M"))
}

fn shifts(form: &Filled) -> Vec<Shift> {
    let mut shifts = Vec::new();
    for number in form.all("row") {
        let text = |name: &str| form.some(&format!("{name}-{number}"));
        let (Some(station_id), Some(_)) = (text("station"), text("works")) else {
            continue;
        };
        shifts.push(Shift {
            station_id,
            stringer_id: text("stringer"),
            from: text("from").unwrap_or_default(),
            to: text("to").unwrap_or_default(),
        });
    }
    shifts
}

/// The rows that are ticked, by their place among those that are sent.
fn ticked(form: &Filled) -> Vec<String> {
    let sent = |number: &&str| {
        form.some(&format!("works-{number}")).is_some() && form.some(&format!("station-{number}")).is_some()
    };
    form.all("row").filter(sent).map(str::to_owned).collect()
}

pub async fn publish(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    visitor.caller.must_be(&PUBLISHERS)?;
    let read: i64 = form.get("read").parse().unwrap_or(0);
    let shifts = shifts(&form);
    let done = match form.get("day").parse() {
        Ok(day) => {
            visitor
                .once("/tomorrow", &form, move |tx| {
                    publish_shifts::publish_shifts(tx, day, shifts, read)?;
                    Ok(String::new())
                })
                .await
        }
        Err(_) => Err(DeskError::member(
            "/day",
            "invalid_value",
            "Write the day as 2026-05-02.",
        )),
    };
    match done {
        Ok(_) => Ok(visitor.go_to(&format!("/tomorrow?day={}", form.get("day")))),
        Err(error) => {
            let rows = ticked(&form);
            let (status, problem) = refused::on_page(error, |pointer| field(pointer, &rows))?;
            tomorrow::again(&visitor, &form, status, problem).await
        }
    }
}

/// The panel with what was filled in, so that nothing has to be filled in twice.
pub fn as_filled(panel: &mut Publish, form: &Filled) {
    let choose = |choices: &mut Vec<Choice>, chosen: &str| {
        for one in choices {
            one.chosen = one.value == chosen;
        }
    };
    for row in &mut panel.rows {
        let text = |name: &str| form.get(&format!("{name}-{}", row.number)).to_owned();
        if text("station") != row.station_id {
            continue;
        }
        row.works = !text("works").is_empty();
        choose(&mut row.stringers, &text("stringer"));
        (row.from, row.to) = (text("from"), text("to"));
    }
    choose(&mut panel.stations, form.get(&format!("station-{}", panel.more)));
    choose(
        &mut panel.stringers,
        form.get(&format!("stringer-{}", panel.more)),
    );
}

/// "/shifts/1/from" as the field of the second row that was sent.
fn field(pointer: &str, rows: &[String]) -> String {
    let mut parts = pointer.trim_start_matches("/shifts/").split('/');
    let row = parts
        .next()
        .and_then(|place| rows.get(place.parse::<usize>().ok()?));
    match (row, parts.next()) {
        (Some(row), Some(member)) => format!("{}-{row}", member.trim_end_matches("_id")),
        _ => String::new(),
    }
}
