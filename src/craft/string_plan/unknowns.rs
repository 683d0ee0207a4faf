//! What is not known, each with the way to find it.
use crate::frame::{FrameRecord, Positions};
use crate::sport::Sport;
use crate::string_plan::choices::order_not_covered;
use crate::string_plan::figures::{Figures, tails};
use crate::string_plan::plan::{Cut, Ends, Holes, StartCross, Unknown, ValueSource};
use crate::string_plan::request::PlanRequest;
use crate::string_plan::steps::{Action, Step, StringRef};
use crate::string_plan::string_stretch::{material_label, ordinary_material};

/// What unknowns are drawn from.
pub(crate) struct Known<'a> {
    pub(crate) request: &'a PlanRequest,
    pub(crate) start_cross: &'a StartCross,
    pub(crate) ends: &'a Ends,
    pub(crate) holes: &'a Holes,
    pub(crate) cuts: &'a [Cut],
    pub(crate) steps: &'a [Step],
    pub(crate) figures: &'a Figures,
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
    wish(known.request, &mut add);
    machine(known.request, &mut add);
    if known.cuts.iter().any(|cut| cut.at_least_mm.is_none()) {
        add(
            "/frame/cut_mm",
            "Length to cut not known: measure along the old string and record it.",
        );
    }
    list
}

/// How many of the unknowns make the time less certain; some touch lengths alone.
pub(crate) fn that_widen_time(unknowns: &[Unknown]) -> usize {
    const LENGTHS_ALONE: [&str; 2] = ["/frame/wall_mm", "/machine/reach_mm"];
    let widens = |unknown: &&Unknown| !LENGTHS_ALONE.contains(&unknown.pointer.as_str());
    unknowns.iter().filter(widens).count()
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
    size(known, add);
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

/// What lengths, start cross and drag are computed from.
fn size(known: &Known<'_>, add: &mut impl FnMut(&str, &str)) {
    let frame = &known.request.frame;
    if frame.inside_mm.is_none() {
        let text = if frame.head_area_in2.is_some() {
            "Inside length and width not known: a hoop of this head area and ordinary proportions is taken; measure the hoop."
        } else {
            "Inside length and width not known: lengths are those of an ordinary frame; measure the hoop."
        };
        add("/frame/inside_mm", text);
    }
    let measured = frame.positions_mm.as_ref();
    let some = |list: fn(&Positions) -> &Vec<f64>| measured.is_some_and(|places| !list(places).is_empty());
    let (mains, crosses) = (some(|places| &places.mains_x), some(|places| &places.crosses_y));
    let text = match (mains, crosses) {
        (true, true) if known.figures.positions_set_aside => {
            "Measured positions do not fit a hoop of assumed size: ordinary ones are taken; measure inside length and width."
        }
        (true, true) => "",
        (true, false) => "Heights of the crosses not measured: spaced as on an ordinary frame.",
        (false, true) => "Places of the mains not measured: spaced as on an ordinary frame.",
        (false, false) => "Positions of the strings not measured: spaced as on an ordinary frame.",
    };
    if !text.is_empty() {
        add("/frame/positions_mm", text);
    }
    if frame.wall_mm.is_none() {
        add(
            "/frame/wall_mm",
            &format!(
                "Wall from the inside to where the string bears outside not measured: {} mm is taken.",
                frame.sport.defaults().wall_mm
            ),
        );
    }
}

fn machine(request: &PlanRequest, add: &mut impl FnMut(&str, &str)) {
    let tails = tails(request);
    let reach = format!("{:.0} mm", tails.reach_mm);
    match &request.machine {
        None => add(
            "/machine",
            &format!(
                "Machine not known: value to set, clamps and reach ({reach}) are as on an ordinary machine."
            ),
        ),
        Some(machine) if machine.reach_mm.is_none() => add(
            "/machine/reach_mm",
            &format!("Reach of the tension head not measured: {reach} is taken for the tails."),
        ),
        Some(_) => {}
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
            let text = match (known.start_cross.close_call, known.start_cross.source) {
                (true, _) => "Start cross proposed by geometry, too close to call: count it on the frame.",
                (false, ValueSource::Proposed) => "Start cross proposed by geometry: count it on the frame.",
                _ => "Start cross on record without a source: count it on the frame.",
            };
            add("/frame/pattern/start_cross", text);
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
    for (of_mains, name) in [(true, "mains"), (false, "crosses")] {
        if missing(of_mains) {
            add(
                &format!("/frame/pattern/tie_off_{name}"),
                &format!(
                    "Tie-off hole of the {name} not known: look for the wider grommets at the finishing end, tie on an inner main, and record the hole."
                ),
            );
        }
    }
}

fn wish(request: &PlanRequest, add: &mut impl FnMut(&str, &str)) {
    let (spec, sport) = (&request.spec, request.frame.sport);
    for (name, part) in [("mains", &spec.mains), ("crosses", &spec.crosses)] {
        let string = &part.string;
        if string.material.is_none() && string.stretch_percent.is_none() {
            let taken = match ordinary_material(sport) {
                Some(material) => format!("the least stretch of {} is assumed", material_label(material)),
                None => "no stretch is counted, the safe side for the cut".to_owned(),
            };
            add(
                &format!("/spec/{name}/string/material"),
                &format!("Material of the {name} not known: {taken}."),
            );
        }
        if string.gauge_mm.is_none() {
            add(
                &format!("/spec/{name}/string/gauge_mm"),
                &format!(
                    "Gauge of the {name} not known: {} mm is taken.",
                    sport.defaults().string_diameter_mm
                ),
            );
        }
    }
}
