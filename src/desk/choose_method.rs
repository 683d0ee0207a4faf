//! The stringer takes another weave method for the job at the bench; cuts, steps and times follow.
use serde_json::json;

use crate::craft::job::{JobPhase, JobState};
use crate::craft::roles::Role;
use crate::craft::string_plan::Plan;
use crate::craft::string_plan::methods::still_open;
use crate::craft::weave_method::WeaveMethod;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::AttemptRecord;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Reason};
use crate::desk::{Tx, book_string, job_plan};
use crate::storage::{from_record, jobs, to_record, work};

/// Takes a method for this job. What the frame's maker or the owner prescribes stays.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Conflict`] off the bench or once the methods have
/// parted, [`DeskError::Rule`] for a method that this racket does not allow or too short a piece.
pub fn choose_method(tx: &mut Tx<'_>, job_id: &str, method: WeaveMethod) -> DeskResult<JobSheet> {
    tx.caller.must_be(&[Role::Stringer, Role::Coordinator])?;
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    still_to_choose(&sheet)?;
    let before = job_plan::of_job(tx.db, &sheet)?.method.method;
    sheet.record.bench_method = Some(method);
    let plan = job_plan::of_job(tx.db, &sheet)?;
    if plan.method.method != method {
        return Err(refused(&plan, method));
    }
    let on_machine = sheet.job.state == JobState::OnMachine.as_str();
    if on_machine {
        sheet.record.method = Some(method);
    }
    // as at the hand-in: the pace of whoever strings it comes on top where work is planned
    let habits = job_plan::habits_of_job(tx.db, &sheet)?;
    let insist = job_plan::insisted(&sheet).map(str::to_owned);
    let planned = job_plan::admit(&sheet.frame, &sheet.spec, &habits, insist.as_deref(), "")?;
    planned.taken_for(&mut sheet);
    // what is cut is cut at this machine
    sheet.record.needs = book_string::needs(&plan, &sheet.spec);
    if on_machine {
        cut_to_the_new_plan(tx, &sheet)?;
    }
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    let data = json!({
        "state": sheet.job.state, "attempt": sheet.job.attempt, "station_id": sheet.job.station_id,
        "racket_id": sheet.job.racket_id, "weave_method": method, "weave_method_before": before,
    });
    tx.emit("job.method_chosen", &sheet.job.id, &data)?;
    Ok(sheet)
}

/// At a station, every change of the spec read, and before the methods part.
fn still_to_choose(sheet: &JobSheet) -> DeskResult<()> {
    let refuse = |detail: &str| Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
    let at_station = [JobState::Assigned, JobState::OnMachine]
        .iter()
        .any(|state| state.as_str() == sheet.job.state);
    if !at_station {
        return refuse("The weave method is chosen at the bench; take the job to a station first.");
    }
    if sheet.job.spec_change_unseen {
        return refuse("The spec was changed; read the change and acknowledge it first.");
    }
    let phase: Option<JobPhase> = sheet.job.phase.as_ref().and_then(|phase| phase.parse().ok());
    if !still_open(sheet.spec.pieces, phase) {
        return refuse(
            "The strings are in too far for another weave method; finish this one, or give the attempt up and begin again.",
        );
    }
    Ok(())
}

/// Why a method was not taken: forbidden here, or somebody else decides.
fn refused(plan: &Plan, method: WeaveMethod) -> DeskError {
    let line = plan.comparison.iter().find(|line| line.method == method);
    let forbids: Vec<&str> = line
        .into_iter()
        .flat_map(|line| &line.reasons)
        .filter(|reason| reason.forbids)
        .map(|reason| reason.text.as_str())
        .collect();
    let detail = if forbids.is_empty() {
        format!(
            "Frame or owner decide the weave method here: {} The desk can change the spec.",
            plan.method.text
        )
    } else {
        format!(
            "\"{}\" cannot be used here: {}.",
            method.words(),
            forbids.join(", and ")
        )
    };
    DeskError::Rule {
        reason: Reason::RuleRefused,
        detail: detail.clone(),
        faults: vec![MemberFault::at("/weave_method", "method_not_allowed", detail)],
        insist: None,
    }
}

/// What was taken from stock for the open attempt becomes as long as the new cuts.
fn cut_to_the_new_plan(tx: &mut Tx<'_>, sheet: &JobSheet) -> DeskResult<()> {
    let attempts = work::attempts_of(tx.db, &sheet.job.id)?;
    let Some(mut attempt) = attempts.into_iter().rfind(|attempt| attempt.ended_at.is_none()) else {
        return Ok(());
    };
    let mut taken: AttemptRecord = from_record(&attempt.record)?;
    book_string::cut_anew(tx, &sheet.job.id, &sheet.record.needs, &mut taken.booked)?;
    attempt.record = to_record(&taken)?;
    Ok(work::save_attempt(tx.db, &attempt)?)
}
