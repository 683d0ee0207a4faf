//! A station pulls its next job: the best one it may do, and no other station gets it.
use std::collections::HashMap;

use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::choose_next::{AskingStation, Choice, WaitingJob, choose_next};
use crate::craft::job::{JobAction, JobState};
use crate::craft::machine::{ClampKind, MachineFacts};
use crate::craft::roles::Role;
use crate::desk::job_sheet::{JobSheet, hold_that_lasts};
use crate::desk::records::JobRecord;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::{Tx, legal, moves, schedule};
use crate::storage::workshop::machinery;
use crate::storage::workshop::places::{self, Station};
use crate::storage::{Db, from_record, jobs};

/// So many waiting jobs are read at a time.
const PART: i64 = 16;
/// So many of the plan's jobs are read at a time: the first one seldom fails to wait.
const PLANNED_PART: usize = 4;

/// Gives the station its next job; a station that has one gets that one again.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`]; [`DeskError::Conflict`] with
/// `nothing_waiting` where there is nothing that this station may do.
pub fn pull_job(tx: &mut Tx<'_>, station_id: &str) -> DeskResult<JobSheet> {
    let station =
        places::find(tx.db, tx.tournament(), station_id)?.ok_or(DeskError::NotFound(Thing::Station))?;
    tx.caller
        .must_be(&[Role::Stringer, Role::Coordinator, Role::System])?;
    if let Some(job) = legal::busy_with(tx.db, tx.tournament(), station_id)? {
        return JobSheet::of(tx.db, tx.tournament(), &job.id);
    }
    if !station.open {
        return Err(DeskError::conflict(
            Reason::NothingWaiting,
            "The station is closed; open it to get jobs.",
        ));
    }
    let Some(job_id) = first_in_line(tx.db, &station, tx.now)? else {
        return Err(nothing(&preview(tx.db, &station, tx.now)?, &station));
    };
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), &job_id)?;
    assign(tx, &mut sheet, &station)?;
    Ok(sheet)
}

/// The job that [`preview`] would name.
///
/// A pull reads what is pinned or rushed, then what the plan gives this station, and only where
/// the plan names nothing that may be done (it is stale, or there is none) the queue from its front,
/// which the database has in the order of the rule. The rest is left unread.
fn first_in_line(db: &mut Db, station: &Station, now: DateTime<Utc>) -> DeskResult<Option<String>> {
    let (tournament, state) = (&station.tournament_id, JobState::Waiting.as_str());
    let asking = asking(db, station)?;
    let mut part = jobs::put_first(db, tournament, state, &station.id)?;
    let pinned_here = |job: &&jobs::Waiting| job.pinned_station_id.as_ref() == Some(&station.id);
    let pinned: Vec<_> = part.iter().filter(pinned_here).cloned().collect();
    if let Some(pick) = best_of(&pinned, station, &asking, now)? {
        return Ok(Some(pick));
    }
    if let Some(planned) = first_planned(db, station, &asking, now)? {
        return Ok(Some(planned));
    }
    let mut read = 0;
    loop {
        if let Some(pick) = best_of(&part, station, &asking, now)? {
            return Ok(Some(pick));
        }
        part = jobs::queue_page(db, tournament, state, read, PART)?;
        if part.is_empty() {
            return Ok(None);
        }
        read += PART;
    }
}

/// The first of the plan's jobs of this station that it may do now.
fn first_planned(
    db: &mut Db,
    station: &Station,
    asking: &AskingStation,
    now: DateTime<Utc>,
) -> DeskResult<Option<String>> {
    let (tournament, state) = (&station.tournament_id, JobState::Waiting.as_str());
    let lane = schedule::kept_lane(db, tournament, &station.id)?;
    let mut before = 0;
    for ids in lane.chunks(PLANNED_PART) {
        let part = jobs::waiting_of(db, tournament, state, ids)?;
        let place = |job: &jobs::Waiting| ids.iter().position(|id| *id == job.id).map(|at| before + at);
        let waiting = part
            .iter()
            .map(|job| waiting_job(job, station, place(job), now))
            .collect::<DeskResult<Vec<_>>>()?;
        if let Some(pick) = choose_next(&waiting, asking, now).pick {
            return Ok(Some(pick.job_id));
        }
        before += ids.len();
    }
    Ok(None)
}

/// The first of these by the rule.
fn best_of(
    part: &[jobs::Waiting],
    station: &Station,
    asking: &AskingStation,
    now: DateTime<Utc>,
) -> DeskResult<Option<String>> {
    let waiting = part
        .iter()
        .map(|job| waiting_job(job, station, None, now))
        .collect::<DeskResult<Vec<_>>>()?;
    Ok(choose_next(&waiting, asking, now).pick.map(|pick| pick.job_id))
}

