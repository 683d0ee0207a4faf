//! The Plan: what the bench reads while a racket is on the machine.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::plan_words::{called_words, elsewhere, notice, paused_words, undo_words};
use super::refused::Failure;
use super::visit::Visitor;
use super::{Shown, frame_record, methods, words};
use crate::craft::drawing::{self, HeadAt};
use crate::craft::job::JobPhase;
use crate::craft::roles::Permission;
use crate::craft::spec::{Pieces, Spec, StringSpec};
use crate::craft::string_plan::machine_value::MachineValue;
use crate::craft::string_plan::sentences::metres;
use crate::craft::string_plan::{self, Plan};
use crate::desk::bench_sheet::{BenchSheet, bench_sheet};
use crate::desk::job_plan;
use crate::desk::job_sheet::JobSheet;
use crate::desk::spare::note_spare;
use crate::pages::parts::Choice;
use crate::pages::views::plan::{
    Cut, MethodChoice, PhaseAct, PhaseMark, PlanScreen, PullValue, SourceRow, Step, StepState,
};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/plan/{id}", web::get().to(show));
}

async fn show(visitor: Visitor, id: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let page = screen(&visitor, &id, asked.get("turned") == "yes").await?;
    visitor.page(StatusCode::OK, &page)
}

/// The job and its plan on its station's machine.
pub async fn read(visitor: &Visitor, id: &str) -> Result<(BenchSheet, Plan), Failure> {
    visitor.caller.must(Permission::SeeSpec)?;
    let (tournament, now, id) = (visitor.tournament(), visitor.now, id.to_owned());
    let read = visitor.desk.read(move |db| {
        let mut bench = bench_sheet(db, &tournament, &id)?;
        note_spare(db, &tournament, now, std::slice::from_mut(&mut bench.sheet))?;
        let plan = job_plan::of_job(db, &bench.sheet)?;
        Ok((bench, plan))
    });
    Ok(read.await?)
}

/// The screen of a job.
///
/// # Errors
/// A page of its own where the job is not there or has no plan.
pub async fn screen(visitor: &Visitor, id: &str, turned: bool) -> Result<PlanScreen, Failure> {
    let (bench, plan) = read(visitor, id).await?;
    let sheet = &bench.sheet;
    let phase: Option<JobPhase> = sheet.job.phase.as_ref().and_then(|phase| phase.parse().ok());
    let head = if turned { HeadAt::Bottom } else { HeadAt::Top };
    let chips = |all: &[&str]| all.iter().map(|one| Choice::new(*one, *one)).collect::<Vec<_>>();
    let on_machine = sheet.job.state == "on_machine";
    let (primary, optional, others) = acts(phase);
    let steps = steps(&plan, phase);
    let under_way = on_machine && phase >= Some(JobPhase::MainsStarted);
    let (past_cautions, cautions) = cautions(&plan, &steps, under_way);
    let (ahead, next_ahead) = ahead_of(sheet, &primary);
    Ok(PlanScreen {
        shell: visitor.shell("The Plan", "Next Up", "jobs,snags")?,
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::racket(&sheet.racket_record),
        frame: sheet.frame.name.clone(),
        ready_by: visitor.time(sheet.job.due_at.utc()),
        spare: words::state_chip(sheet, visitor.now),
        mains: pull(&plan.machine.mains, &sheet.spec.mains),
        crosses: pull(&plan.machine.crosses, &sheet.spec.crosses),
        facts: facts(&sheet.spec, sheet.job.attempt),
        cuts: plan.cuts.iter().map(cut).collect(),
        method: plan.method.text.clone(),
        methods: others_to_take(&bench, &plan),
        drawing_svg: drawing::svg(&sheet.frame, &plan, head),
        turn_href: format!("/plan/{id}{}#drawing", if turned { "" } else { "?turned=yes" }),
        steps,
        under_way,
        cautions,
        past_cautions,
        unknowns: plan.unknowns.iter().map(|one| one.text.clone()).collect(),
        frame_href: frame_record::address(&sheet.frame_id),
        sources: sources(&plan),
        phases: marks(visitor, &bench),
        ahead,
        next_ahead,
        primary: on_machine.then_some(primary),
        optional,
        others,
        left: left(visitor, &bench, &plan, phase),
        undo: undo_words(visitor, sheet, phase),
        paused: sheet.job.paused,
        paused_words: paused_words(visitor, &bench),
        called: called_words(visitor, &bench),
        elsewhere: elsewhere(sheet),
        pause_reasons: chips(&["break", "waiting for string", "other racket first"]),
        snap_places: chips(&["main", "cross", "knot", "clamp"]),
        problem_kinds: chips(&["machine", "frame", "grommet", "string", "spec not clear"]),
        notice: notice(visitor, &bench, &plan),
    })
}

