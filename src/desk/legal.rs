//! Whether the state table lets the caller do something to a job now.
use chrono::{DateTime, Utc};

use crate::craft::custody::Custody;
use crate::craft::job::{
    AllowedAction, JobAction, JobFacts, JobState, Move, Refusal, RefusalKind, allowed_actions, check,
};
use crate::craft::roles::Role;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::{Tx, calibrate};
use crate::storage::workshop::machinery;
use crate::storage::workshop::places::{self, Station};
use crate::storage::{At, Db, jobs, work};

/// The facts that legality rests on; `station` is where the action would happen.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn facts(
    db: &mut Db,
    sheet: &JobSheet,
    station: Option<&Station>,
    now: DateTime<Utc>,
) -> DeskResult<JobFacts> {
    let job = &sheet.job;
    let since_s = |at: Option<At>| at.map(|at| now.signed_duration_since(at.utc()).num_seconds());
    let mut facts = JobFacts {
        state: job.state.parse().ok(),
        phase: job.phase.as_ref().and_then(|phase| phase.parse().ok()),
        held: sheet.held(now).is_some(),
        paused: job.paused,
        rush: job.rush.as_ref().and_then(|rush| rush.parse().ok()),
        spec_changed_unacknowledged: job.spec_change_unseen,
        racket_here: sheet
            .racket
            .custody
            .parse::<Custody>()
            .is_ok_and(|custody| custody.is_here()),
        outcome: job.outcome.as_ref().and_then(|outcome| outcome.parse().ok()),
        since_phase_s: since_s(job.phase_at),
        since_out_s: since_s(job.out_at),
        ..JobFacts::no_job_yet()
    };
    if facts.state == Some(JobState::Checking) {
        let checks = work::checks_of(db, &job.id)?;
        facts.check_recorded = checks
            .iter()
            .any(|check| check.attempt == job.attempt && check.passed == Some(true));
    }
    if let Some(station) = station {
        facts.station_busy =
            busy_with(db, &job.tournament_id, &station.id)?.is_some_and(|busy| busy.id != job.id);
        facts.machine_cleared = sheet.record.allowed_machine_id.as_ref() == Some(&station.machine_id)
            || machine_cleared(db, station, now)?;
    }
    Ok(facts)
}

/// The job that a station has, assigned or on its machine.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn busy_with(db: &mut Db, tournament: &str, station: &str) -> DeskResult<Option<jobs::Job>> {
    Ok(jobs::at_station(
        db,
        tournament,
        station,
        &["assigned", "on_machine"],
    )?)
}

fn machine_cleared(db: &mut Db, station: &Station, now: DateTime<Utc>) -> DeskResult<bool> {
    if !calibrate::are_required(db, &station.tournament_id)? {
        return Ok(true);
    }
    let machine = machinery::find(db, &station.tournament_id, &station.machine_id)?;
    Ok(machine
        .and_then(|machine| machine.cleared_until)
        .is_some_and(|until| until.utc() > now))
}

/// The station where a job would be worked on: its own, else the pinned one.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn station_of(db: &mut Db, sheet: &JobSheet) -> DeskResult<Option<Station>> {
    let id = sheet
        .job
        .station_id
        .as_ref()
        .or(sheet.job.pinned_station_id.as_ref());
    match id {
        Some(id) => Ok(places::find(db, &sheet.job.tournament_id, id)?),
        None => Ok(None),
    }
}

/// Every action with its verdict for `role`.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn allowed(
    db: &mut Db,
    sheet: &JobSheet,
    role: Role,
    now: DateTime<Utc>,
) -> DeskResult<Vec<AllowedAction>> {
    let station = station_of(db, sheet)?;
    Ok(allowed_actions(&facts(db, sheet, station.as_ref(), now)?, role))
}

/// Refuses an action that the table does not allow the caller now.
///
/// # Errors
/// [`DeskError::NotAllowed`] or [`DeskError::StateForbids`] with what is allowed instead.
pub fn require(
    tx: &mut Tx<'_>,
    sheet: &JobSheet,
    station: Option<&Station>,
    action: JobAction,
) -> DeskResult<Move> {
    let facts = facts(tx.db, sheet, station, tx.now)?;
    check(&facts, tx.caller.role, action).map_err(|refusal| refused(&facts, tx.caller.role, refusal))
}

/// The desk's form of a refusal by the table.
#[must_use]
pub fn refused(facts: &JobFacts, role: Role, refusal: Refusal) -> DeskError {
    match refusal.kind {
        RefusalKind::NotYourRole => DeskError::NotAllowed,
        RefusalKind::State | RefusalKind::Blocked => DeskError::StateForbids {
            detail: refusal.sentence,
            allowed: allowed_actions(facts, role),
        },
    }
}
