//! The Plan: what the bench reads while a racket is on the machine.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{Shown, words};
use crate::craft::drawing::{self, HeadAt};
use crate::craft::job::JobPhase;
use crate::craft::string_plan::machine_value::MachineValue;
use crate::craft::string_plan::request::Override;
use crate::craft::string_plan::sentences::metres;
use crate::craft::string_plan::{self, Plan, PlanRequest};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{job_plan, overview};
use crate::pages::parts::Choice;
use crate::pages::views::plan::{
    ChangeNotice, Cut, PhaseAct, PhaseMark, PlanScreen, PullValue, SourceRow, Step, StepState,
};

/// A tap may be taken back for this long.
const UNDO_WITHIN_S: i64 = 60;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/plan/{id}", web::get().to(show));
}

async fn show(visitor: Visitor, id: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let page = screen(&visitor, &id, asked.get("turned") == "yes").await?;
    visitor.page(StatusCode::OK, &page)
}

/// The job and its plan on its station's machine.
async fn read(visitor: &Visitor, id: &str) -> Result<(JobSheet, Plan), Failure> {
    let (tournament, id) = (visitor.tournament(), id.to_owned());
    let read = visitor.desk.read(move |db| {
        let sheet = JobSheet::of(db, &tournament, &id)?;
        let machine = match &sheet.job.station_id {
            Some(station) => overview::machine_at(db, &tournament, station)?,
            None => None,
        };
        let request = PlanRequest {
            frame: sheet.frame.clone(),
            spec: sheet.spec.clone(),
            machine,
            stringer: None,
            last_method: None,
            policy: None,
            stock: Vec::new(),
            insist: sheet.record.insisted.first().map(|one| Override {
                reason: one.reason.clone(),
            }),
        };
        let plan = string_plan::plan(&request).map_err(|faults| job_plan::refusal(faults, ""))?;
        Ok((sheet, plan))
    });
    Ok(read.await?)
}

/// The screen of a job.
///
/// # Errors
/// A page of its own where the job is not there or has no plan.
pub async fn screen(visitor: &Visitor, id: &str, turned: bool) -> Result<PlanScreen, Failure> {
    let (sheet, plan) = read(visitor, id).await?;
    let phase: Option<JobPhase> = sheet.job.phase.as_ref().and_then(|phase| phase.parse().ok());
    let head = if turned { HeadAt::Bottom } else { HeadAt::Top };
    let tapped_at = sheet.job.phase_at.map(|at| at.utc());
    let fresh = tapped_at.filter(|at| (visitor.now - *at).num_seconds() <= UNDO_WITHIN_S);
    let chips = |all: &[&str]| all.iter().map(|one| Choice::new(*one, *one)).collect::<Vec<_>>();
    let (primary, others) = acts(phase);
    Ok(PlanScreen {
        shell: visitor.shell("The Plan", "Next Up", "jobs")?,
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::marks(&sheet.racket_record),
        frame: sheet.frame.name.clone(),
        ready_by: visitor.time(sheet.job.due_at.utc()),
        spare: words::state_chip(&sheet, visitor.now),
        mains: pull(&plan.machine.mains, words::string_name(&sheet.spec.mains)),
        crosses: pull(&plan.machine.crosses, words::string_name(&sheet.spec.crosses)),
        facts: sheet.spec.note.iter().cloned().collect(),
        cuts: plan.cuts.iter().map(cut).collect(),
        method: plan.method.text.clone(),
        methods: Vec::new(),
        drawing_svg: drawing::svg(&sheet.frame, &plan, head),
        turn_href: format!("/plan/{id}{}", if turned { "" } else { "?turned=yes" }),
        steps: steps(&plan, phase),
        cautions: plan.cautions.iter().map(|one| one.text.clone()).collect(),
        unknowns: plan.unknowns.iter().map(|one| one.text.clone()).collect(),
        sources: plan
            .sources
            .iter()
            .map(|line| SourceRow {
                what: line.value.replace('_', " "),
                value: String::new(),
                source: line.source.label().to_owned(),
            })
            .collect(),
        phases: marks(visitor, &sheet, phase),
        primary,
        others,
        left: String::new(),
        undo: match (fresh, phase) {
            (Some(at), Some(phase)) => format!("{}, {}", phase.words(), visitor.time(at)),
            _ => String::new(),
        },
        paused: sheet.job.paused,
        pause_reasons: chips(&["break", "waiting for string", "other racket first"]),
        snap_places: chips(&["main", "cross", "knot", "clamp"]),
        problem_kinds: chips(&["machine", "frame", "grommet", "string", "spec not clear"]),
        notice: sheet.job.spec_change_unseen.then(|| notice(&sheet)),
    })
}

