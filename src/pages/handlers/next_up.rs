//! Next Up: the one next job of a station, taken and started.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, photos, words};
use crate::craft::roles::Permission;
use crate::desk::bench_sheet::{InBatch, in_batch};
use crate::desk::job_sheet::JobSheet;
use crate::desk::spare::note_spare;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::stopped_play::{StoppedPlay, stopped_play};
use crate::desk::{DeskError, DeskResult, Reason, find, legal, overview, pull_job, refuse_job, shifts};
use crate::pages::parts::Choice;
use crate::pages::views::next_up::{NextJob, NextUp, ThenRow, Told};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/next-up", web::get().to(show))
        .route("/next-up", web::post().to(pull))
        .route("/jobs/{id}/do/start", web::post().to(start))
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
    then: Vec<JobSheet>,
    stops: Vec<StoppedPlay>,
    /// The station is off.
    closed: bool,
    /// Who may come on, the one who asks chosen.
    people: Vec<Choice>,
    next_possible: Option<chrono::DateTime<chrono::Utc>>,
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

async fn screen(visitor: &Visitor, station: &str) -> Result<NextUp, Failure> {
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
        machine_trouble: String::new(),
        stopped: bench.stops.iter().map(stop_words).collect(),
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
    })
}

fn next_job(visitor: &Visitor, sheet: &JobSheet, why: String, batch: Option<InBatch>) -> NextJob {
    let due_at = sheet.job.due_at.utc();
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
        start_by: visitor.time(due_at - chrono::TimeDelta::seconds(i64::from(sheet.job.work_p90_s))),
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

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must(Permission::SeeSpec)?;
    let page = screen(&visitor, asked.get("station")).await?;
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

async fn again(visitor: &Visitor, station: &str, both: Vec<Told>, error: DeskError) -> Shown {
    let (status, problem) = refused::on_page(error, |pointer| match pointer {
        "/tag" => "tag_code".to_owned(),
        _ => String::new(),
    })?;
    let mut page = screen(visitor, station).await?;
    page.shell.problem = Some(problem);
    page.mixed_up = both;
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

/// The station a job has, for the page to come back to.
async fn station_of(visitor: &Visitor, id: &str) -> DeskResult<String> {
    let (tournament, id) = (visitor.tournament(), id.to_owned());
    let sheet = visitor
        .desk
        .read(move |db| JobSheet::of(db, &tournament, &id))
        .await?;
    Ok(sheet.job.station_id.unwrap_or_default())
}

async fn start(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let station = station_of(&visitor, &id).await?;
    let by_name = form.get("strings_by_name") == "yes";
    let (job, filled) = (id.clone(), form.clone());
    let done = visitor
        .once(&format!("/jobs/{id}/do/start"), &form, move |tx| {
            let sheet = JobSheet::of(tx.db, tx.caller.tournament(), &job)?;
            let by_name = by_name || in_batch(tx.db, tx.caller.tournament(), &sheet)?.strings_scanned;
            // the tick, or the racket before, says that both names were read
            let read = |part: &crate::craft::spec::StringSpec| {
                by_name.then(|| {
                    let id = part.string.string_id.as_ref().map(|id| id.as_str().to_owned());
                    id.or_else(|| part.string.name.clone()).unwrap_or_default()
                })
            };
            let start = StartJob {
                station_id: sheet.job.station_id.clone(),
                tag: filled.get("tag_code").to_owned(),
                mains: filled.some("mains_scan").or_else(|| read(&sheet.spec.mains)),
                crosses: filled.some("crosses_scan").or_else(|| read(&sheet.spec.crosses)),
            };
            Ok(start_job(tx, &job, &start)?.job.id)
        })
        .await;
    match done {
        Ok(job) => Ok(visitor.go_to(&format!("/plan/{job}"))),
        Err(error) => {
            let wrong_tag = matches!(
                &error,
                DeskError::Rule {
                    reason: Reason::WrongTag,
                    ..
                }
            );
            let both = match wrong_tag {
                true => mixed_up(&visitor, &id, form.get("tag_code")).await?,
                false => Vec::new(),
            };
            again(&visitor, &station, both, error).await
        }
    }
}

/// The racket that was meant and the one that was scanned; none where that tag is nobody's.
async fn mixed_up(visitor: &Visitor, wanted: &str, scanned: &str) -> DeskResult<Vec<Told>> {
    let (tournament, wanted, scanned) = (visitor.tournament(), wanted.to_owned(), scanned.to_owned());
    let read = visitor.desk.read(move |db| {
        let wanted = JobSheet::of(db, &tournament, &wanted)?;
        Ok((wanted, find::find(db, &tournament, &scanned)?.job))
    });
    let (wanted, Some(scanned)) = read.await? else {
        return Ok(Vec::new());
    };
    let ids = vec![wanted.racket.id.clone(), scanned.racket.id.clone()];
    let kept = photos::of_rackets(visitor, ids).await?;
    let told = |which: &str, sheet: &JobSheet| Told {
        which: which.to_owned(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        marks: words::marks(&sheet.racket_record),
        photos: photos::of_job(visitor, &kept, sheet),
    };
    Ok(vec![
        told("This job's racket", &wanted),
        told("The tag that was scanned", &scanned),
    ])
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
        Err(error) => again(visitor, station, Vec::new(), error).await,
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
