//! A racket broke on court: its job goes before all others, somebody runs with it, and what happened at
//! the court is written down.
use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::job::{JobAction, JobState, RushLevel, check};
use crate::craft::roles::Role;
use crate::desk::court_times::due_by::DueBy;
use crate::desk::hand_in::{self, HandIn};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::Purpose;
use crate::desk::register_racket::move_racket;
use crate::desk::{
    DeskError, DeskResult, Reason, Tx, carry_racket, hand_out, hear_wish, legal, moves, steer_job,
    text_member,
};
use crate::storage::{accounts, jobs, rackets, to_record};

/// Who calls.
pub const CALLERS: [Role; 2] = [Role::Desk, Role::Coordinator];
/// Who runs.
pub const RUNNERS: [Role; 3] = [Role::Runner, Role::Desk, Role::Coordinator];
/// Until when a racket that comes from the court is wanted: a set of changeovers. Common practice, no source.
pub const WANTED_WITHIN: TimeDelta = TimeDelta::minutes(25);

/// A call from a court, as the job keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CourtCall {
    /// Where the player is.
    pub court: String,
    /// The account of who runs; whoever is free where nobody is named.
    pub runner_id: Option<String>,
    /// When it was called.
    pub called_at: DateTime<Utc>,
    /// When the runner took the racket off the shelf.
    pub picked_up_at: Option<DateTime<Utc>>,
}

/// What the desk hears from the court.
#[derive(Debug, Clone)]
pub struct Called {
    /// Which racket.
    pub racket_id: String,
    /// Where its player is.
    pub court: String,
    /// How it is wanted, as spoken; the same again where nothing is said. Only for a racket that is not in yet.
    pub change: Option<String>,
    /// Who runs.
    pub runner_id: Option<String>,
    /// Until when it is wanted back; soon where nobody says.
    pub wanted_by: Option<DateTime<Utc>>,
}

/// Puts a racket before all others for a player on court; one that is not in yet is taken in.
///
/// # Errors
/// [`DeskError::NotAllowed`]; [`DeskError::Invalid`] and [`DeskError::Rule`] for what can't be taken in;
/// [`DeskError::StateForbids`] for a change of a racket that is in already.
pub fn call(tx: &mut Tx<'_>, called: &Called) -> DeskResult<JobSheet> {
    tx.caller.must_be(&CALLERS)?;
    if called.court.trim().is_empty() {
        let detail = "Choose the court, or write where the player is.";
        return Err(DeskError::member("/court", "missing_member", detail));
    }
    let court = text_member::name(&called.court, "/court")?;
    if let Some(id) = &called.runner_id {
        let runner = accounts::find(tx.db, tx.tournament(), id)?.filter(|account| account.active);
        if runner.is_none() {
            let detail = "Nobody of this tournament has this account; choose who runs.";
            return Err(DeskError::member("/runner_id", "unknown_reference", detail));
        }
    }
    if called.wanted_by.is_some_and(|at| at <= tx.now) {
        let detail = "Give a time that is still to come.";
        return Err(DeskError::member("/wanted_by", "out_of_range", detail));
    }
    let open = jobs::latest_of_racket(tx.db, &called.racket_id, 1)?
        .into_iter()
        .find(|job| !matches!(job.state.as_str(), "out" | "cancelled" | "expected"));
    let id = match open {
        Some(job) if called.change.is_some() => {
            let detail = format!(
                "{} is in already, to be strung as it was asked: call it without a change.",
                job.code
            );
            return Err(DeskError::member("/change", "invalid_value", detail));
        }
        Some(job) => job.id,
        None => take_in(tx, called)?,
    };
    forward(tx, &id, called.wanted_by)?;
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), &id)?;
    sheet.record.court_call = Some(CourtCall {
        court: court.clone(),
        runner_id: called.runner_id.clone(),
        called_at: tx.now,
        picked_up_at: None,
    });
    keep(tx, &mut sheet)?;
    let data = json!({"court": court, "runner_id": called.runner_id, "state": sheet.job.state});
    tx.emit("job.court_called", &id, &data)?;
    Ok(sheet)
}

fn take_in(tx: &mut Tx<'_>, called: &Called) -> DeskResult<String> {
    let racket = rackets::find(tx.db, tx.tournament(), &called.racket_id)?.ok_or_else(|| {
        let detail = "Choose the racket that broke.";
        DeskError::member("/racket_id", "unknown_reference", detail)
    })?;
    let order = HandIn {
        racket_id: racket.id.clone(),
        spec: hear_wish::written_spec(tx.db, &racket, called.change.as_deref(), "")?,
        due: DueBy::asked(
            None,
            Some(called.wanted_by.unwrap_or(tx.now + WANTED_WITHIN)),
            false,
            "",
        )?,
        purpose: Some(Purpose::Match),
        not_before_at: None,
        wants_stringer_id: None,
        // nobody has looked at it: it is still on its way from the court
        condition_ok: false,
        damage: Vec::new(),
        code: None,
        insist: None,
    };
    Ok(hand_in::hand_in(tx, order)?.id)
}

