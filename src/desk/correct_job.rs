//! An admin sets a job to the state that it truly has; the log keeps both.
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::job::{JobAction, JobState, Outcome};
use crate::desk::bench_stops::end_attempt;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::register_racket::move_racket;
use crate::desk::{Tx, delegates, legal, moves, text_member};
use crate::storage::jobs;

/// Corrects the state of a job, with a reason for the story.
///
/// Places at a station are not made here: correct to `waiting`, then assign and start.
///
/// # Errors
/// [`DeskError::NotAllowed`] for others than admins, [`DeskError::Invalid`] for a state that cannot
/// be set by hand or without a reason, [`DeskError::Conflict`] where the racket has another open job.
pub fn correct_job(tx: &mut Tx<'_>, job_id: &str, to: JobState, reason: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Correct)?;
    let reason = text_member::name(reason, "/reason")?;
    if matches!(to, JobState::Assigned | JobState::OnMachine) {
        let detail = "A place at a station is not set by hand: correct to `waiting`, then assign and start.";
        return Err(DeskError::member("/to", "invalid_value", detail));
    }
    if to != JobState::Out {
        no_other_open_job(tx, &sheet)?;
    }
    end_attempt(tx, &sheet, "corrected")?;
    sheet.job.station_id = None;
    sheet.job.stringer_id = None;
    sheet.job.pinned_station_id = None;
    sheet.job.phase = None;
    sheet.job.phase_at = None;
    sheet.job.paused = false;
    let out = to == JobState::Out;
    if !out {
        delegates::may_come_again(tx, &mut sheet)?;
    }
    sheet.job.out_at = out.then(|| tx.at());
    sheet.job.outcome = out.then(|| Outcome::Strung.as_str().to_owned());
    moves::settle(tx, &mut sheet, to, &step, json!({"reason": reason}))?;
    let place = match to {
        JobState::Out | JobState::Expected => Custody::Owner,
        _ => Custody::Desk,
    };
    move_racket(tx, &mut sheet.racket, &place)?;
    Ok(sheet)
}

fn no_other_open_job(tx: &mut Tx<'_>, sheet: &JobSheet) -> DeskResult<()> {
    let jobs = jobs::latest_of_racket(tx.db, &sheet.racket.id, 20)?;
    let open = jobs
        .into_iter()
        .find(|job| job.id != sheet.job.id && job.state != JobState::Out.as_str());
    match open {
        None => Ok(()),
        Some(other) => {
            let detail = format!(
                "This racket has another open job, {}; end that one first.",
                other.code
            );
            Err(DeskError::conflict(Reason::RacketAlreadyIn, detail).fact("job_id", other.id))
        }
    }
}
