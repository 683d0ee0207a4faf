//! Start cross, outer mains and drag in words.
use crate::frame::Side;
use crate::spec::Pieces;
use crate::string_plan::plan::{Plan, StartCross};
use crate::string_plan::sentences::hole_label;
use crate::string_plan::steps::{Action, StringRef};
use crate::weave_method::WeaveMethod;

/// "cross 3 (measured here); by geometry cross 3, 9.5 mm below the top of the outer mains …".
pub(super) fn start_cross(start: &StartCross) -> String {
    let taken = start.value.map_or_else(
        || "not known".to_owned(),
        |number| format!("cross {number} ({})", start.source.label()),
    );
    let Some((proposed, below)) = start.proposed.zip(start.depth_below_mm) else {
        return taken;
    };
    let above = start
        .previous_above_mm
        .map(|above| format!(", the cross before {above:.1} mm above"))
        .unwrap_or_default();
    let doubt = match (start.check_on_frame, start.close_call) {
        (true, true) => "; TOO CLOSE TO CALL: count it on the frame",
        (true, false) => "; count it on the frame",
        (false, true) => "; geometry alone could not tell",
        (false, false) => "",
    };
    format!(
        "{taken}; by geometry cross {proposed}, {below:.1} mm below the top of the outer mains{above}{doubt}"
    )
}

/// What the outermost main of each side carries.
pub(super) fn outer_mains(plan: &Plan) -> Vec<String> {
    if !plan.frame.mains.is_multiple_of(2) || !plan.steps.iter().any(|step| pulled(&step.action)) {
        return Vec::new();
    }
    [Side::A, Side::B].map(|side| outer_main(plan, side)).to_vec()
}

const fn pulled(action: &Action) -> bool {
    matches!(action, Action::Pull { .. })
}

fn outer_main(plan: &Plan, side: Side) -> String {
    let number = plan.frame.mains / 2;
    let label = format!("{number}{}", side.letter());
    let knot = plan.steps.iter().find_map(|step| match &step.action {
        Action::TieOff {
            string: StringRef::Main {
                side: of,
                number: main,
            },
            hole,
            end,
            ..
        } if *of == side && *main == number => Some(hole.map_or_else(
            || {
                format!(
                    "{label}: its tail is tied off at the {}, hole not known",
                    end.name()
                )
            },
            |hole| format!("{label}: its tail is tied off at {}", hole_label(hole)),
        )),
        _ => None,
    });
    if let Some(knot) = knot {
        return knot;
    }
    let short = plan.short_side.as_ref().is_some_and(|short| short.side == side);
    let start = plan.start_cross.value.unwrap_or(0);
    match (plan.method.method, short) {
        (WeaveMethod::TopsOnShortSide, true) => {
            format!("{label}: no knot; the short side runs on into crosses {start} to 1")
        }
        (WeaveMethod::TopsOnShortSide, false) => format!(
            "{label}: no knot; pulled last, under cross {start}; the long side runs on from cross {}",
            start + 1
        ),
        (WeaveMethod::Around, true) => {
            format!("{label}: strung by the long side after the last cross, from throat to head")
        }
        _ if plan.pieces == Pieces::One => {
            format!("{label}: no knot; the long side runs on into the crosses")
        }
        _ => format!("{label}: as on the frame"),
    }
}

/// Drag of the method taken, with its measure.
pub(super) fn drag(plan: &Plan) -> Option<String> {
    let line = plan.comparison.iter().find(|line| line.chosen)?;
    let (worst, crossing_metres) = line.worst_pull_mm.zip(line.crossing_metres)?;
    Some(format!(
        "shoulder zone, crosses 1 to {}: longest pull {:.2} m, {crossing_metres:.0} m of string times crossings{}",
        plan.start_cross.value?,
        worst / 1000.0,
        line.wear_index
            .map(|index| format!("; wear {index:.0}, relative to crosses from the head down (100)"))
            .unwrap_or_default()
    ))
}
