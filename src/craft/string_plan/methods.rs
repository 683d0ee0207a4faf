//! Which weave methods this frame, wish and machine allow, and which one is taken.
use serde::Serialize;
use utoipa::ToSchema;

use crate::frame::contradictions::loop_from_bridge;
use crate::frame::{CrossesFrom, FrameRecord, OnePieceRule};
use crate::job::JobPhase;
use crate::machine::ClampKind;
use crate::racket_end::RacketEnd;
use crate::spec::Pieces;
use crate::string_plan::request::{BackVariant, PlanRequest};
use crate::weave_method::WeaveMethod;

/// Every method, in the order in which an undecided desk would take them.
pub const ALL: [WeaveMethod; 5] = [
    WeaveMethod::HeadDown,
    WeaveMethod::ThroatUp,
    WeaveMethod::TopsOnShortSide,
    WeaveMethod::Around,
    WeaveMethod::StartCrossBack,
];

/// One method: allowed or not, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct MethodVerdict {
    /// The method.
    pub method: WeaveMethod,
    /// Whether it may be used here.
    pub allowed: bool,
    /// What forbids it, or what to mind when it is allowed.
    pub reasons: Vec<MethodReason>,
}

/// One reason about a method.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct MethodReason {
    /// Stable code.
    pub code: &'static str,
    /// Whether it forbids the method; else it is a remark.
    pub forbids: bool,
    /// As a sentence.
    pub text: String,
}

/// Why the method was taken, in the order of who may decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChosenBy {
    /// The frame's maker prescribes it.
    FrameRule,
    /// The owner insists.
    OwnerWish,
    /// The stringer chose it for this job.
    Bench,
    /// As on this player's last racket.
    LastRacket,
    /// This stringer's habit.
    StringerHabit,
    /// The desk's policy.
    Policy,
    /// The first that is allowed.
    FirstAllowed,
}

/// Whether another method can still be taken at this phase of the work.
///
/// In one piece the methods part before the first main: the short side is measured then. In two
/// they part at the crosses.
#[must_use]
pub fn still_open(pieces: Pieces, phase: Option<JobPhase>) -> bool {
    let last = match pieces {
        Pieces::One => JobPhase::Mounted,
        Pieces::Two => JobPhase::MainsDone,
    };
    phase <= Some(last)
}

/// Where the mains finish, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct LoopFact {
    /// The end of the loop; missing when nothing tells.
    pub(crate) loop_end: Option<RacketEnd>,
    /// From the record, not proposed.
    pub(crate) recorded: bool,
}

/// Where the centre loop sits: from the record, else from the bridge's holes, else not known.
pub(crate) fn loop_fact(frame: &FrameRecord) -> LoopFact {
    match (frame.pattern.loop_end, frame.pattern.bridge_holes_per_side) {
        (Some(end), _) => LoopFact {
            loop_end: Some(end),
            recorded: true,
        },
        (None, Some(holes)) => LoopFact {
            loop_end: Some(loop_from_bridge(holes)),
            recorded: false,
        },
        (None, None) => LoopFact {
            loop_end: None,
            recorded: false,
        },
    }
}

/// The verdict on every method.
pub(crate) fn verdicts(request: &PlanRequest, start_cross: Option<u16>) -> Vec<MethodVerdict> {
    ALL.iter()
        .map(|method| {
            let mut judge = Judge {
                request,
                method: *method,
                reasons: Vec::new(),
            };
            judge.pieces();
            judge.frame_rules();
            judge.mains_finish();
            judge.start_cross(start_cross);
            judge.holders();
            MethodVerdict {
                method: *method,
                allowed: !judge.reasons.iter().any(|reason| reason.forbids),
                reasons: judge.reasons,
            }
        })
        .collect()
}

/// How `start_cross_back` is done: by the loops where the frame forbids pulls towards the head.
pub(crate) fn back_variant(request: &PlanRequest) -> BackVariant {
    if request.frame.pattern.pulls_towards_head == Some(false) {
        return BackVariant::ByTheLoops;
    }
    request
        .stringer
        .as_ref()
        .and_then(|habits| habits.start_cross_back)
        .unwrap_or_default()
}

struct Judge<'a> {
    request: &'a PlanRequest,
    method: WeaveMethod,
    reasons: Vec<MethodReason>,
}

