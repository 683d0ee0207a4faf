//! Lets the demo live: rackets arrive, stringers pull and string, checks pass, owners collect.
use std::time::Duration;

use chrono::TimeDelta;

use crate::craft::job::JobPhase;
use crate::demo::restock::restock;
use crate::demo::set_up::{DemoRacket, Founded};
use crate::demo::{courts, invented};
use crate::desk::check_racket::{Points, pass_job, record_check, strung};
use crate::desk::hand_in::{HandIn, hand_in};
use crate::desk::hand_out::{HandOut, Proof, hand_out};
use crate::desk::legal::busy_with;
use crate::desk::pull_job::pull_job;
use crate::desk::records::Purpose;
use crate::desk::refusal::DeskResult;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::tap_phase::tap_phase;
use crate::desk::{Desk, DeskError, Tx};
use crate::storage::At;
use crate::storage::jobs::{self, Job};

/// Time at the desk between two steps.
const STEP_S: f64 = 60.0;
/// The shortest wall time between two steps.
const SHORTEST: Duration = Duration::from_millis(200);
/// How long a phase takes at the bench.
const PHASE: TimeDelta = TimeDelta::minutes(5);
/// How long a strung racket waits for its check, and a ready one for its owner.
const CHECK_AFTER: TimeDelta = TimeDelta::minutes(2);
const COLLECT_AFTER: TimeDelta = TimeDelta::minutes(25);
/// So many rackets wait at least.
const WAITING: usize = 5;
/// The ready-by lies this far ahead.
const READY_BY: TimeDelta = TimeDelta::hours(2);
/// How many steps are taken at once before anybody looks, so that every state is there.
const FIRST_STEPS: usize = 10;

/// Directs for as long as the process runs.
pub async fn direct(desk: Desk, founded: Founded) {
    let pause = Duration::from_secs_f64((STEP_S / desk.clock().rate()).max(SHORTEST.as_secs_f64()));
    let mut courts = match courts::publish(&desk, &founded.tournament).await {
        Ok(day) => Some(day),
        Err(error) => {
            tracing::warn!(%error, "the demo's order of play could not be published");
            None
        }
    };
    loop {
        tokio::time::sleep(pause).await;
        if let Some(day) = &mut courts {
            day.tell(&desk, &founded.tournament).await;
        }
        step(&desk, &founded, PHASE).await;
    }
}

/// Brings rackets into every state.
pub async fn fill(desk: &Desk, founded: &Founded) {
    for _ in 0..FIRST_STEPS {
        step(desk, founded, TimeDelta::zero()).await;
    }
}

/// One look around: whoever is due does one thing. `phase` zero: everybody at the bench is due.
async fn step(desk: &Desk, founded: &Founded, phase: TimeDelta) {
    let rackets = founded.rackets.clone();
    told(desk.write(&founded.desk, move |tx| arrive(tx, &rackets)).await);
    for (place, station) in founded.stations.iter().enumerate() {
        let (station, rackets) = (station.clone(), founded.rackets.clone());
        // stations do not move in step
        let due = phase + phase / 5 * i32::try_from(place).unwrap_or(0);
        told(
            desk.write(&founded.stringer, move |tx| work_at(tx, &station, &rackets, due))
                .await,
        );
    }
    told(desk.write(&founded.desk, check_one).await);
    let rackets = founded.rackets.clone();
    told(
        desk.write(&founded.desk, move |tx| collect_one(tx, &rackets))
            .await,
    );
}

/// A refusal is part of the desk's life; the next step goes on.
fn told(outcome: DeskResult<()>) {
    if let Err(error) = outcome {
        tracing::debug!(%error, "the demo's step was refused");
    }
}

