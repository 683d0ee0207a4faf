//! The Plan: the job on the machine, read at a glance with both hands busy.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/plan/{job_id}` | `turned=yes` turns the drawing by 180 degrees |
//! | POST | `/jobs/{id}/do/phase` | `phase` (`mounted`, `mains_started`, `mains_done`, `crosses_done`, `tied_off`), `once` |
//! | POST | `/jobs/{id}/do/finish` | `once`: strung, goes to the check |
//! | POST | `/jobs/{id}/do/undo_phase` | `once` |
//! | POST | `/jobs/{id}/do/pause`, `/jobs/{id}/do/resume` | `reason`, `once` |
//! | POST | `/jobs/{id}/do/snapped` | `place` (`main`, `cross`, `knot`, `clamp`), `once` |
//! | POST | `/jobs/{id}/do/problem` | `kind` (a chip), `once` |
//! | POST | `/jobs/{id}/do/acknowledge` | `version`, `choice`, `once`: the change was understood |
//! | POST | `/jobs/{id}/do/method` | `weave_method`, `once` |
use askama::Template;

use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "plan.html", config = ".askama.toml")]
pub struct PlanScreen {
    pub shell: Shell,
    pub job_id: String,
    pub code: String,
    pub player: String,
    pub racket: String,
    pub frame: String,
    pub ready_by: String,
    pub spare: Chip,
    pub mains: PullValue,
    pub crosses: PullValue,
    /// "two pieces", "constant pull", "4 knots" and the like.
    pub facts: Vec<String>,
    pub cuts: Vec<Cut>,
    /// Weave method in words, and the others one tap away while they can still be taken.
    pub method: String,
    pub methods: Vec<MethodChoice>,
    /// A finished `<svg>` of this frame, made by the desk itself: printed as it is.
    pub drawing_svg: String,
    /// Address of this page with the drawing turned.
    pub turn_href: String,
    pub steps: Vec<Step>,
    /// The mains are begun: what is done folds, and the step that is next stands first.
    pub under_way: bool,
    pub cautions: Vec<String>,
    /// Cautions that bit in done steps alone.
    pub past_cautions: Vec<String>,
    /// Facts nobody knows: "tie-off of the crosses: look for the wider grommets".
    pub unknowns: Vec<String>,
    /// The record of its frame, where they are entered.
    pub frame_href: String,
    pub sources: Vec<SourceRow>,
    pub phases: Vec<PhaseMark>,
    pub primary: Option<PhaseAct>,
    /// The big button of every phase: what a device without network goes on with.
    pub ahead: Vec<PhaseAct>,
    /// Which of them comes next.
    pub next_ahead: usize,
    /// The next optional phase, one tap away.
    pub optional: Option<PhaseAct>,
    /// The other optional phases.
    pub others: Vec<PhaseAct>,
    /// "about 9 min left"; empty when not known.
    pub left: String,
    /// "Mains done, 13:43"; empty when nothing can be taken back.
    pub undo: String,
    pub paused: bool,
    /// "Paused: break, since 13:40."; empty while it is not.
    pub paused_words: String,
    /// "grommet, 13:40": help that was called for and that nobody has decided yet.
    pub called: Vec<String>,
    /// Where this racket is when it is on no machine, and the way there.
    pub elsewhere: Elsewhere,
    pub pause_reasons: Vec<Choice>,
    pub snap_places: Vec<Choice>,
    pub problem_kinds: Vec<Choice>,
    pub notice: Option<ChangeNotice>,
}

/// Where a racket is that is on no machine.
#[derive(Clone, Debug)]
pub struct Elsewhere {
    /// "This racket is strung and waits for its check."
    pub words: String,
    pub label: String,
    pub href: String,
    /// The way is the bench's next work.
    pub is_next: bool,
}

impl PlanScreen {
    fn done_steps(&self) -> &[Step] {
        self.split().0
    }

    fn open_steps(&self) -> &[Step] {
        self.split().1
    }

    fn split(&self) -> (&[Step], &[Step]) {
        let open = self.steps.iter().position(|step| step.state != StepState::Done);
        self.steps.split_at(open.unwrap_or(self.steps.len()))
    }
}

/// Another weave method that this racket allows.
#[derive(Clone, Debug)]
pub struct MethodChoice {
    pub value: String,
    pub label: String,
    /// "about 27 min".
    pub time: String,
}

/// What to set the machine to for one half of the bed.
#[derive(Clone, Debug)]
pub struct PullValue {
    /// In the machine's own unit and step: "24.0".
    pub set: String,
    pub unit: String,
    /// As the player said it: "24 kg".
    pub asked: String,
    pub string: String,
    /// "machine reads 2 % low" or "nearest step, 0.1 below"; empty if equal.
    pub remark: String,
    /// "pre-stretch 10 % by machine"; empty if none.
    pub pre_stretch: String,
}

/// One piece to cut.
#[derive(Clone, Debug)]
pub struct Cut {
    /// "Mains".
    pub piece: String,
    /// "at least 6.50 m".
    pub length: String,
    /// "frame record, measured here".
    pub source: String,
}

/// Where a step stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepState {
    Done,
    Now,
    Later,
}

impl StepState {
    pub fn class(self) -> &'static str {
        match self {
            StepState::Done => "step-done",
            StepState::Now => "step-now",
            StepState::Later => "step-later",
        }
    }
}

/// One step of the plan.
#[derive(Clone, Debug)]
pub struct Step {
    /// From 1.
    pub number: usize,
    pub words: String,
    /// Bites here; empty if none.
    pub caution: String,
    pub state: StepState,
}

/// Where a value comes from.
#[derive(Clone, Debug)]
pub struct SourceRow {
    pub what: String,
    pub value: String,
    pub source: String,
}

/// A phase that is over.
#[derive(Clone, Debug)]
pub struct PhaseMark {
    pub label: String,
    pub at: String,
}

/// A phase that may be tapped next.
#[derive(Clone, Debug)]
pub struct PhaseAct {
    /// `phase` or `finish`.
    pub action: String,
    /// Empty for `finish`.
    pub phase: String,
    pub label: String,
}

impl PhaseAct {
    /// The name of its form among those ahead.
    pub fn seal(&self) -> &'static str {
        match self.phase.as_str() {
            "" => "ahead-finish",
            "mounted" => "ahead-mounted",
            "mains_started" => "ahead-mains-started",
            "mains_done" => "ahead-mains-done",
            "crosses_done" => "ahead-crosses-done",
            _ => "ahead-tied-off",
        }
    }
}

/// The spec changed: covers the screen until it is understood.
#[derive(Clone, Debug)]
pub struct ChangeNotice {
    pub version: String,
    pub who: String,
    pub at: String,
    /// What, before, after.
    pub changes: Vec<(String, String, String)>,
    /// What happens to the strings that are in; empty before the start.
    pub what_now: String,
}

#[cfg(test)]
#[path = "plan_tests.rs"]
mod tests;
