//! A wish changes: before the start the plan just changes, after it the bench must read the change.
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::job::{JobAction, JobPhase, JobState};
use crate::craft::spec::{Pieces, Spec};
use crate::desk::job_plan::JobPlan;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::{Tx, fill_strings, job_plan, legal, moves, wait_for_string};
use crate::storage::to_record;

/// What happens to strings that are in already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum IfStarted {
    /// The change holds for what is not strung yet; mains that are done keep their wish.
    ApplyToRest,
    /// This racket is finished as it was asked; the change is for the next time.
    FinishAsAsked,
    /// Cut out and begin again.
    CutOutAndRestart,
}

/// A change of the spec.
#[derive(Debug, Clone)]
pub struct AmendJob {
    /// The version the change was made from.
    pub version: i64,
    /// The whole new spec.
    pub spec: Spec,
    /// Needed once the job has been started.
    pub if_started: Option<IfStarted>,
    /// Why a rule shall be broken, where it may be.
    pub insist: Option<String>,
}

/// Changes the spec of a job.
///
/// # Errors
/// [`DeskError::Stale`], [`DeskError::StateForbids`], [`DeskError::Rule`] for a spec
/// that the frame does not allow or a missing choice after the start.
pub fn amend_job(tx: &mut Tx<'_>, job_id: &str, change: &AmendJob) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.job.version != change.version {
        return Err(DeskError::Stale {
            current: sheet.job.version,
        });
    }
    let step = legal::require(tx, &sheet, None, JobAction::Amend)?;
    let started = [JobState::OnMachine, JobState::Checking]
        .iter()
        .any(|state| state.as_str() == sheet.job.state);
    if started && change.if_started.is_none() {
        let detail = "The job has been started: say what happens to the strings that are in.";
        return Err(DeskError::Rule {
            reason: Reason::EvidenceMissing,
            detail: detail.to_owned(),
            faults: vec![crate::desk::MemberFault::at(
                "/if_started",
                "missing_member",
                detail,
            )],
            insist: None,
        });
    }
    let mut spec = change.spec.clone();
    fill_strings::from_stock_list(tx.db, tx.tournament(), &mut spec, "")?;
    let mut next_time = None;
    if started && change.if_started == Some(IfStarted::ApplyToRest) {
        next_time = keep_what_is_strung(&sheet, &mut spec);
    }
    let habits = job_plan::habits_of_job(tx.db, &sheet)?;
    let planned = job_plan::admit(&sheet.frame, &spec, &habits, change.insist.as_deref(), "")?;
    if planned.out_of_range {
        sheet.record.insisted.push(crate::desk::records::Insisted {
            code: "tension_out_of_range".to_owned(),
            reason: change.insist.clone().unwrap_or_default(),
            account_id: tx.caller.account_id.clone(),
        });
    }
    sheet.job.spec_version += 1;
    // the bench reads the change before it goes on
    sheet.job.spec_change_unseen = [JobState::Assigned, JobState::OnMachine]
        .iter()
        .any(|state| state.as_str() == sheet.job.state);
    if started && change.if_started == Some(IfStarted::FinishAsAsked) {
        sheet.record.spec_next_time = Some(spec);
    } else {
        replace(&mut sheet, spec, planned)?;
        sheet.record.spec_next_time = next_time;
    }
    let more = json!({"spec_version": sheet.job.spec_version, "if_started": change.if_started});
    moves::note(tx, &mut sheet, &step, more)?;
    if !started && change.insist.is_none() {
        let short = wait_for_string::short_of(tx, &sheet)?;
        wait_for_string::ask(tx, &mut sheet, &short)?;
    }
    Ok(sheet)
}

/// What is strung stays on record as it was strung; answers the whole wish, for the next time,
/// where that leaves something out.
fn keep_what_is_strung(sheet: &JobSheet, spec: &mut Spec) -> Option<Spec> {
    let asked = spec.clone();
    let phase: Option<JobPhase> = sheet.job.phase.as_ref().and_then(|phase| phase.parse().ok());
    let all = sheet.job.state == JobState::Checking.as_str();
    if all || phase >= Some(JobPhase::MainsDone) {
        spec.mains = sheet.spec.mains.clone();
        spec.pieces = sheet.spec.pieces;
        spec.method = sheet.spec.method;
        if spec.pieces == Pieces::One {
            spec.crosses.string = sheet.spec.crosses.string.clone();
            spec.crosses.pre_stretch = sheet.spec.crosses.pre_stretch;
        }
    }
    if all || phase >= Some(JobPhase::CrossesDone) {
        spec.crosses = sheet.spec.crosses.clone();
    }
    (asked != *spec).then_some(asked)
}

/// From here on the job is strung to `spec`.
fn replace(sheet: &mut JobSheet, spec: Spec, planned: JobPlan) -> DeskResult<()> {
    sheet.job.spec = to_record(&spec)?;
    planned.taken_for(sheet);
    sheet.record.spec_next_time = None;
    let before = std::mem::replace(&mut sheet.spec, spec);
    if sheet.job.spec_change_unseen && sheet.record.spec_before_change.is_none() {
        sheet.record.spec_before_change = Some(before);
    }
    Ok(())
}

/// The bench has read the changed spec.
///
/// # Errors
/// [`DeskError::StateForbids`] where nothing is unread.
pub fn acknowledge_change(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Acknowledge)?;
    sheet.job.spec_change_unseen = false;
    sheet.record.spec_before_change = None;
    let more = json!({"spec_version": sheet.job.spec_version});
    moves::note(tx, &mut sheet, &step, more)?;
    Ok(sheet)
}