/// The other methods that can still be taken, each with the time it takes here.
fn others_to_take(bench: &BenchSheet, plan: &Plan) -> Vec<MethodChoice> {
    let others = methods::can_take(bench, plan)
        .into_iter()
        .filter(|line| !line.chosen);
    let choices = others.map(|line| MethodChoice {
        value: line.method.name().to_owned(),
        label: line.method.words().to_owned(),
        time: line.time_s.map(methods::about).unwrap_or_default(),
    });
    choices.collect()
}

/// What bit in done steps alone, and what still has to be minded.
fn cautions(plan: &Plan, steps: &[Step], under_way: bool) -> (Vec<String>, Vec<String>) {
    let is_past = |code: &str| {
        let with = plan.steps.iter().zip(steps);
        let mut bites = with.filter(|(step, _)| step.cautions.contains(&code)).peekable();
        under_way && bites.peek().is_some() && bites.all(|(_, shown)| shown.state == StepState::Done)
    };
    let (past, open): (Vec<_>, Vec<_>) = plan.cautions.iter().partition(|one| is_past(one.code));
    let texts = |all: Vec<&string_plan::plan::Caution>| all.into_iter().map(|one| one.text.clone()).collect();
    (texts(past), texts(open))
}

fn sources(plan: &Plan) -> Vec<SourceRow> {
    let row = |line: &string_plan::plan::SourceLine| SourceRow {
        what: line.value.replace('_', " "),
        value: String::new(),
        source: line.source.label().to_owned(),
    };
    plan.sources.iter().map(row).collect()
}

/// What the bench has to know besides tensions and strings.
pub(super) fn facts(spec: &Spec, attempt: i32) -> Vec<String> {
    let mut facts = vec![match spec.pieces {
        Pieces::One => "one piece".to_owned(),
        Pieces::Two => "two pieces".to_owned(),
    }];
    if attempt > 1 {
        facts.push(format!("attempt {attempt}"));
    }
    if let Some(extra) = &spec.knot_extra {
        facts.push(format!("{} more before each knot", words::tension(extra)));
    }
    if let Some(stencil) = &spec.stencil {
        let colour = stencil.colour.as_deref().unwrap_or_default();
        facts.push(format!("stencil {} {colour}", stencil.mark).trim().to_owned());
    }
    let flags = [
        (spec.tension_label, "label with the tensions"),
        (spec.string_savers, "string savers"),
        (spec.shoulder_pads, "pads under the shoulder strings"),
        (spec.return_dampener, "dampener goes back on"),
        (spec.read_old_bed_first, "read the old bed first"),
        (spec.cut_out_only, "cut out only, do not string"),
    ];
    facts.extend(
        flags
            .iter()
            .filter(|(set, _)| *set)
            .map(|(_, words)| (*words).to_owned()),
    );
    for (what, said) in [
        ("grip", &spec.grip),
        ("grommets", &spec.grommets),
        ("lead", &spec.lead),
    ] {
        facts.extend(said.iter().map(|said| format!("{what}: {said}")));
    }
    facts.extend(spec.note.iter().cloned());
    facts
}