/// Rushed, and wanted soon; a racket that is on the shelf already only needs a runner.
fn forward(tx: &mut Tx<'_>, job_id: &str, wanted_by: Option<DateTime<Utc>>) -> DeskResult<()> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.job.state == JobState::Ready.as_str() {
        return Ok(());
    }
    if sheet.job.rush.as_deref() != Some(RushLevel::Court.as_str()) {
        steer_job::rush_job(tx, job_id, RushLevel::Court)?;
    }
    let soon = wanted_by.unwrap_or(tx.now + WANTED_WITHIN);
    let due = sheet.job.due_at.utc();
    if due > soon || (wanted_by.is_some() && due != soon) {
        steer_job::change_due(tx, job_id, &DueBy::asked(None, Some(soon), false, "")?)?;
    }
    Ok(())
}

/// The runner takes the racket off the shelf.
///
/// # Errors
/// [`DeskError::NotAllowed`] for another's run, [`DeskError::Conflict`] for what is not ready or not called.
pub fn pick_up(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let (mut sheet, mut run) = run_of(tx, job_id)?;
    legal::require(tx, &sheet, None, JobAction::HandOut)?;
    carry_racket::carry_racket(tx, &sheet.racket.id, &Custody::Runner.to_string())?;
    run.picked_up_at = Some(tx.now);
    sheet.record.court_call = Some(run);
    keep(tx, &mut sheet)?;
    tx.emit("job.picked_up", job_id, &json!({"state": sheet.job.state}))?;
    JobSheet::of(tx.db, tx.tournament(), job_id)
}

/// The racket is in its player's hands, or in those of whoever took it at the court.
///
/// # Errors
/// As [`pick_up`], and [`DeskError::Invalid`] where nobody is said to have taken it.
pub fn deliver(tx: &mut Tx<'_>, job_id: &str, to: &str) -> DeskResult<()> {
    let (sheet, run) = run_of(tx, job_id)?;
    if run.picked_up_at.is_none() {
        let detail = "Tap Picked up first: the racket is still on the shelf.";
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
    }
    let to = text_member::name(to, "/to")?;
    let words = format!("{to}, {}", run.court);
    hand_out::left_with(tx, &sheet.job.id, "at_court", &words, "/to")
}

/// The run comes to nothing: the racket goes back to the desk.
///
/// # Errors
/// As [`pick_up`].
pub fn bring_back(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<()> {
    let (mut sheet, _) = run_of(tx, job_id)?;
    let place = sheet.record.slot.clone().map_or(Custody::Desk, Custody::Shelf);
    sheet.record.court_call = None;
    keep(tx, &mut sheet)?;
    if sheet.racket.custody == Custody::Runner.to_string() {
        move_racket(tx, &mut sheet.racket, &place)?;
    }
    tx.emit("job.court_call_ended", job_id, &json!({"state": sheet.job.state}))?;
    hurry_no_more(tx, &mut sheet)
}

/// What the call put before all others takes its turn again, whoever ended the call.
fn hurry_no_more(tx: &mut Tx<'_>, sheet: &mut JobSheet) -> DeskResult<()> {
    if sheet.job.rush.as_deref() != Some(RushLevel::Court.as_str()) {
        return Ok(());
    }
    let facts = legal::facts(tx.db, sheet, None, tx.now)?;
    // on the machine or later it is too late to give way
    let Ok(step) = check(&facts, Role::Coordinator, JobAction::Unrush) else {
        return Ok(());
    };
    sheet.job.rush = None;
    moves::note(
        tx,
        sheet,
        &step,
        json!({"reason": "the court does not wait any more"}),
    )
}

/// The call of a job, if it is the caller's to run.
fn run_of(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<(JobSheet, CourtCall)> {
    tx.caller.must_be(&RUNNERS)?;
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let Some(run) = sheet.record.court_call.clone() else {
        let detail = "No court has called for this racket.";
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
    };
    let others = run.runner_id.is_some() && run.runner_id != tx.caller.account_id;
    if others && tx.caller.role == Role::Runner {
        return Err(DeskError::NotAllowed);
    }
    Ok((sheet, run))
}

fn keep(tx: &mut Tx<'_>, sheet: &mut JobSheet) -> DeskResult<()> {
    sheet.job.record = to_record(&sheet.record)?;
    Ok(jobs::save(tx.db, &mut sheet.job)?)
}
