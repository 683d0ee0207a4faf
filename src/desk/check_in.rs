//! An announced racket comes over the counter: its job waits from now on.
use serde_json::json;

use crate::craft::job::{JobAction, JobState};
use crate::desk::hand_in::{open_questions, refuse_crack, take_custody};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{DamageMark, Insisted, WorkEstimate};
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, legal, moves, promise, wait_for_string};
use crate::storage::At;

/// What was seen when the racket came.
#[derive(Debug, Clone, Default)]
pub struct Arrival {
    /// Whether all four places were looked at and found good.
    pub condition_ok: bool,
    /// Damage seen.
    pub damage: Vec<DamageMark>,
    /// Why a cracked hoop shall be strung all the same.
    pub insist: Option<String>,
}

/// Checks an announced racket in.
///
/// # Errors
/// [`DeskError::StateForbids`](crate::desk::DeskError) for a job that is not expected,
/// [`DeskError::Rule`](crate::desk::DeskError) for a cracked hoop.
pub fn check_in(tx: &mut Tx<'_>, job_id: &str, arrival: &Arrival) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::CheckIn)?;
    refuse_crack(&arrival.damage, arrival.insist.as_deref(), "")?;
    if arrival.damage.iter().any(|mark| mark.cracked) {
        sheet.record.insisted.push(Insisted {
            code: "frame_damaged".to_owned(),
            reason: arrival.insist.clone().unwrap_or_default(),
            account_id: tx.caller.account_id.clone(),
        });
    }
    sheet.record.damage.clone_from(&arrival.damage);
    sheet.record.condition_ok = arrival.condition_ok;
    let estimate = sheet.record.estimate.unwrap_or(WorkEstimate {
        p50_s: 0,
        p80_s: 0,
        p90_s: 0,
    });
    sheet.job.received_at = tx.at();
    let held_until = sheet.job.held_until.map(At::utc);
    let not_before = sheet.record.not_before_at.max(held_until);
    let due_at = sheet.job.due_at.utc();
    sheet.job.promised_at = promise::for_new_job(tx, estimate, due_at, not_before)?.map(At::from);
    let more = json!({"player_id": sheet.job.player_id, "due_at": sheet.job.due_at.utc(),
                      "promised_at": sheet.job.promised_at.map(At::utc)});
    moves::settle(tx, &mut sheet, JobState::Waiting, &step, more)?;
    take_custody(tx, sheet.racket.clone(), &arrival.damage)?;
    open_questions(tx, job_id, sheet.record.pattern_unknown)?;
    let short = wait_for_string::short_of(tx, &sheet)?;
    wait_for_string::ask(tx, &mut sheet, &short)?;
    JobSheet::of(tx.db, tx.tournament(), job_id)
}
