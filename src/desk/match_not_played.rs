//! A racket whose match is not played, or not played out: is it still wanted?
use crate::craft::job::JobState;
use crate::desk::court_times::due_by::DueBy;
use crate::desk::hand_in::open_snag;
use crate::desk::refusal::{DeskResult, Thing};
use crate::desk::{DeskError, Tx, steer_job};
use crate::storage::jobs;

/// The kind of snag.
pub const KIND: &str = "match_not_played";
/// It is wanted for the player's next match.
const FOR_NEXT_ROUND: &str = "for_next_round";
/// States in which it still matters when the job must be ready.
const NOT_STRUNG: [JobState; 4] = [
    JobState::Expected,
    JobState::Waiting,
    JobState::Assigned,
    JobState::OnMachine,
];

/// Asks whether the racket is still wanted; no job is cancelled by it.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn ask(tx: &mut Tx<'_>, job_id: &str, what: &str) -> DeskResult<()> {
    open_snag(tx, KIND, Some(job_id), &[FOR_NEXT_ROUND, "keep", "cancel"], what)?;
    Ok(())
}

/// What follows from a decision: for the next round it follows the player's next match from here on, and keeps
/// its time until one is known.
///
/// # Errors
/// [`DeskError::NotAllowed`] for who may not say when a racket must be ready.
pub fn decided(tx: &mut Tx<'_>, job_id: &str, choice: &str) -> DeskResult<()> {
    let job = jobs::find(tx.db, tx.tournament(), job_id)?.ok_or(DeskError::NotFound(Thing::Job))?;
    let matters = NOT_STRUNG.iter().any(|state| state.as_str() == job.state);
    if choice == FOR_NEXT_ROUND && matters {
        let until_known = Some(job.due_at.utc());
        steer_job::change_due(tx, job_id, &DueBy::NextMatch { until_known })?;
    }
    Ok(())
}
