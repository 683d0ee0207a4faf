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
    pub cautions: Vec<String>,
    /// Facts nobody knows: "tie-off of the crosses: look for the wider grommets".
    pub unknowns: Vec<String>,
    /// The record of its frame, where they are entered.
    pub frame_href: String,
    pub sources: Vec<SourceRow>,
    pub phases: Vec<PhaseMark>,
    pub primary: Option<PhaseAct>,
    /// The big button of now and of every phase after it: what a device without network goes on with.
    pub ahead: Vec<PhaseAct>,
    /// The next optional phase, one tap away.
    pub optional: Option<PhaseAct>,
    /// The other optional phases.
    pub others: Vec<PhaseAct>,
    /// "about 9 min left"; empty when not known.
    pub left: String,
    /// "Mains done, 13:43"; empty when nothing can be taken back.
    pub undo: String,
    pub paused: bool,
    pub pause_reasons: Vec<Choice>,
    pub snap_places: Vec<Choice>,
    pub problem_kinds: Vec<Choice>,
    pub notice: Option<ChangeNotice>,
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
