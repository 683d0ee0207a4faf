//! Whether a recorded frame keeps the size limits of its sport's rules.
use crate::frame::FrameRecord;
use crate::limits::{self, Bound};
use crate::sport::Sport;
use crate::string_plan::fault::{FaultCode, PlanFault};
use crate::units::MM2_PER_SQ_INCH;

/// One recorded size: where it stands in the request, and the measure of the rules it answers to.
struct Recorded {
    pointer: &'static str,
    measure: &'static str,
    value: f64,
}

/// Faults of every recorded size beyond its limit; what is not on record is not judged.
pub(crate) fn check(frame: &FrameRecord) -> Vec<PlanFault> {
    recorded(frame)
        .into_iter()
        .filter_map(|size| fault(frame.sport, &size))
        .collect()
}

fn recorded(frame: &FrameRecord) -> Vec<Recorded> {
    let (length, width) = match frame.sport {
        Sport::Tennis => ("hitting_length_mm", Some("hitting_width_mm")),
        Sport::Badminton => ("strung_length_mm", Some("strung_width_mm")),
        Sport::Squash => ("string_length_mm", None),
    };
    let mut sizes = Vec::new();
    let mut add = |pointer, measure, value| {
        sizes.push(Recorded {
            pointer,
            measure,
            value,
        });
    };
    if let Some(overall) = frame.overall_mm {
        add("/frame/overall_mm/length", "overall_length_mm", overall.length);
        add("/frame/overall_mm/width", "overall_width_mm", overall.width);
    }
    if let Some(inside) = frame.inside_mm {
        add("/frame/inside_mm/length", length, inside.length);
        if let Some(width) = width {
            add("/frame/inside_mm/width", width, inside.width);
        }
    }
    if let (Sport::Squash, Some(area_in2)) = (frame.sport, frame.head_area_in2) {
        add(
            "/frame/head_area_in2",
            "strung_area_cm2",
            area_in2 * MM2_PER_SQ_INCH / 100.0,
        );
    }
    sizes
}

fn fault(sport: Sport, size: &Recorded) -> Option<PlanFault> {
    let limit = limits::of(sport)
        .iter()
        .find(|limit| limit.measure == size.measure)
        .filter(|limit| !limit.keeps(size.value))?;
    let (unit, name) = match size.measure.strip_suffix("_mm") {
        Some(name) => ("mm", name),
        None => ("cm2", size.measure.trim_end_matches("_cm2")),
    };
    let (side, most) = match limit.bound {
        Bound::AtMost(most) => ("above", most),
        Bound::AtLeast(least) => ("below", least),
    };
    let extension = if size.measure == "strung_length_mm" {
        " Where strings extend into the throat give the inside length without that extension."
    } else {
        ""
    };
    Some(PlanFault {
        pointer: size.pointer.to_owned(),
        code: FaultCode::OutsideSportLimits,
        detail: format!(
            "{} {:.1} {unit} is {side} the {most} {unit} that the rules of {} set ({}). Measure it again.{extension} \
             To string it all the same send `override` with a reason.",
            name.replace('_', " "),
            size.value,
            sport.name(),
            limit.source,
        ),
        suggestion: None,
        override_allowed: true,
    })
}
