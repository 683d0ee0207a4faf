//! The string plan of a job, as hand-in and bench need it.
use crate::craft::frame::FrameRecord;
use crate::craft::spec::Spec;
use crate::craft::string_plan::fault::FaultCode;
use crate::craft::string_plan::request::Override as Insist;
use crate::craft::string_plan::{self, Plan, PlanFault, PlanRequest};
use crate::craft::weave_method::WeaveMethod;
use crate::desk::records::WorkEstimate;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Override, Reason};

/// What hand-in keeps of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobPlan {
    /// The expected working time.
    pub estimate: WorkEstimate,
    /// Whether the method taken needs swivel clamps.
    pub needs_swivel: bool,
    /// Whether holes have to be read off the frame.
    pub pattern_unknown: bool,
    /// Whether somebody insisted on a tension outside the range.
    pub out_of_range: bool,
}

/// Computes the plan that a racket is admitted with; a person may insist with a reason.
///
/// # Errors
/// [`DeskError::Rule`] with the pointers of everything wrong.
pub fn admit(frame: &FrameRecord, spec: &Spec, insist: Option<&str>, pointer: &str) -> DeskResult<JobPlan> {
    let request = PlanRequest {
        frame: frame.clone(),
        spec: spec.clone(),
        machine: None,
        stringer: None,
        last_method: None,
        policy: None,
        stock: Vec::new(),
        insist: insist.map(|reason| Insist {
            reason: reason.to_owned(),
        }),
    };
    let plan = string_plan::plan(&request).map_err(|faults| refusal(faults, pointer))?;
    Ok(JobPlan {
        estimate: estimate(&plan),
        needs_swivel: plan.method.method == WeaveMethod::TopsOnShortSide,
        pattern_unknown: !plan.holes.known,
        out_of_range: plan.override_reason.is_some(),
    })
}

/// The working time of a plan, in whole seconds.
#[must_use]
pub fn estimate(plan: &Plan) -> WorkEstimate {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "seconds of one job, rounded up"
    )]
    let whole = |seconds: f64| seconds.ceil().clamp(0.0, f64::from(u32::MAX)) as u32;
    let total = plan.estimate.total;
    WorkEstimate {
        p50_s: whole(total.p50_s),
        p80_s: whole(total.p80_s),
        p90_s: whole(total.p90_s),
    }
}

/// The refusal of a plan's faults; the first fault's kind names the problem.
#[must_use]
pub fn refusal(faults: Vec<PlanFault>, pointer: &str) -> DeskError {
    let reason = match faults.first().map(|fault| fault.code) {
        Some(FaultCode::TensionOutOfRange | FaultCode::UnitSuspect) => Reason::TensionOutOfRange,
        Some(FaultCode::FrameContradictsItself) => Reason::FrameContradicts,
        Some(FaultCode::OutsideSportLimits) => Reason::OutsideLimits,
        Some(FaultCode::MethodNotAllowed | FaultCode::NoMethodAllowed | FaultCode::ValueOutOfRange)
        | None => Reason::RuleRefused,
    };
    let may_insist = faults.iter().all(|fault| fault.override_allowed);
    let detail = faults
        .iter()
        .map(|fault| fault.detail.as_str())
        .collect::<Vec<_>>()
        .join(" ");
    let members = faults.into_iter().map(|fault| MemberFault {
        pointer: format!("{pointer}{}", fault.pointer),
        code: fault.code.name(),
        detail: fault.detail,
        suggestion: fault
            .suggestion
            .and_then(|meant| serde_json::to_value(meant).ok()),
    });
    DeskError::Rule {
        reason,
        detail,
        faults: members.collect(),
        insist: may_insist.then(|| Override {
            needs: vec!["reason"],
            by_role: vec!["desk", "coordinator"],
        }),
    }
}
