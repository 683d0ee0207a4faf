//! Next Up: the one next job of a station, taken and started.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, machine_book, words};
use crate::craft::roles::Permission;
use crate::desk::bench_sheet::{InBatch, in_batch, in_check_at};
use crate::desk::calibrate::{self, Trouble};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::stations::Station;
use crate::desk::reads::{Db, machines};
use crate::desk::spare::note_spare;
use crate::desk::stopped_play::{StoppedPlay, stopped_play};
use crate::desk::{DeskError, DeskResult, legal, overview, pull_job, refuse_job, shifts};
use crate::pages::parts::{Choice, Note};
use crate::pages::views::next_up::{InCheck, MachineTrouble, NextJob, NextUp, Scanned, ThenRow};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/next-up", web::get().to(show))
        .route("/next-up", web::post().to(pull))
        .route("/next-up/refuse", web::post().to(refuse))
        .route("/next-up/off", web::post().to(off))
        .route("/next-up/on", web::post().to(on));
}

/// What a station's screen is made of.
#[derive(Default)]
struct Bench {
    stations: Vec<Choice>,
    station_id: String,
    station: String,
    stringer: String,
    /// The job, why it, and whether it was taken.
    job: Option<(JobSheet, String, bool)>,
    batch: Option<InBatch>,
    in_check: Vec<JobSheet>,
    then: Vec<JobSheet>,
    stops: Vec<StoppedPlay>,
    trouble: Option<MachineTrouble>,
    /// The station is off.
    closed: bool,
    /// Who may come on, the one who asks chosen.
    people: Vec<Choice>,
    next_possible: Option<DateTime<Utc>>,
}

/// What stands in the way of a station's machine.
fn trouble_at(db: &mut Db, station: &Station, now: DateTime<Utc>) -> DeskResult<Option<MachineTrouble>> {
    let Some(machine) = machines::find(db, &station.tournament_id, &station.machine_id)? else {
        return Ok(None);
    };
    let trouble = calibrate::trouble(db, &machine, now)?;
    Ok(trouble.map(|trouble| MachineTrouble {
        words: match trouble {
            Trouble::Failed => format!("{} failed its last check.", machine.name),
            Trouble::NotCleared => format!("{} has no good check today.", machine.name),
        },
        href: machine_book::address(&machine.id),
    }))
}

async fn bench(visitor: &Visitor, wanted: &str) -> DeskResult<Bench> {
    let (tournament, wanted, now) = (visitor.tournament(), wanted.to_owned(), visitor.now);
    let (own, memory) = (visitor.stringer_id.clone(), visitor.desk.court_memory());
    visitor
        .desk
        .read(move |db| {
            let all = overview::stations(db, &tournament)?;
            let named = all.iter().find(|one| one.id == wanted);
            let mine = all.iter().find(|one| own.is_some() && one.stringer_id == own);
            let open = all.iter().find(|one| one.open);
            let Some(station) = named.or(mine).or(open).or_else(|| all.first()) else {
                return Ok(Bench::default());
            };
            let mut bench = Bench {
                stations: all
                    .iter()
                    .map(|one| Choice::new(one.id.clone(), one.name.clone()).chosen(one.id == station.id))
                    .collect(),
                station_id: station.id.clone(),
                station: station.name.clone(),
                ..Bench::default()
            };
            let people = overview::stringers(db, &tournament)?;
            let stringer = people
                .iter()
                .find(|one| station.stringer_id.as_ref() == Some(&one.id));
            bench.stringer = stringer.map(|one| one.name.clone()).unwrap_or_default();
            bench.closed = !station.open;
            bench.people = people
                .into_iter()
                .map(|one| Choice::new(one.id.clone(), one.name).chosen(own.as_ref() == Some(&one.id)))
                .collect();
            bench.trouble = trouble_at(db, station, now)?;
            let choice = pull_job::preview(db, station, now)?;
            let taken = legal::busy_with(db, &tournament, &station.id)?;
            let mut after = choice.runners_up;
            if let Some(job) = taken {
                let sheet = JobSheet::of(db, &tournament, &job.id)?;
                bench.job = Some((sheet, "It was given to this station.".to_owned(), true));
                after.splice(0..0, choice.pick.map(|pick| pick.job_id));
            } else if let Some(pick) = choice.pick.filter(|_| station.open) {
                let sheet = JobSheet::of(db, &tournament, &pick.job_id)?;
                bench.job = Some((sheet, pick.sentence, false));
            }
            if let Some((sheet, ..)) = &mut bench.job {
                note_spare(db, &tournament, now, std::slice::from_mut(sheet))?;
                bench.batch = Some(in_batch(db, &tournament, sheet)?);
            }
            bench.in_check = in_check_at(db, &tournament, &station.id)?;
            for id in after.iter().take(3) {
                bench.then.push(JobSheet::of(db, &tournament, id)?);
            }
            bench.next_possible = choice.next_possible_at;
            let sheets = overview::sheets_in(db, &tournament, &["waiting", "assigned"])?;
            bench.stops = stopped_play(db, &tournament, now, &sheets, &memory)?;
            Ok(bench)
        })
        .await
}

