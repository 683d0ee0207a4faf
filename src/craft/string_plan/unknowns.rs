//! What is not known, each with the way to find it.
use crate::craft::frame::FrameRecord;
use crate::craft::spec::Spec;
use crate::craft::sport::Sport;
use crate::craft::string_plan::choices::order_not_covered;
use crate::craft::string_plan::plan::{Cut, Ends, Holes, StartCross, Unknown, ValueSource};
use crate::craft::string_plan::request::PlanRequest;
use crate::craft::string_plan::steps::{Action, Step, StringRef};

/// What unknowns are drawn from.
pub(crate) struct Known<'a> {
    pub(crate) request: &'a PlanRequest,
    pub(crate) start_cross: &'a StartCross,
    pub(crate) ends: &'a Ends,
    pub(crate) holes: &'a Holes,
    pub(crate) cuts: &'a [Cut],
    pub(crate) steps: &'a [Step],
}

/// Everything that is not known.
pub(crate) fn unknowns(known: &Known<'_>) -> Vec<Unknown> {
    let mut list = Vec::new();
    let mut add = |pointer: &str, text: &str| {
        list.push(Unknown {
            pointer: pointer.to_owned(),
            text: text.to_owned(),
        });
    };
    frame(known, &mut add);
    ends(known, &mut add);
    tie_offs(known, &mut add);
    wish(&known.request.spec, &mut add);
    if known.request.machine.is_none() {
        add(
            "/machine",
            "Machine not known: value to set and reach are as on an ordinary machine.",
        );
    }
    if known.cuts.iter().any(|cut| cut.at_least_mm.is_none()) {
        add(
            "/frame/cut_mm",
            "Length to cut not known: measure along the old string and record it.",
        );
    }
    list
}

fn frame(known: &Known<'_>, add: &mut impl FnMut(&str, &str)) {
    let frame: &FrameRecord = &known.request.frame;
    if !known.holes.known {
        add(
            "/frame/pattern",
            "Pattern not known: look up skips, shared holes and tie-offs on the frame and record them.",
        );
    }
    if frame.tension_range.is_none() {
        add(
            "/frame/tension_range",
            "Tension range not known: read it on the frame.",
        );
    }
    if frame.inside_mm.is_none() {
        add(
            "/frame/inside_mm",
            "Inside length and width not known: lengths are those of an ordinary frame; measure the hoop.",
        );
    }
    if frame.positions_mm.is_none() {
        add(
            "/frame/positions_mm",
            "Positions of the strings not measured: spaced as on an ordinary frame.",
        );
    }
    if let Some(reason) = order_not_covered(frame) {
        add("/frame/mains", &format!("Not covered by the plan: {reason}."));
    } else if frame.fanned_mains == Some(true) {
        add(
            "/frame/fanned_mains",
            "Fanned mains: lengths and drag are not computed; use recorded cuts.",
        );
    }
    if frame.pattern.crosses_from.is_none() {
        let text = match frame.sport {
            Sport::Badminton => {
                "Direction of the crosses not known: badminton frames differ, take it from the maker's sheet alone."
            }
            Sport::Tennis | Sport::Squash => {
                "Direction of the crosses not known: head to throat is taken; look at the maker's sheet."
            }
        };
        add("/frame/pattern/crosses_from", text);
    }
}

fn ends(known: &Known<'_>, add: &mut impl FnMut(&str, &str)) {
    match known.start_cross.source {
        ValueSource::Unknown if known.start_cross.value.is_none() => {
            add(
                "/frame/pattern/start_cross",
                "Start cross not known: count it on the frame.",
            );
        }
        ValueSource::Proposed | ValueSource::Unknown => {
            add(
                "/frame/pattern/start_cross",
                "Start cross proposed by geometry: count it on the frame.",
            );
        }
        _ => {}
    }
    if known.ends.source == ValueSource::Proposed {
        add(
            "/frame/pattern/loop_end",
            "End of the centre loop not on record: count the main holes per side in the throat bridge; odd means throat, even means head.",
        );
    }
}

fn tie_offs(known: &Known<'_>, add: &mut impl FnMut(&str, &str)) {
    let missing = |of_mains: bool| {
        known.steps.iter().any(|step| match &step.action {
            Action::TieOff { string, hole, .. } | Action::StartKnot { string, hole, .. } => {
                hole.is_none() && matches!(string, StringRef::Main { .. }) == of_mains
            }
            _ => false,
        })
    };
    let text = "Tie-off hole not known at that end: look for the wider grommets, tie on an inner main, and record the hole.";
    if missing(true) {
        add("/frame/pattern/tie_off_mains", text);
    }
    if missing(false) {
        add("/frame/pattern/tie_off_crosses", text);
    }
}

fn wish(spec: &Spec, add: &mut impl FnMut(&str, &str)) {
    for (name, part) in [("mains", &spec.mains), ("crosses", &spec.crosses)] {
        if part.string.material.is_none() {
            add(
                &format!("/spec/{name}/string/material"),
                &format!("Material of the {name} not known: lengths count on no stretch."),
            );
        }
        if part.string.gauge_mm.is_none() {
            add(
                &format!("/spec/{name}/string/gauge_mm"),
                &format!("Gauge of the {name} not known: an ordinary one is taken."),
            );
        }
    }
}