/// What changed is not kept beside the job; the bench reads the whole spec as it stands now.
fn notice(sheet: &JobSheet) -> ChangeNotice {
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    ChangeNotice {
        version: sheet.job.spec_version.to_string(),
        who: "the desk".into(),
        at: String::new(),
        changes: vec![
            ("Mains".into(), String::new(), mains),
            ("Crosses".into(), String::new(), crosses),
        ],
        choices: Vec::new(),
    }
}

fn pull(value: &MachineValue, string: String) -> PullValue {
    let asked = words::tension(&value.asked);
    let set = format!("{} {}", value.set, value.unit.symbol());
    PullValue {
        set: value.set.clone(),
        unit: value.unit.symbol().to_owned(),
        remark: if set == asked {
            String::new()
        } else {
            value.text.clone()
        },
        asked,
        string,
        pre_stretch: String::new(),
    }
}

fn cut(cut: &string_plan::plan::Cut) -> Cut {
    Cut {
        piece: cut.piece.label().to_owned(),
        length: cut.at_least_mm.map_or_else(
            || "measure on the racket".to_owned(),
            |mm| format!("at least {}", metres(mm)),
        ),
        source: cut.source.label().to_owned(),
    }
}

fn steps(plan: &Plan, tapped: Option<JobPhase>) -> Vec<Step> {
    use crate::craft::string_plan::steps::Phase;
    // what a tap says is over
    let over = |phase: Phase| match phase {
        Phase::Prep => tapped >= Some(JobPhase::MainsStarted),
        Phase::Mains => tapped >= Some(JobPhase::MainsDone),
        Phase::Crosses => tapped >= Some(JobPhase::CrossesDone),
        Phase::Finish => tapped >= Some(JobPhase::TiedOff),
    };
    let first_open = plan.steps.iter().position(|step| !over(step.phase));
    let texts = |codes: &[&'static str]| {
        let said = plan.cautions.iter().filter(|one| codes.contains(&one.code));
        said.map(|one| one.text.as_str()).collect::<Vec<_>>().join(" ")
    };
    let rows = plan.steps.iter().enumerate().map(|(place, step)| Step {
        words: step.text.clone(),
        caution: texts(&step.cautions),
        state: match first_open {
            _ if over(step.phase) => StepState::Done,
            Some(open) if open == place => StepState::Now,
            _ => StepState::Later,
        },
    });
    rows.collect()
}

fn marks(visitor: &Visitor, sheet: &JobSheet, phase: Option<JobPhase>) -> Vec<PhaseMark> {
    let over = JobPhase::ALL.iter().filter(|one| Some(**one) <= phase);
    over.map(|one| PhaseMark {
        label: one.words().to_owned(),
        at: sheet
            .job
            .phase_at
            .filter(|_| Some(*one) == phase)
            .map_or_else(String::new, |at| visitor.time(at.utc())),
    })
    .collect()
}

/// The next tap as the big button, the other phases beside it.
fn acts(phase: Option<JobPhase>) -> (Option<PhaseAct>, Vec<PhaseAct>) {
    let act = |phase: JobPhase| PhaseAct {
        action: "phase".into(),
        phase: phase.as_str().into(),
        label: phase.words().into(),
    };
    let finish = PhaseAct {
        action: "finish".into(),
        phase: String::new(),
        label: "Strung".into(),
    };
    let primary = match phase {
        Some(JobPhase::CrossesDone | JobPhase::TiedOff) => finish,
        Some(JobPhase::MainsDone) => act(JobPhase::CrossesDone),
        _ => act(JobPhase::MainsDone),
    };
    let others = JobPhase::ALL
        .iter()
        .copied()
        .filter(|one| Some(*one) > phase && one.as_str() != primary.phase)
        .map(act)
        .collect();
    (Some(primary), others)
}
