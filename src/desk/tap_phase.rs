//! Phase taps at the bench; skipped phases are filled, the last tap can be taken back for a minute.
use serde_json::json;

use crate::craft::ids::PhaseId;
use crate::craft::job::{JobAction, JobFacts, JobPhase, JobState, phases_up_to};
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, ids, legal, moves};
use crate::storage::At;
use crate::storage::work::{self, Phase};

/// Taps a phase.
///
/// # Errors
/// [`DeskError::StateForbids`](crate::desk::DeskError) off the machine, backwards, or with an unread change.
pub fn tap_phase(tx: &mut Tx<'_>, job_id: &str, phase: JobPhase) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Phase)?;
    let _ = step;
    record(tx, &mut sheet, phase)?;
    Ok(sheet)
}

/// Writes a tap and the phases it skips; the caller has made sure that the job is on the machine.
///
/// # Errors
/// [`DeskError::StateForbids`](crate::desk::DeskError) for a tap that goes backwards.
pub fn record(tx: &mut Tx<'_>, sheet: &mut JobSheet, phase: JobPhase) -> DeskResult<()> {
    let facts = legal::facts(tx.db, sheet, None, tx.now)?;
    let filled = phases_up_to(facts.phase, phase)
        .map_err(|refusal| legal::refused(&facts, tx.caller.role, refusal))?;
    let device_at = tx.caller.device_at.map(At::from);
    for one in &filled {
        let row = Phase {
            id: ids::new::<PhaseId>(),
            tournament_id: tx.tournament().to_owned(),
            job_id: sheet.job.id.clone(),
            attempt: sheet.job.attempt,
            phase: one.as_str().to_owned(),
            filled: *one != phase,
            at: tx.at(),
            device_at,
            undone_at: None,
        };
        work::insert_phase(tx.db, &row)?;
    }
    sheet.job.phase = Some(phase.as_str().to_owned());
    sheet.job.phase_at = Some(tx.at());
    let step = allowed_step(&facts, JobAction::Phase);
    moves::note(tx, sheet, &step, json!({"phase": phase, "filled": filled}))
}

/// Takes the last tap back, with the phases it had filled; at the check it is "Strung" that is taken back.
///
/// # Errors
/// [`DeskError::StateForbids`](crate::desk::DeskError) after a minute, once the check is recorded, or
/// where the station has gone on with another racket.
pub fn undo_phase(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let station = legal::station_of(tx.db, &sheet)?;
    let step = legal::require(tx, &sheet, station.as_ref(), JobAction::UndoPhase)?;
    let strung_at = (sheet.job.state == JobState::Checking.as_str()).then_some(sheet.job.state_since);
    let mut taps: Vec<Phase> = work::phases_of(tx.db, job_id)?
        .into_iter()
        .filter(|tap| tap.attempt == sheet.job.attempt && tap.undone_at.is_none())
        .collect();
    // of "Strung" goes what the same touch has filled; a knot that was tapped before it stays tied
    let last_at = strung_at.or_else(|| taps.iter().map(|tap| tap.at).max());
    let mut undone = Vec::new();
    for tap in taps.iter_mut().filter(|tap| Some(tap.at) == last_at) {
        tap.undone_at = Some(tx.at());
        work::save_phase(tx.db, tap)?;
        undone.push(tap.phase.clone());
    }
    let left = taps.iter().filter(|tap| tap.undone_at.is_none());
    let phase = left.filter_map(|tap| tap.phase.parse::<JobPhase>().ok()).max();
    sheet.job.phase = phase.map(|phase| phase.as_str().to_owned());
    // an earlier tap can't be taken back any more
    sheet.job.phase_at = None;
    if strung_at.is_some() {
        reopen_attempt(tx, &sheet)?;
    }
    let more = json!({"undone": undone, "phase": phase});
    moves::settle(tx, &mut sheet, JobState::OnMachine, &step, more)?;
    Ok(sheet)
}

/// The attempt that "Strung" had closed goes on, with the string that was taken for it.
fn reopen_attempt(tx: &mut Tx<'_>, sheet: &JobSheet) -> DeskResult<()> {
    let attempts = work::attempts_of(tx.db, &sheet.job.id)?;
    let last = attempts
        .into_iter()
        .rfind(|attempt| attempt.number == sheet.job.attempt);
    if let Some(mut attempt) = last {
        (attempt.ended_at, attempt.ending) = (None, None);
        work::save_attempt(tx.db, &attempt)?;
    }
    Ok(())
}

fn allowed_step(facts: &JobFacts, action: JobAction) -> crate::craft::job::Move {
    crate::craft::job::Move {
        rule: crate::craft::job::Rule::of(action),
        to: facts.state.into_iter().collect(),
    }
}
