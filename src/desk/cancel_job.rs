//! A job is not to be strung; the racket stays here until it is given back.
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::job::{JobAction, JobState};
use crate::desk::bench_stops::end_attempt;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, legal, moves, text_member};

/// What is charged for a cancelled job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChargeDecision {
    /// Nothing.
    None,
    /// The string that was used.
    String,
    /// The whole job.
    Full,
}

/// Cancels a job.
///
/// # Errors
/// [`DeskError::StateForbids`](crate::desk::DeskError), [`DeskError::NotAllowed`](crate::desk::DeskError)
/// for the desk once the racket is on the machine.
pub fn cancel_job(
    tx: &mut Tx<'_>,
    job_id: &str,
    reason: &str,
    charge: ChargeDecision,
) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Cancel)?;
    let reason = text_member::name(reason, "/reason")?;
    end_attempt(tx, &sheet, "cancelled")?;
    sheet.record.ending_reason = Some(reason.clone());
    sheet.job.station_id = None;
    moves::settle(
        tx,
        &mut sheet,
        JobState::Cancelled,
        &step,
        json!({"reason": reason, "charge": charge}),
    )?;
    Ok(sheet)
}