fn arrive(tx: &mut Tx<'_>, rackets: &[DemoRacket]) -> DeskResult<()> {
    if jobs::in_states(tx.db, tx.caller.tournament(), &["waiting"])?.len() >= WAITING {
        return Ok(());
    }
    // whoever was here longest ago comes next
    let mut next: Option<(Option<At>, &DemoRacket)> = None;
    for racket in rackets {
        let last = jobs::latest_of_racket(tx.db, &racket.racket_id, 1)?
            .into_iter()
            .next();
        if last.as_ref().is_some_and(|job| job.state != "out") {
            continue;
        }
        let since = last.map(|job| job.state_since);
        if next.as_ref().is_none_or(|(earliest, _)| since < *earliest) {
            next = Some((since, racket));
        }
    }
    let Some((_, racket)) = next else { return Ok(()) };
    restock(tx, &racket.string_id)?;
    let one = HandIn {
        racket_id: racket.racket_id.clone(),
        spec: invented::spec(racket.frame, &racket.string_id)?,
        due_at: tx.now + READY_BY,
        // its ready-by follows its owner's next match, where there is one
        purpose: Some(Purpose::Match),
        not_before_at: None,
        wants_stringer_id: None,
        condition_ok: true,
        damage: Vec::new(),
        code: None,
        insist: None,
    };
    hand_in(tx, one).map(|_| ())
}

fn work_at(tx: &mut Tx<'_>, station: &str, rackets: &[DemoRacket], due: TimeDelta) -> DeskResult<()> {
    let Some(job) = busy_with(tx.db, tx.caller.tournament(), station)? else {
        return match pull_job(tx, station) {
            // a quiet bench is nothing to tell
            Ok(_) | Err(DeskError::Conflict { .. }) => Ok(()),
            Err(error) => Err(error),
        };
    };
    if tx.now - job.phase_at.unwrap_or(job.state_since).utc() < due {
        return Ok(());
    }
    if job.state == "assigned" {
        let string = rackets.iter().find(|racket| racket.racket_id == job.racket_id);
        let string = string.map(|racket| racket.string_id.clone());
        let start = StartJob {
            station_id: Some(station.to_owned()),
            tag: job.code,
            mains: string.clone(),
            crosses: string,
        };
        return start_job(tx, &job.id, &start).map(|_| ());
    }
    let phase: Option<JobPhase> = job.phase.as_deref().and_then(|phase| phase.parse().ok());
    let next = match phase {
        None => JobPhase::Mounted,
        Some(JobPhase::Mounted) => JobPhase::MainsStarted,
        Some(JobPhase::MainsStarted) => JobPhase::MainsDone,
        Some(JobPhase::MainsDone) => JobPhase::CrossesDone,
        Some(JobPhase::CrossesDone | JobPhase::TiedOff) => return strung(tx, &job.id).map(|_| ()),
    };
    tap_phase(tx, &job.id, next).map(|_| ())
}

fn check_one(tx: &mut Tx<'_>) -> DeskResult<()> {
    let Some(job) = longest_in(tx, "checking", CHECK_AFTER)? else {
        return Ok(());
    };
    let good = Points {
        weave: true,
        tie_offs: true,
        grommets: true,
    };
    record_check(tx, &job.id, good)?;
    let slot = format!("A{}", 1 + job.code.bytes().map(usize::from).sum::<usize>() % 24);
    pass_job(tx, &job.id, Some(&slot)).map(|_| ())
}

fn collect_one(tx: &mut Tx<'_>, rackets: &[DemoRacket]) -> DeskResult<()> {
    let Some(job) = longest_in(tx, "ready", COLLECT_AFTER)? else {
        return Ok(());
    };
    let owner = rackets.iter().find(|racket| racket.racket_id == job.racket_id);
    let out = HandOut {
        tags: vec![job.code],
        job_ids: vec![job.id],
        proof: Proof::Ticket {
            token: owner.map(|racket| racket.ticket.clone()).unwrap_or_default(),
        },
        collector: None,
    };
    hand_out(tx, &out).map(|_| ())
}

fn longest_in(tx: &mut Tx<'_>, state: &str, at_least: TimeDelta) -> DeskResult<Option<Job>> {
    let jobs = jobs::in_states(tx.db, tx.caller.tournament(), &[state])?;
    let longest = jobs.into_iter().min_by_key(|job| job.state_since);
    Ok(longest.filter(|job| tx.now - job.state_since.utc() >= at_least))
}
