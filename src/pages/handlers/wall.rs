//! The walls: states and times for everybody, never a spec.
use actix_web::http::StatusCode;
use actix_web::web;
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::visit::{Onlooker, Visitor};
use super::wall_causes::Causes;
use super::wall_rows::{self, RoomPage};
use super::{Shown, words};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::jobs::{self, JobFilter};
use crate::desk::spare::note_spare_by;
use crate::desk::{overview, schedule};
use crate::pages::shell::Surface;
use crate::pages::views::wall::{CounterRow, CounterWall, RoomWall, StationMark};

/// States the walls show.
const SHOWN: [&str; 5] = ["waiting", "assigned", "on_machine", "checking", "ready"];

/// The wall as it is now.
pub(super) async fn wall(onlooker: Onlooker, asked: web::Query<Filled>) -> Shown {
    let Onlooker(visitor) = onlooker;
    let (tournament, now) = (visitor.tournament(), visitor.now);
    let memory = visitor.desk.court_memory();
    let (seen, stations, people) = visitor
        .desk
        .read(move |db| {
            let mut sheets = overview::sheets_in(db, &tournament, &SHOWN)?;
            let plan = schedule::kept(db, &tournament)?
                .map(|(plan, _)| plan)
                .unwrap_or_default();
            note_spare_by(&plan, now, &mut sheets)?;
            let nothing_yet = jobs::count(db, &tournament, &JobFilter::default())? == 0;
            let causes = Causes::now(db, &tournament, now, (&sheets, plan), &memory)?;
            Ok((
                (sheets, causes, nothing_yet),
                overview::stations(db, &tournament)?,
                overview::stringers(db, &tournament)?,
            ))
        })
        .await?;
    let mut shell = visitor.shell("Wall", "Wall", "jobs,rackets,stations,snags,courts,schedule")?;
    shell.surface = Surface::Night;
    let (sheets, causes, nothing_yet) = seen;
    if asked.get("for") == "counter" {
        let rows = |wanted: &[&str]| -> Vec<CounterRow> {
            let fits = sheets
                .iter()
                .filter(|sheet| wanted.contains(&counter_place(sheet, now)));
            fits.map(|sheet| counter_row(&visitor, sheet)).collect()
        };
        let page = CounterWall {
            shell,
            ready: rows(&["ready"]),
            in_work: rows(&["work"]),
            ask: rows(&["ask"]),
        };
        return visitor.page(StatusCode::OK, &page);
    }
    let marks = stations.into_iter().map(|station| StationMark {
        words: people
            .iter()
            .find(|one| Some(&one.id) == station.stringer_id.as_ref())
            .map_or_else(|| "closed".to_owned(), |one| one.name.clone()),
        number: station.name,
        state: None,
    });
    let page = room(
        &visitor,
        shell,
        (&sheets, &causes, nothing_yet),
        asked.get("page").parse().unwrap_or(1),
        marks.collect(),
    );
    visitor.page(StatusCode::OK, &page)
}

/// Ready, in work, or ask at the desk.
fn counter_place(sheet: &JobSheet, now: DateTime<Utc>) -> &'static str {
    match sheet.job.state.as_str() {
        "ready" => "ready",
        _ if sheet.held(now).is_some() => "ask",
        _ => "work",
    }
}

fn counter_row(visitor: &Visitor, sheet: &JobSheet) -> CounterRow {
    let about = sheet
        .job
        .promised_at
        .filter(|_| counter_place(sheet, visitor.now) == "work");
    CounterRow {
        code: sheet.job.code.clone(),
        initials: words::initials(&sheet.player.display_name),
        country: sheet.player_record.country.clone().unwrap_or_default(),
        about: about.map_or_else(String::new, |at| format!("about {}", visitor.time(at.utc()))),
    }
}

fn room(
    visitor: &Visitor,
    shell: crate::pages::shell::Shell,
    (sheets, causes, nothing_yet): (&[JobSheet], &Causes, bool),
    page: usize,
    stations: Vec<StationMark>,
) -> RoomWall {
    let count = |state: &str| sheets.iter().filter(|sheet| sheet.job.state == state).count();
    let RoomPage { rows, page, pages } = wall_rows::page_of(visitor, sheets, causes, page);
    let next = if page < pages { page + 1 } else { 1 };
    RoomWall {
        shell,
        counts: vec![
            ("in".into(), sheets.len()),
            ("waiting".into(), count("waiting") + count("assigned")),
            ("on machine".into(), count("on_machine")),
            ("check".into(), count("checking")),
            ("ready".into(), count("ready")),
        ],
        on_time: String::new(),
        rows,
        page,
        pages,
        next_page: if pages > 1 {
            format!("/wall?for=room&page={next}")
        } else {
            String::new()
        },
        empty_words: if nothing_yet {
            "No rackets in yet."
        } else {
            "All done."
        }
        .to_owned(),
        stations,
    }
}