/// The middle of what is still to do, from the last tap on; nothing is promised here.
fn left(visitor: &Visitor, bench: &BenchSheet, plan: &Plan, phase: Option<JobPhase>) -> String {
    if bench.sheet.job.state != "on_machine" {
        return String::new();
    }
    let estimate = &plan.estimate;
    let parts = [
        (JobPhase::MainsStarted, estimate.prep.p50_s),
        (JobPhase::MainsDone, estimate.mains.p50_s),
        (JobPhase::CrossesDone, estimate.crosses.p50_s),
        (JobPhase::TiedOff, estimate.finish.p50_s),
    ];
    let open = parts.iter().filter(|(end, _)| phase < Some(*end));
    let all_s: f64 = open.map(|(_, part_s)| part_s).sum();
    let since = bench.taps.last().map_or(visitor.now, |(_, at)| *at);
    let passed_s = (visitor.now - since).as_seconds_f64();
    let minutes = ((all_s - passed_s) / 60.0).ceil().max(1.0);
    format!("about {minutes:.0} min left")
}

pub(super) fn pull(value: &MachineValue, part: &StringSpec) -> PullValue {
    let asked = words::tension(&value.asked);
    // the value stands large beside it: only what differs from the wish is said
    let differs = value
        .text
        .split_once('(')
        .map(|(_, rest)| rest.trim_end_matches(')'));
    PullValue {
        set: value.set.clone(),
        unit: value.unit.symbol().to_owned(),
        remark: differs.unwrap_or_default().to_owned(),
        asked,
        string: words::string_name(part),
        pre_stretch: words::pre_stretch(&part.pre_stretch),
    }
}

pub(super) fn cut(cut: &string_plan::plan::Cut) -> Cut {
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
        number: place + 1,
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

fn marks(visitor: &Visitor, bench: &BenchSheet) -> Vec<PhaseMark> {
    let mark = |(phase, at): &(JobPhase, chrono::DateTime<chrono::Utc>)| PhaseMark {
        label: phase.caption(),
        at: visitor.time(*at),
    };
    bench.taps.iter().map(mark).collect()
}

/// The main keys that a device without network goes on with, and which of them comes next.
fn ahead_of(sheet: &JobSheet, primary: &PhaseAct) -> (Vec<PhaseAct>, usize) {
    if !["assigned", "on_machine"].contains(&sheet.job.state.as_str()) {
        return (Vec::new(), 0);
    }
    let all = ahead();
    let next = all.iter().position(|act| act.phase == primary.phase);
    (all, next.unwrap_or(0))
}

/// The big button of each phase in turn, up to the end of the stringing.
fn ahead() -> Vec<PhaseAct> {
    let mut all = Vec::new();
    let mut phase = None;
    loop {
        let (act, ..) = acts(phase);
        phase = act.phase.parse().ok();
        all.push(act);
        if phase.is_none() {
            return all;
        }
    }
}

/// The next tap as the big button, the other phases beside it. Two taps are enough: mains done, strung.
fn acts(phase: Option<JobPhase>) -> (PhaseAct, Option<PhaseAct>, Vec<PhaseAct>) {
    let act = |phase: JobPhase| PhaseAct {
        action: "phase".into(),
        phase: phase.as_str().into(),
        label: phase.caption(),
    };
    let finish = PhaseAct {
        action: "finish".into(),
        phase: String::new(),
        label: "Strung".into(),
    };
    let primary = match phase {
        Some(JobPhase::MainsDone | JobPhase::CrossesDone | JobPhase::TiedOff) => finish,
        _ => act(JobPhase::MainsDone),
    };
    let optional = (phase == Some(JobPhase::MainsDone)).then_some(JobPhase::CrossesDone);
    let others = JobPhase::ALL
        .iter()
        .copied()
        .filter(|one| Some(*one) > phase && one.as_str() != primary.phase && Some(*one) != optional)
        .map(act)
        .collect();
    (primary, optional.map(act), others)
}