/// What the station would get, with why, changing nothing.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn preview(db: &mut Db, station: &Station, now: DateTime<Utc>) -> DeskResult<Choice> {
    let waiting = jobs::queue(db, &station.tournament_id, JobState::Waiting.as_str())?;
    let lane = schedule::kept_lane(db, &station.tournament_id, &station.id)?;
    let places: HashMap<&str, usize> = lane
        .iter()
        .enumerate()
        .map(|(at, id)| (id.as_str(), at))
        .collect();
    let asking = asking(db, station)?;
    let waiting = waiting
        .iter()
        .map(|job| waiting_job(job, station, places.get(job.id.as_str()).copied(), now))
        .collect::<DeskResult<Vec<_>>>()?;
    Ok(choose_next(&waiting, &asking, now))
}

fn asking(db: &mut Db, station: &Station) -> DeskResult<AskingStation> {
    let machine = machinery::find(db, &station.tournament_id, &station.machine_id)?
        .ok_or(DeskError::NotFound(Thing::Machine))?;
    let facts: MachineFacts = from_record(&machine.record)?;
    Ok(AskingStation {
        station_id: station.id.clone(),
        swivel: facts.clamps == ClampKind::FixedSwivel,
        skills: station.stringer_id.iter().cloned().collect(),
    })
}

fn waiting_job(
    job: &jobs::Waiting,
    station: &Station,
    planned: Option<usize>,
    now: DateTime<Utc>,
) -> DeskResult<WaitingJob> {
    let record: JobRecord = from_record(&job.record)?;
    Ok(WaitingJob {
        refused_here: record.refused_at(&station.id, station.stringer_id.as_deref()),
        job_id: job.id.clone(),
        code: job.code.clone(),
        held: hold_that_lasts(job.held_reason.as_ref(), job.held_until, now).is_some(),
        not_before_at: record.not_before_at,
        pinned_station_id: job.pinned_station_id.clone(),
        planned,
        rush: job.rush.as_ref().and_then(|rush| rush.parse().ok()),
        ready_by_at: Some(job.due_at.utc()),
        received_at: job.received_at.utc(),
        drop_off_place: job.batch_place,
        needs_swivel: record.needs_swivel,
        // a wish for one stringer is a skill that only they have
        skills: record.wants_stringer_id.into_iter().collect(),
    })
}

/// Gives a waiting job its place at a station.
///
/// # Errors
/// [`DeskError::StateForbids`] for a job that does not wait or is held.
pub fn assign(tx: &mut Tx<'_>, sheet: &mut JobSheet, station: &Station) -> DeskResult<()> {
    let step = legal::require(tx, sheet, Some(station), JobAction::Assign)?;
    sheet.job.station_id = Some(station.id.clone());
    sheet.job.stringer_id.clone_from(&station.stringer_id);
    sheet.job.pinned_station_id = None;
    sheet.station_name = Some(station.name.clone());
    let more = json!({"stringer_id": station.stringer_id});
    moves::settle(tx, sheet, JobState::Assigned, &step, more)
}

/// The refusal of a station for which nothing waits, with when to look again if that is known.
fn nothing(choice: &Choice, station: &Station) -> DeskError {
    let others = choice.passed_over.len();
    let detail = if others == 0 {
        "Nothing waits.".to_owned()
    } else {
        format!("{others} wait, but none that {} may do now.", station.name)
    };
    DeskError::conflict(Reason::NothingWaiting, detail)
        .fact("next_expected_at", json!(choice.next_possible_at))
}

/// A job's place among those that wait.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct QueuePlace {
    /// How many go before it at the open station where it comes first.
    pub ahead: usize,
    /// Why, in words.
    pub sentence: String,
    /// The open stations that do not get it, each with why.
    pub barred: Vec<String>,
}

/// Where a job stands in the queue, by the rule that stations pull by.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn place_in_queue(
    db: &mut Db,
    tournament: &str,
    job_id: &str,
    now: DateTime<Utc>,
) -> DeskResult<QueuePlace> {
    let mut best: Option<QueuePlace> = None;
    let mut barred = Vec::new();
    for station in places::all(db, tournament)?
        .into_iter()
        .filter(|station| station.open)
    {
        let choice = preview(db, &station, now)?;
        let found = match &choice.pick {
            Some(pick) if pick.job_id == job_id => Some((0, pick.sentence.clone())),
            _ => choice
                .runners_up
                .iter()
                .position(|other| other == job_id)
                .map(|place| {
                    (
                        place + 1,
                        format!("{} job(s) go before it at {}.", place + 1, station.name),
                    )
                }),
        };
        match found {
            Some((ahead, sentence)) if best.as_ref().is_none_or(|best| ahead < best.ahead) => {
                best = Some(QueuePlace {
                    ahead,
                    sentence,
                    barred: Vec::new(),
                });
            }
            Some(_) => {}
            None => {
                let why = choice.passed_over.iter().find(|passed| passed.job_id == job_id);
                barred.extend(why.map(|passed| format!("Not at {}: {}.", station.name, passed.why)));
            }
        }
    }
    let mut place = best.unwrap_or_default();
    place.barred = barred;
    if place.sentence.is_empty() && place.barred.is_empty() {
        "It does not wait for a station now.".clone_into(&mut place.sentence);
    }
    Ok(place)
}