/// The screen of a station.
///
/// # Errors
/// Where the desk cannot be read.
pub(super) async fn screen(visitor: &Visitor, station: &str) -> Result<NextUp, Failure> {
    let bench = bench(visitor, station).await?;
    let taken = bench.job.as_ref().is_some_and(|(_, _, taken)| *taken);
    Ok(NextUp {
        shell: visitor.shell("Next Up", "Next Up", "jobs,stations,snags,courts,schedule")?,
        stations: bench.stations,
        station_id: bench.station_id,
        station: if bench.station.is_empty() {
            "no station yet".into()
        } else {
            bench.station
        },
        stringer: bench.stringer,
        machine_trouble: bench.trouble,
        stopped: bench.stops.iter().map(stop_words).collect(),
        in_check: bench
            .in_check
            .iter()
            .map(|sheet| InCheck {
                id: sheet.job.id.clone(),
                code: sheet.job.code.clone(),
                player: sheet.player.display_name.clone(),
                since: visitor.time(sheet.job.state_since.utc()),
            })
            .collect(),
        job: bench
            .job
            .map(|(sheet, why, _)| next_job(visitor, &sheet, why, bench.batch)),
        taken,
        then: bench
            .then
            .iter()
            .map(|sheet| ThenRow {
                code: sheet.job.code.clone(),
                ready_by: visitor.time(sheet.job.due_at.utc()),
            })
            .collect(),
        next_expected: bench
            .next_possible
            .map_or_else(String::new, |at| format!("about {}", visitor.time(at))),
        closed: bench.closed,
        people: bench.people,
        reasons: ["No string here", "Another machine is needed"]
            .map(|words| Choice::new(words, words))
            .into(),
        mixed_up: Vec::new(),
        scanned: Scanned::default(),
    })
}

fn next_job(visitor: &Visitor, sheet: &JobSheet, why: String, batch: Option<InBatch>) -> NextJob {
    let due_at = sheet.job.due_at.utc();
    let start_by = due_at - chrono::TimeDelta::seconds(i64::from(sheet.job.work_p90_s));
    let late_min = (visitor.now - start_by).num_minutes();
    NextJob {
        id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::racket(&sheet.racket_record),
        frame: sheet.frame.name.clone(),
        mains: words::tension(&sheet.spec.mains.tension),
        mains_string: words::string_name(&sheet.spec.mains),
        crosses: words::tension(&sheet.spec.crosses.tension),
        crosses_string: words::string_name(&sheet.spec.crosses),
        start_by: visitor.time(start_by),
        start_passed: if late_min > 0 {
            format!("{late_min} min ago")
        } else {
            String::new()
        },
        ready_by: visitor.time(due_at),
        state: words::state_chip(sheet, visitor.now),
        held: sheet
            .held(visitor.now)
            .map_or_else(String::new, |reason| reason.replace('_', " ")),
        why,
        batch: match batch {
            Some(batch) if batch.of > 1 => format!("{} of {} for this player", batch.number, batch.of),
            _ => String::new(),
        },
        strings_known: batch.is_some_and(|batch| batch.strings_scanned),
    }
}

