//! The string plan of a job, as hand-in and bench need it.
use crate::craft::frame::FrameRecord;
use crate::craft::machine::MachineFacts;
use crate::craft::spec::Spec;
use crate::craft::string_plan::fault::FaultCode;
use crate::craft::string_plan::request::{Override as Insist, Policy, StringerHabits};
use crate::craft::string_plan::{self, Plan, PlanFault, PlanRequest};
use crate::craft::weave_method::WeaveMethod;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{StringNeed, StringerRecord, TournamentSettings, WorkEstimate};
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Override, Reason, Thing};
use crate::desk::{book_string, last_time, legal};
use crate::storage::rackets::Racket;
use crate::storage::workshop::{machinery, people};
use crate::storage::{Db, from_record, tournaments};

/// What hand-in keeps of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobPlan {
    /// The expected working time.
    pub estimate: WorkEstimate,
    /// Whether the method taken needs swivel clamps.
    pub needs_swivel: bool,
    /// Whether holes have to be read off the frame.
    pub pattern_unknown: bool,
    /// Whether somebody insisted on a tension outside the range.
    pub out_of_range: bool,
    /// The strings it takes.
    pub needs: Vec<StringNeed>,
}

impl JobPlan {
    /// From here on the job is strung by this plan.
    pub fn taken_for(self, sheet: &mut JobSheet) {
        sheet.job.work_p90_s = i32::try_from(self.estimate.p90_s).unwrap_or(i32::MAX);
        sheet.record.estimate = Some(self.estimate);
        sheet.record.needs_swivel = self.needs_swivel;
        sheet.record.needs = self.needs;
        sheet.record.pattern_unknown = self.pattern_unknown;
    }
}

/// What decides the weave method when neither frame nor owner does: the stringer's choice for
/// the job, the method of this player's last racket of the model, and the tournament's policy.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DeskHabits {
    /// The stringer's choice for the job at hand.
    pub bench_method: Option<WeaveMethod>,
    /// The method with which this racket, or the player's last one of its model, was begun last.
    pub last_method: Option<WeaveMethod>,
    /// The tournament's policy, for one piece and for two: where it is not allowed it is passed over.
    pub policy: Option<Policy>,
}

/// The habits that hold for a racket; `own_job` is the job that does not count as the last one.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn habits(db: &mut Db, racket: &Racket, own_job: Option<&str>) -> DeskResult<DeskHabits> {
    let tournament =
        tournaments::find(db, &racket.tournament_id)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let settings: TournamentSettings = from_record(&tournament.record)?;
    Ok(DeskHabits {
        bench_method: None,
        last_method: last_time::method(db, racket, own_job)?,
        policy: settings.weave_policy.map(|method| Policy {
            one_piece: Some(method),
            two_piece: Some(method),
        }),
    })
}

/// The habits that hold for a job, its own choice at the bench first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn habits_of_job(db: &mut Db, sheet: &JobSheet) -> DeskResult<DeskHabits> {
    Ok(DeskHabits {
        bench_method: sheet.record.bench_method,
        ..habits(db, &sheet.racket, Some(&sheet.job.id))?
    })
}

/// Why somebody insisted on a job's tension.
#[must_use]
pub fn insisted(sheet: &JobSheet) -> Option<&str> {
    let insisted = sheet.record.insisted.iter();
    let of_tension = insisted.filter(|insisted| insisted.code == "tension_out_of_range");
    of_tension.map(|insisted| insisted.reason.as_str()).next()
}

/// Computes the plan that a racket is admitted with; a person may insist with a reason.
///
/// # Errors
/// [`DeskError::Rule`] with the pointers of everything wrong.
pub fn admit(
    frame: &FrameRecord,
    spec: &Spec,
    habits: &DeskHabits,
    insist: Option<&str>,
    pointer: &str,
) -> DeskResult<JobPlan> {
    let request = PlanRequest {
        frame: frame.clone(),
        spec: spec.clone(),
        machine: None,
        stringer: None,
        bench_method: habits.bench_method,
        last_method: habits.last_method,
        policy: habits.policy.clone(),
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
        needs: book_string::needs(&plan, spec),
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

/// The plan of a job as it stands: its frame, its spec, the machine of its
/// station, its stringer's habits and the method of the racket's last job.
///
/// # Errors
/// [`DeskError::Rule`] where the frame's record has come to forbid the spec.
pub fn of_job(db: &mut Db, sheet: &JobSheet) -> DeskResult<Plan> {
    let tournament = &sheet.job.tournament_id;
    let mut machine = None;
    if let Some(station) = legal::station_of(db, sheet)?
        && let Some(row) = machinery::find(db, tournament, &station.machine_id)?
    {
        let mut facts: MachineFacts = from_record(&row.record)?;
        facts.name = Some(row.name);
        machine = Some(facts);
    }
    let mut stringer = None;
    if let Some(id) = &sheet.job.stringer_id
        && let Some(row) = people::find(db, tournament, id)?
    {
        let record: StringerRecord = from_record(&row.record)?;
        stringer = Some(StringerHabits {
            method: record.usual_method,
            pace_factor: Some(record.pace_factor),
            ..StringerHabits::default()
        });
    }
    let habits = habits_of_job(db, sheet)?;
    let request = PlanRequest {
        frame: (*sheet.frame).clone(),
        spec: sheet.spec.clone(),
        machine,
        stringer,
        bench_method: habits.bench_method,
        last_method: habits.last_method,
        policy: habits.policy,
        stock: Vec::new(),
        insist: insisted(sheet).map(|reason| Insist {
            reason: reason.to_owned(),
        }),
    };
    string_plan::plan(&request).map_err(|faults| refusal(faults, ""))
}
