//! A person decides a snag; it leaves the list when decided, never by itself.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::craft::roles::Role;
use crate::desk::log::{self, LogEntry};
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::{
    Tx, frame_in_use, match_not_played, nobody_can, text_member, to_be_given_back, wait_for_string,
};
use crate::storage::work::waiting_decisions::{self, Snag};
use crate::storage::{Db, accounts, from_record, jobs, to_record};

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

/// How far back in the log decisions are looked for, and how many are told.
const DECIDED_WITHIN: i64 = 400;
const TOLD: usize = 5;

/// A decision that was made: by whom, when and what.
#[derive(Debug, Clone)]
pub struct Decided {
    /// When.
    pub at: DateTime<Utc>,
    /// What kind of snag it was.
    pub kind: String,
    /// The tag code of its job.
    pub code: Option<String>,
    /// What was decided.
    pub choice: String,
    /// Who decided; `None`: the service itself.
    pub who: Option<String>,
}

/// The last decisions, the latest first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn lately(db: &mut Db, tournament: &str) -> DeskResult<Vec<Decided>> {
    let newest = log::newest(db, tournament)?;
    let entries = log::entries_after(db, tournament, newest - DECIDED_WITHIN, DECIDED_WITHIN)?;
    let decided = entries
        .into_iter()
        .rev()
        .filter(|entry| entry.kind == "snag.decided")
        .take(TOLD);
    decided.map(|entry| told(db, tournament, &entry)).collect()
}

/// The decision of one snag, if there is one.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn decision_of(db: &mut Db, tournament: &str, id: &str) -> DeskResult<Option<Decided>> {
    let entries = log::entries_about(db, tournament, &[id.to_owned()])?;
    let decided = entries.iter().rev().find(|entry| entry.kind == "snag.decided");
    decided.map(|entry| told(db, tournament, entry)).transpose()
}

fn told(db: &mut Db, tournament: &str, entry: &LogEntry) -> DeskResult<Decided> {
    let text = |name: &str| entry.data[name].as_str().unwrap_or_default().to_owned();
    let who = match &entry.account_id {
        Some(id) => accounts::find(db, tournament, id)?,
        None => None,
    };
    Ok(Decided {
        at: entry.at,
        kind: text("kind"),
        code: jobs::find(db, tournament, &text("job_id"))?.map(|job| job.code),
        choice: text("choice"),
        who: who.map(|one| one.display_name),
    })
}

/// Decides a snag.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`] for a choice
/// it does not offer, [`DeskError::Conflict`] where somebody decided first, [`DeskError::Rule`]
/// where what was decided is not done yet.
pub fn decide_snag(tx: &mut Tx<'_>, id: &str, choice: &str, note: Option<&str>) -> DeskResult<Snag> {
    let snag =
        waiting_decisions::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Snag))?;
    tx.caller
        .must_be(&[Role::Desk, Role::Coordinator, Role::Stringer])?;
    let record: SnagRecord = from_record(&snag.record)?;
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
    if let Some(job_id) = &snag.job_id {
        match snag.kind.as_str() {
            wait_for_string::KIND => wait_for_string::decided(tx, job_id, choice)?,
            nobody_can::KIND => nobody_can::decided(tx, job_id, choice)?,
            frame_in_use::PATTERN_UNKNOWN => frame_in_use::must_be_on_record(tx, job_id, choice)?,
            match_not_played::KIND => match_not_played::decided(tx, job_id, choice)?,
            _ => {}
        }
        to_be_given_back::decided(tx, job_id, choice)?;
    }
    let note = note.map(|note| text_member::name(note, "/note")).transpose()?;
    let account = tx.caller.account_id.clone();
    close_snag(tx, snag, choice, note, account)
}

/// Writes down what was decided; without an account the desk itself decided.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn close_snag(
    tx: &mut Tx<'_>,
    mut snag: Snag,
    choice: &str,
    note: Option<String>,
    account: Option<String>,
) -> DeskResult<Snag> {
    let mut record: SnagRecord = from_record(&snag.record)?;
    record.decision = Some(choice.to_owned());
    record.note = note;
    record.account_id = account;
    snag.record = to_record(&record)?;
    snag.decided_at = Some(tx.at());
    waiting_decisions::save(tx.db, &mut snag)?;
    tx.emit(
        "snag.decided",
        &snag.id,
        &json!({"kind": snag.kind, "job_id": snag.job_id, "choice": choice}),
    )?;
    Ok(snag)
}
