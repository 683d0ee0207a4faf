//! A person decides a snag; it leaves the list when decided, never by itself.
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::craft::roles::Role;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::{Tx, nobody_can, text_member, wait_for_string};
use crate::storage::work::waiting_decisions::{self, Snag};
use crate::storage::{from_record, to_record};

/// What is kept of a snag.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct SnagRecord {
    /// What it is about, in words.
    pub what: String,
    /// What can be decided.
    pub choices: Vec<String>,
    /// What was decided.
    pub decision: Option<String>,
    /// With which words.
    pub note: Option<String>,
    /// By whom.
    pub account_id: Option<String>,
}

/// Decides a snag.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`] for a choice
/// it does not offer, [`DeskError::Conflict`] where somebody decided first, [`DeskError::Rule`]
/// where what was decided is not done yet.
pub fn decide_snag(tx: &mut Tx<'_>, id: &str, choice: &str, note: Option<&str>) -> DeskResult<Snag> {
    let mut snag =
        waiting_decisions::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Snag))?;
    tx.caller
        .must_be(&[Role::Desk, Role::Coordinator, Role::Stringer])?;
    let mut record: SnagRecord = from_record(&snag.record)?;
    if !record.choices.iter().any(|offered| offered == choice) {
        let detail = format!("Choose one of: {}.", record.choices.join(", "));
        return Err(DeskError::member("/choice", "invalid_value", detail));
    }
    if snag.decided_at.is_some() {
        let detail = "Somebody decided this first.";
        return Err(DeskError::conflict(Reason::AlreadyDecided, detail).fact(
            "current",
            json!({"choice": record.decision, "account_id": record.account_id}),
        ));
    }
    if snag.kind == wait_for_string::KIND
        && let Some(job_id) = &snag.job_id
    {
        wait_for_string::decided(tx, job_id, choice)?;
    }
    if snag.kind == nobody_can::KIND
        && let Some(job_id) = &snag.job_id
    {
        nobody_can::decided(tx, job_id, choice)?;
    }
    record.decision = Some(choice.to_owned());
    record.note = note.map(|note| text_member::name(note, "/note")).transpose()?;
    record.account_id.clone_from(&tx.caller.account_id);
    snag.record = to_record(&record)?;
    snag.decided_at = Some(tx.at());
    waiting_decisions::save(tx.db, &mut snag)?;
    tx.emit(
        "snag.decided",
        id,
        &json!({"kind": snag.kind, "job_id": snag.job_id, "choice": choice}),
    )?;
    Ok(snag)
}