/// A stop of play in one line, however many rackets wait on it.
fn stop_words(stop: &StoppedPlay) -> String {
    match stop.job_ids.len() {
        0 => format!("{}.", stop.words()),
        1 => format!("{}: 1 racket waits on it.", stop.words()),
        many => format!("{}: {many} rackets wait on it.", stop.words()),
    }
}

/// What became of the racket that was just checked.
async fn checked_note(visitor: &Visitor, id: &str) -> DeskResult<Note> {
    let (tournament, id) = (visitor.tournament(), id.to_owned());
    let sheet = visitor
        .desk
        .read(move |db| JobSheet::of(db, &tournament, &id))
        .await?;
    let code = &sheet.job.code;
    let words = match (sheet.job.state.as_str(), overview::slot_of(&sheet)) {
        ("ready", Some(slot)) => format!("{code} passed. Put it in slot {slot}."),
        ("ready", None) => format!("{code} passed. Take it to the desk: it has no slot."),
        ("waiting" | "assigned", _) => format!(
            "{code} did not pass. It waits again for attempt {}, with its ready-by kept.",
            sheet.job.attempt
        ),
        _ => format!("{code} is checked."),
    };
    Ok(Note {
        words,
        links: Vec::new(),
    })
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must(Permission::SeeSpec)?;
    let mut page = screen(&visitor, asked.get("station")).await?;
    if let Some(id) = asked.some("checked") {
        page.shell.note = checked_note(&visitor, &id).await.ok();
    }
    if let Some(job) = page.job.as_ref().filter(|_| page.taken) {
        let (tournament, id) = (visitor.tournament(), job.id.clone());
        let sheet = visitor
            .desk
            .read(move |db| JobSheet::of(db, &tournament, &id))
            .await?;
        if sheet.job.state == "on_machine" {
            return Ok(visitor.go_to(&format!("/plan/{}", sheet.job.id)));
        }
    }
    visitor.page(StatusCode::OK, &page)
}

async fn again(visitor: &Visitor, station: &str, error: DeskError) -> Shown {
    let (status, problem) = refused::on_page(error, |_pointer| String::new())?;
    let mut page = screen(visitor, station).await?;
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

async fn pull(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let station = form.get("station").to_owned();
    let asked = station.clone();
    let done = visitor
        .once("/next-up", &form, move |tx| {
            Ok(pull_job::pull_job(tx, &asked)?.job.id)
        })
        .await;
    come_back(&visitor, &station, done).await
}

/// A break: the station goes off, and what was not begun there waits for any station again.
async fn off(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let station = form.get("station").to_owned();
    let at = station.clone();
    let done = visitor
        .once("/next-up/off", &form, move |tx| {
            shifts::close_station(tx, &at).map(|_closed| String::new())
        })
        .await;
    come_back(&visitor, &station, done).await
}

/// Back from it: the station opens with whoever is named.
async fn on(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let (station, stringer) = (form.get("station").to_owned(), form.get("stringer").to_owned());
    let at = station.clone();
    let done = visitor
        .once("/next-up/on", &form, move |tx| {
            shifts::open_station(tx, &at, &stringer).map(|_open| String::new())
        })
        .await;
    come_back(&visitor, &station, done).await
}

async fn come_back(visitor: &Visitor, station: &str, done: DeskResult<String>) -> Shown {
    match done {
        Ok(_) => Ok(visitor.go_to(&format!("/next-up?station={}", words::in_address(station)))),
        Err(error) => again(visitor, station, error).await,
    }
}

async fn refuse(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let station = form.get("station").to_owned();
    let (at, job, reason) = (
        station.clone(),
        form.get("job").to_owned(),
        form.get("reason").to_owned(),
    );
    let done = visitor
        .once("/next-up/refuse", &form, move |tx| {
            Ok(refuse_job::refuse_job(tx, &at, &job, &reason)?.job.id)
        })
        .await;
    come_back(&visitor, &station, done).await
}
