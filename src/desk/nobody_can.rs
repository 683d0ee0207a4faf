//! A job that nobody at work can do asks a person; the rest is planned meanwhile.
use serde_json::json;

use crate::craft::job::{JobAction, JobState, Move, Rule};
use crate::desk::decide_snag::{SnagRecord, close_snag};
use crate::desk::hand_in::open_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::no_place::NoPlace;
use crate::desk::refusal::DeskResult;
use crate::desk::schedule::UnplannedJob;
use crate::desk::{Tx, moves};
use crate::storage::work::waiting_decisions;
use crate::storage::{from_record, jobs};

/// The kind of snag.
pub const KIND: &str = "nobody_can";
/// It waits until somebody who can is at work.
const WAIT: &str = "wait";
/// What it is meant for counts no more: any station may do it that can.
const ANY_STATION: &str = "any_station";
/// What the snag is decided as when a station can do the job again.
const FITS_AGAIN: &str = "a_station_can_again";

/// Opens a snag for each job that has become one nobody can do, and closes those of jobs that have a way again.
///
/// A person who has decided is not asked about the same job again before it had a way in between.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn follow(tx: &mut Tx<'_>, unplanned: &[UnplannedJob]) -> DeskResult<()> {
    let stuck: Vec<&UnplannedJob> = unplanned.iter().filter(|job| job.code.asks_a_person()).collect();
    let open = waiting_decisions::open(tx.db, tx.caller.tournament())?;
    for snag in open.into_iter().filter(|snag| snag.kind == KIND) {
        if stuck
            .iter()
            .all(|job| snag.job_id.as_deref() != Some(job.job_id.as_str()))
        {
            close_snag(tx, snag, FITS_AGAIN, None, None)?;
        }
    }
    for job in stuck {
        if !asked(tx, job)? {
            let choices: &[&str] = match job.code {
                NoPlace::NoClamps => &[WAIT],
                _ => &[ANY_STATION, WAIT],
            };
            open_snag(tx, KIND, Some(&job.job_id), choices, &job.why)?;
        }
    }
    Ok(())
}

/// Whether a person has been asked for the same reason, and no station could do it since.
fn asked(tx: &mut Tx<'_>, job: &UnplannedJob) -> DeskResult<bool> {
    let snags = waiting_decisions::of_job(tx.db, &job.job_id)?;
    let Some(last) = snags.into_iter().rfind(|snag| snag.kind == KIND) else {
        return Ok(false);
    };
    let record: SnagRecord = from_record(&last.record)?;
    Ok(last.decided_at.is_none() || (record.decision.as_deref() == Some(WAIT) && record.what == job.why))
}

/// What follows from a decision.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn decided(tx: &mut Tx<'_>, job_id: &str, choice: &str) -> DeskResult<()> {
    let waits = jobs::find(tx.db, tx.tournament(), job_id)?
        .is_some_and(|job| job.state == JobState::Waiting.as_str());
    if choice != ANY_STATION || !waits {
        return Ok(());
    }
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    sheet.job.pinned_station_id = None;
    sheet.record.wants_stringer_id = None;
    sheet.record.refusals.clear();
    let step = Move {
        rule: Rule::of(JobAction::Unassign),
        to: vec![JobState::Waiting],
    };
    moves::note(
        tx,
        &mut sheet,
        &step,
        json!({"reason": "any station may do it", "pinned_station_id": null}),
    )
}
