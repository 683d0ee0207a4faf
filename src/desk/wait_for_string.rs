//! A job whose string is not in stock waits, held, until a person decides.
use serde_json::json;

use crate::craft::job::{JobAction, JobState, Move, Rule};
use crate::desk::hand_in::open_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::{Tx, book_string, moves};
use crate::storage::work::waiting_decisions;
use crate::storage::{jobs, to_record};

/// The kind of snag.
pub const KIND: &str = "no_stock";
/// What can be decided: another string, wait for a delivery, the player brings their own.
pub const CHOICES: [&str; 3] = ["other_string", "wait", "players_own"];
/// Why the job is held. It names no string: more people see a hold than a spec.
pub const HELD_BECAUSE: &str = "a string of this job is not in stock";

/// What of this job is not in stock.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn short_of(tx: &mut Tx<'_>, sheet: &JobSheet) -> DeskResult<Vec<String>> {
    let own = Some(sheet.job.id.as_str());
    book_string::missing(tx, &sheet.job.player_id, own, &sheet.record.needs)
}

/// Holds the job and asks, if it is short of a string and nobody has asked yet.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn ask(tx: &mut Tx<'_>, sheet: &mut JobSheet, short: &[String]) -> DeskResult<()> {
    if short.is_empty() || asked(tx, &sheet.job.id)? {
        return Ok(());
    }
    sheet.record.waits_for_string = true;
    sheet.job.held_reason = Some(HELD_BECAUSE.to_owned());
    sheet.job.held_until = None;
    note(tx, sheet, JobAction::Hold, json!({"reason": HELD_BECAUSE}))?;
    let what = format!("Not enough in stock: {}.", book_string::names(tx, short)?);
    open_snag(tx, KIND, Some(&sheet.job.id), &CHOICES, &what)?;
    Ok(())
}

fn asked(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<bool> {
    let open = waiting_decisions::open(tx.db, tx.tournament())?;
    Ok(open
        .iter()
        .any(|snag| snag.kind == KIND && snag.job_id.as_deref() == Some(job_id)))
}

/// What follows from a decision: `wait` goes on once the string is here and is held until then,
/// `other_string` takes a changed spec, `players_own` goes on at once.
///
/// # Errors
/// [`DeskError::Rule`] for `other_string` while the spec still asks for one that is not there.
pub fn decided(tx: &mut Tx<'_>, job_id: &str, choice: &str) -> DeskResult<()> {
    let Some(job) = jobs::find(tx.db, tx.tournament(), job_id)? else {
        return Ok(());
    };
    if job.state == JobState::Out.as_str() || job.state == JobState::Cancelled.as_str() {
        return Ok(());
    }
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let short = short_of(tx, &sheet)?;
    match choice {
        "wait" if !short.is_empty() => return Ok(()),
        "other_string" if !short.is_empty() => {
            let detail = format!(
                "The job still asks for what is not in stock: {}. Change its spec first.",
                book_string::names(tx, &short)?
            );
            return Err(DeskError::rule(Reason::NoStock, detail));
        }
        _ => {}
    }
    sheet.record.waits_for_string = false;
    if sheet.job.held_reason.as_deref() != Some(HELD_BECAUSE) {
        // held for another reason meanwhile, or released by hand: that stays as it is
        sheet.job.record = to_record(&sheet.record)?;
        jobs::save(tx.db, &mut sheet.job)?;
        return Ok(());
    }
    sheet.job.held_reason = None;
    note(tx, &mut sheet, JobAction::Release, json!({"decided": choice}))
}

fn note(tx: &mut Tx<'_>, sheet: &mut JobSheet, action: JobAction, more: serde_json::Value) -> DeskResult<()> {
    let step = Move {
        rule: Rule::of(action),
        to: sheet.job.state.parse().into_iter().collect(),
    };
    moves::note(tx, sheet, &step, more)
}
