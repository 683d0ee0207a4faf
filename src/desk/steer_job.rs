//! Steering a job through the queue: hold, release, rush, ready-by, back to the queue, to a station.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::job::{JobAction, JobState, RushLevel, check_rush};
use crate::desk::court_times::due_by::DueBy;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::{Tx, legal, moves, text_member};
use crate::storage::workshop::places;

/// Lets a job wait on purpose, until a time or until it is released.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`].
pub fn hold_job(
    tx: &mut Tx<'_>,
    job_id: &str,
    reason: &str,
    until: Option<DateTime<Utc>>,
) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Hold)?;
    if until.is_some_and(|until| until <= tx.now) {
        return Err(DeskError::member(
            "/until",
            "out_of_range",
            "Give a time that is still to come.",
        ));
    }
    sheet.job.held_reason = Some(text_member::name(reason, "/reason")?);
    sheet.job.held_until = until.map(crate::storage::At::from);
    moves::note(tx, &mut sheet, &step, json!({"reason": reason, "until": until}))?;
    Ok(sheet)
}

/// Ends a hold; the job is where its ready-by puts it.
///
/// # Errors
/// [`DeskError::StateForbids`].
pub fn release_job(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Release)?;
    sheet.job.held_reason = None;
    sheet.job.held_until = None;
    moves::note(tx, &mut sheet, &step, json!({}))?;
    Ok(sheet)
}

/// Moves a job forward.
///
/// # Errors
/// [`DeskError::NotAllowed`] for the desk unless the player is on court, [`DeskError::StateForbids`].
pub fn rush_job(tx: &mut Tx<'_>, job_id: &str, level: RushLevel) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let facts = legal::facts(tx.db, &sheet, None, tx.now)?;
    let role = tx.caller.role;
    let step = check_rush(&facts, role, level).map_err(|refusal| legal::refused(&facts, role, refusal))?;
    sheet.job.rush = Some(level.as_str().to_owned());
    moves::note(tx, &mut sheet, &step, json!({"level": level}))?;
    Ok(sheet)
}

/// Takes a rush back.
///
/// # Errors
/// [`DeskError::StateForbids`].
pub fn unrush_job(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Unrush)?;
    sheet.job.rush = None;
    moves::note(tx, &mut sheet, &step, json!({}))?;
    Ok(sheet)
}

/// Changes when the job must be ready, or the match it must be ready for.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`] for a match that is not this player's.
pub fn change_due(tx: &mut Tx<'_>, job_id: &str, by: &DueBy) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Due)?;
    let due = by.due(tx, &sheet.job.player_id, "")?;
    let before = std::mem::replace(&mut sheet.job.due_at, due.at.into());
    due.note_in(&mut sheet.record);
    moves::note(
        tx,
        &mut sheet,
        &step,
        json!({"before": before.utc(), "due_at": due.at, "match_id": due.ready_for_match}),
    )?;
    Ok(sheet)
}

/// Takes a job's place at its station away; it waits again.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`] without a reason.
pub fn unassign_job(tx: &mut Tx<'_>, job_id: &str, reason: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Unassign)?;
    let reason = text_member::name(reason, "/reason")?;
    let station_id = sheet.job.station_id.take();
    sheet.job.stringer_id = None;
    let more = json!({"reason": reason, "at_station_id": station_id});
    moves::settle(tx, &mut sheet, JobState::Waiting, &step, more)?;
    Ok(sheet)
}

/// As [`move_to_station`], for a job that waits: whoever follows the table takes a place away first.
///
/// # Errors
/// As [`move_to_station`], and [`DeskError::StateForbids`] for a job that has a place.
pub fn assign_to_station(tx: &mut Tx<'_>, job_id: &str, station_id: &str) -> DeskResult<JobSheet> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    legal::require(tx, &sheet, None, JobAction::Assign)?;
    move_to_station(tx, job_id, station_id)
}

/// Gives a job to a station; at a busy one it waits, pinned, and is pulled first.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`] for an unknown station.
pub fn move_to_station(tx: &mut Tx<'_>, job_id: &str, station_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.job.state == JobState::Assigned.as_str() {
        sheet = unassign_job(tx, job_id, "moved to another station")?;
    }
    let station = places::find(tx.db, tx.tournament(), station_id)?
        .ok_or_else(|| DeskError::member("/station_id", "unknown_reference", "No such station."))?;
    // a coordinator's word stands over a refusal there
    sheet.record.refusals.retain(|one| one.station_id != station_id);
    if legal::busy_with(tx.db, tx.tournament(), station_id)?.is_none() && station.open {
        crate::desk::pull_job::assign(tx, &mut sheet, &station)?;
        return Ok(sheet);
    }
    let step = legal::require(tx, &sheet, None, JobAction::Assign)?;
    sheet.job.pinned_station_id = Some(station_id.to_owned());
    moves::note(tx, &mut sheet, &step, json!({"pinned_station_id": station_id}))?;
    Ok(sheet)
}