impl Judge<'_> {
    fn forbid(&mut self, code: &'static str, text: impl Into<String>) {
        self.reasons.push(MethodReason {
            code,
            forbids: true,
            text: text.into(),
        });
    }

    fn remark(&mut self, code: &'static str, text: impl Into<String>) {
        self.reasons.push(MethodReason {
            code,
            forbids: false,
            text: text.into(),
        });
    }

    fn pieces(&mut self) {
        use WeaveMethod::{Around, StartCrossBack, TopsOnShortSide};
        let pieces = self.request.spec.pieces;
        match (self.method, pieces) {
            (StartCrossBack, Pieces::One) => {
                self.forbid("needs_two_pieces", "needs two pieces; one is asked")
            }
            (TopsOnShortSide | Around, Pieces::Two) => {
                self.forbid("needs_one_piece", "needs one piece; two are asked");
            }
            _ => {}
        }
        match (self.request.frame.pattern.one_piece, pieces) {
            (Some(OnePieceRule::Forbidden), Pieces::One) => {
                self.forbid("frame_wants_two_pieces", "the frame's maker wants two pieces");
            }
            (Some(OnePieceRule::Required), Pieces::Two) => {
                self.forbid("frame_wants_one_piece", "the frame's maker wants one piece");
            }
            _ => {}
        }
    }

    fn frame_rules(&mut self) {
        let pattern = &self.request.frame.pattern;
        if !pattern.methods.is_empty() && !pattern.methods.contains(&self.method) {
            let named: Vec<&str> = pattern.methods.iter().map(|method| method.words()).collect();
            self.forbid(
                "frame_prescribes_another",
                format!("the frame's maker prescribes {}", named.join(" or ")),
            );
        }
        let throat_up = self.method == WeaveMethod::ThroatUp;
        match pattern.crosses_from {
            Some(CrossesFrom::Head) if throat_up => {
                self.forbid("crosses_from_head", "the frame wants its crosses from the head");
            }
            Some(CrossesFrom::Throat) if !throat_up => {
                self.forbid(
                    "crosses_from_throat",
                    "the frame wants its crosses from the throat",
                );
            }
            None if throat_up => self.forbid(
                "crosses_from_unknown",
                "the record does not say that crosses may start at the throat; look at the maker's sheet",
            ),
            None => self.remark(
                "crosses_from_unknown",
                "the record does not say from which end the crosses go in; look at the maker's sheet",
            ),
            _ => {}
        }
        if pattern.pulls_towards_head == Some(false) {
            match self.method {
                WeaveMethod::TopsOnShortSide | WeaveMethod::ThroatUp => self.forbid(
                    "pulls_towards_head",
                    "its pulls run towards the head, which this frame forbids",
                ),
                WeaveMethod::StartCrossBack => self.remark(
                    "by_the_loops",
                    "no pull may run towards the head here: crosses 1 to the start cross are pulled by the loops",
                ),
                _ => {}
            }
        }
    }

    /// One piece: the long side goes on where its mains finish.
    fn mains_finish(&mut self) {
        if self.request.spec.pieces == Pieces::Two {
            return;
        }
        let needed = match self.method {
            WeaveMethod::HeadDown | WeaveMethod::TopsOnShortSide => RacketEnd::Head,
            WeaveMethod::ThroatUp | WeaveMethod::Around => RacketEnd::Throat,
            WeaveMethod::StartCrossBack => return,
        };
        let fact = loop_fact(&self.request.frame);
        match fact
            .loop_end
            .map(|end| end.mains_finish(self.request.frame.mains_per_side()))
        {
            Some(finish) if finish != needed => self.forbid(
                "mains_finish",
                format!(
                    "the mains finish at the {}, it needs them at the {}",
                    finish.name(),
                    needed.name()
                ),
            ),
            Some(_) if fact.recorded => {}
            _ => self.remark(
                "loop_end_unknown",
                format!(
                    "the centre loop must sit so that the mains finish at the {}; confirm it on the frame",
                    needed.name()
                ),
            ),
        }
    }

    fn start_cross(&mut self, start_cross: Option<u16>) {
        if !matches!(
            self.method,
            WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide
        ) {
            return;
        }
        match start_cross {
            None => self.forbid(
                "start_cross_unknown",
                "the start cross is not known; count it on the frame",
            ),
            Some(0 | 1) => self.forbid(
                "start_cross_is_first",
                "cross 1 already lies below the outer mains: nothing is gained",
            ),
            Some(_) => {}
        }
    }

    fn holders(&mut self) {
        let Some(machine) = &self.request.machine else {
            if matches!(
                self.method,
                WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide
            ) {
                self.remark("starting_clamp", "needs a starting clamp with a pad");
            }
            if self.method == WeaveMethod::TopsOnShortSide {
                self.remark(
                    "swivel_clamps",
                    "needs clamps that can hold a main and a cross at once",
                );
            }
            return;
        };
        if machine.clamps_at_hand() < 2 {
            self.forbid("two_clamps", "needs two machine clamps");
        }
        let no_starting_clamp = machine.starting_clamps == Some(0);
        if machine.clamps == ClampKind::Flying && no_starting_clamp {
            self.forbid(
                "starting_clamp",
                "flying clamps cannot hold the first main: a starting clamp is needed",
            );
        }
        if !matches!(
            self.method,
            WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide
        ) {
            return;
        }
        if no_starting_clamp {
            self.forbid(
                "starting_clamp",
                "needs a starting clamp with a pad; none is at hand",
            );
        } else if machine.starting_clamps.is_none() {
            self.remark("starting_clamp", "needs a starting clamp with a pad");
        }
        if self.method == WeaveMethod::TopsOnShortSide && !machine.can_hold_main_and_cross() {
            self.forbid(
                "swivel_clamps",
                "needs clamps that can hold a main and a cross at once; a stringer may confirm it for this machine",
            );
        }
    }
}
