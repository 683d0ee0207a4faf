//! A racket that is not to be strung after all: from the decision on no bench takes it up.
use serde_json::json;

use crate::craft::job::{JobAction, JobState, Move, Rule};
use crate::desk::hand_in::open_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, moves};

/// The kind of snag that tells the bench to take such a racket off its machine.
pub const TAKE_OFF: &str = "not_to_be_strung";
/// Why the job is held until it is given back.
pub const HELD_BECAUSE: &str = "to be given back";
/// The decisions that say so.
const CHOICES: [&str; 2] = ["give_back", "cancel"];

/// What follows from a decision: the job leaves its station and is held; one that is on the machine is told to
/// the bench, which alone can take it off.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn decided(tx: &mut Tx<'_>, job_id: &str, choice: &str) -> DeskResult<()> {
    if !CHOICES.contains(&choice) {
        return Ok(());
    }
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let to = match sheet.job.state.parse() {
        Ok(JobState::Expected) => JobState::Expected,
        Ok(JobState::Waiting | JobState::Assigned) => JobState::Waiting,
        Ok(JobState::OnMachine) => {
            let what = "It is not to be strung: stop, take it off the machine and bring it to the desk.";
            open_snag(tx, TAKE_OFF, Some(job_id), &["hold", "solved"], what)?;
            JobState::OnMachine
        }
        _ => return Ok(()),
    };
    if sheet.job.state == JobState::Assigned.as_str() {
        let station_id = sheet.job.station_id.take();
        sheet.job.stringer_id = None;
        let more = json!({"reason": HELD_BECAUSE, "at_station_id": station_id});
        moves::settle(tx, &mut sheet, to, &by(JobAction::Unassign, to), more)?;
    }
    sheet.job.pinned_station_id = None;
    sheet.job.held_reason = Some(HELD_BECAUSE.to_owned());
    sheet.job.held_until = None;
    moves::note(
        tx,
        &mut sheet,
        &by(JobAction::Hold, to),
        json!({"reason": HELD_BECAUSE}),
    )
}

/// Whoever may decide the snag may have this done.
fn by(action: JobAction, to: JobState) -> Move {
    Move {
        rule: Rule::of(action),
        to: vec![to],
    }
}
