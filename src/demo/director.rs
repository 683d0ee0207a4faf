//! Lets the demo live: rackets arrive, stringers pull and string, checks pass, owners collect.
//!
//! People who try the demo out do things of their own in between. Whatever they leave behind,
//! the others go on: a racket that only its owner can collect waits for them, alone.
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};

use crate::demo::set_up::{Founded, found};
use crate::demo::{bench, counter, courts, steering};
use crate::desk::refusal::DeskResult;
use crate::desk::{Caller, Clock, Desk, Tx};
use crate::storage::jobs;

/// Time at the desk between two steps.
const STEP: TimeDelta = TimeDelta::minutes(1);
/// The shortest wall time between two steps.
const SHORTEST: Duration = Duration::from_millis(200);
/// So long has the desk been open when the first visitor looks.
const OPEN_SINCE: TimeDelta = TimeDelta::hours(3);

/// Founds the tournament and plays it from its opening until now, so that there is something to see.
///
/// # Errors
/// [`DeskError`](crate::desk::DeskError) only where the database fails.
pub async fn open_the_desk(desk: &Desk) -> DeskResult<Founded> {
    let now = desk.clock().desk();
    let opening = now - OPEN_SINCE;
    let founded = found(&at_a_time(desk, &Arc::new(moment(opening)))).await?;
    play(desk, &founded, opening, now).await;
    Ok(founded)
}

/// Plays what happens between two moments, at once.
pub async fn play(desk: &Desk, founded: &Founded, from: DateTime<Utc>, until: DateTime<Utc>) {
    let now_ms = Arc::new(moment(from));
    let then = at_a_time(desk, &now_ms);
    while then.clock().desk() < until {
        step(&then, founded).await;
        now_ms.fetch_add(STEP.num_milliseconds(), Ordering::Relaxed);
    }
}

/// Directs for as long as the process runs.
pub async fn direct(desk: Desk, founded: Founded) {
    let step_s = STEP.as_seconds_f64() / desk.clock().rate();
    let pause = Duration::from_secs_f64(step_s.max(SHORTEST.as_secs_f64()));
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
        step(&desk, &founded).await;
    }
}

fn moment(at: DateTime<Utc>) -> AtomicI64 {
    AtomicI64::new(at.timestamp_millis())
}

/// The same desk under a clock that stands at `now_ms`.
fn at_a_time(desk: &Desk, now_ms: &Arc<AtomicI64>) -> Desk {
    let (now_ms, wall) = (Arc::clone(now_ms), desk.clock().clone());
    let told = move || DateTime::from_timestamp_millis(now_ms.load(Ordering::Relaxed)).unwrap_or_default();
    Desk::new(desk.store().clone(), Clock::told_by(told, move || wall.wall()))
}

/// One look around: whoever is due does one thing.
async fn step(desk: &Desk, founded: &Founded) {
    let rackets = founded.rackets.clone();
    told(
        desk.write(&founded.desk, move |tx| counter::arrive(tx, &rackets))
            .await,
    );
    told(desk.write(&founded.coordinator, steering::steer).await);
    for (place, station) in founded.stations.iter().enumerate() {
        let station = station.clone();
        told(
            desk.write(&founded.stringer, move |tx| bench::work_at(tx, &station, place))
                .await,
        );
    }
    first_that_can(desk, &founded.desk, "checking", counter::check).await;
    let rackets = founded.rackets.clone();
    first_that_can(desk, &founded.desk, "ready", move |tx, job| {
        counter::collect(tx, job, &rackets)
    })
    .await;
    let rackets = founded.rackets.clone();
    first_that_can(desk, &founded.desk, "cancelled", move |tx, job| {
        counter::take_back(tx, job, &rackets)
    })
    .await;
    told(desk.write(&founded.desk, counter::decide_one).await);
}

/// Does `work` to the job that has been longest in `state`; to the next one where that can't be
/// done, so that one job that waits for a visitor does not hold up the others.
async fn first_that_can(
    desk: &Desk,
    caller: &Caller,
    state: &'static str,
    work: impl Fn(&mut Tx<'_>, &jobs::Job) -> DeskResult<bool> + Clone + Send + 'static,
) {
    let tournament = caller.tournament().to_owned();
    let there = desk
        .read(move |db| Ok(jobs::in_states(db, &tournament, &[state])?))
        .await;
    let mut there = match there {
        Ok(there) => there,
        Err(error) => return told(Err(error)),
    };
    there.sort_by_key(|job| job.state_since);
    for job in there {
        let work = work.clone();
        match desk.write(caller, move |tx| work(tx, &job)).await {
            Ok(true) => return,
            Ok(false) => {}
            Err(error) => told(Err(error)),
        }
    }
}

/// A refusal is part of the desk's life; the next step goes on.
fn told(outcome: DeskResult<()>) {
    if let Err(error) = outcome {
        tracing::debug!(%error, "the demo's step was refused");
    }
}
