//! Values of a request that cannot be, each named by its field.
use crate::frame::contradictions::contradictions;
use crate::machine::MachineFacts;
use crate::spec::{Material, Pieces, PreStretch, Spec, StringFacts, StringSpec};
use crate::string_plan::fault::{FaultCode, PlanFault};
use crate::string_plan::request::PlanRequest;

/// Everything in `request` that cannot be.
pub(crate) fn check(request: &PlanRequest) -> Vec<PlanFault> {
    let mut faults: Vec<PlanFault> = contradictions(&request.frame)
        .into_iter()
        .filter(|found| !found.usable_without)
        .map(|found| {
            PlanFault::firm(
                format!("/frame{}", found.pointer),
                FaultCode::FrameContradictsItself,
                found.detail,
            )
        })
        .collect();
    spec(&request.spec, &mut faults);
    if let Some(machine) = &request.machine {
        check_machine(machine, &mut faults);
    }
    if let Some(pace) = request.stringer.as_ref().and_then(|habits| habits.pace_factor)
        && !(0.3..=3.0).contains(&pace)
    {
        refuse(
            &mut faults,
            "/stringer/pace_factor",
            "must be 0.3 to 3; 1 is the ordinary pace",
        );
    }
    for (index, piece) in request.stock.iter().enumerate() {
        if !(1..=1_000_000).contains(&piece.length_mm) {
            refuse(
                &mut faults,
                format!("/stock/{index}/length_mm"),
                "must be 1 to 1000000 mm",
            );
        }
    }
    if let Some(insist) = &request.insist
        && insist.reason.trim().is_empty()
    {
        refuse(&mut faults, "/override/reason", "must say why");
    }
    faults
}

fn refuse(faults: &mut Vec<PlanFault>, pointer: impl Into<String>, detail: impl Into<String>) {
    faults.push(PlanFault::firm(pointer, FaultCode::ValueOutOfRange, detail));
}

fn spec(spec: &Spec, faults: &mut Vec<PlanFault>) {
    for (name, part) in [("mains", &spec.mains), ("crosses", &spec.crosses)] {
        string_spec(name, part, faults);
    }
    if spec.pieces == Pieces::One && differs(&spec.mains.string, &spec.crosses.string) {
        refuse(
            faults,
            "/spec/crosses/string",
            "differs from the mains' string, and one piece is asked; ask for two pieces or give one string",
        );
    }
    if let Some(extra) = &spec.knot_extra
        && extra.newtons().get() > 50.0
    {
        refuse(
            faults,
            "/spec/knot_extra",
            "is above 50 N (about 5 kg); a knot extra is a small addition",
        );
    }
    if spec
        .stencil
        .as_ref()
        .is_some_and(|stencil| stencil.mark.trim().is_empty())
    {
        refuse(
            faults,
            "/spec/stencil/mark",
            "must name the mark; leave the stencil out for none",
        );
    }
}

/// A fact that one side leaves out does not differ.
pub(crate) fn differs(mains: &StringFacts, crosses: &StringFacts) -> bool {
    fn unequal<T: PartialEq>(one: Option<&T>, other: Option<&T>) -> bool {
        matches!((one, other), (Some(one), Some(other)) if one != other)
    }
    unequal(mains.name.as_ref(), crosses.name.as_ref())
        || unequal(mains.material.as_ref(), crosses.material.as_ref())
        || unequal(mains.gauge_mm.as_ref(), crosses.gauge_mm.as_ref())
}

fn string_spec(name: &str, part: &StringSpec, faults: &mut Vec<PlanFault>) {
    if let Some(gauge) = &part.string.gauge_mm
        && gauge_mm(gauge).is_none()
    {
        refuse(
            faults,
            format!("/spec/{name}/string/gauge_mm"),
            "must be 0.4 to 2 mm as decimal text, such as \"1.25\"",
        );
    }
    if let Some(stretch) = part.string.stretch_percent
        && !(0.0..=25.0).contains(&stretch)
    {
        refuse(
            faults,
            format!("/spec/{name}/string/stretch_percent"),
            "must be 0 to 25 percent",
        );
    }
    let percent = match part.pre_stretch {
        PreStretch::None => return,
        PreStretch::ByMachine { percent } | PreStretch::ByHand { percent, .. } => percent,
    };
    if !(percent > 0.0 && percent <= 25.0) {
        refuse(
            faults,
            format!("/spec/{name}/pre_stretch/percent"),
            "must be above 0 and at most 25 percent",
        );
    }
}

/// A diameter in mm, when the text is one.
pub(crate) fn gauge_mm(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let gauge: f64 = text.parse().ok().filter(|_| plain)?;
    (0.4..=2.0).contains(&gauge).then_some(gauge)
}

/// Pre-stretch is not proposed for polyester; an owner may still ask.
pub(crate) const fn unusual_pre_stretch(part: &StringSpec) -> bool {
    matches!(part.string.material, Some(Material::Polyester)) && !matches!(part.pre_stretch, PreStretch::None)
}

fn check_machine(machine: &MachineFacts, faults: &mut Vec<PlanFault>) {
    if let Some(factor) = machine.correction_factor
        && !(0.8..=1.25).contains(&factor)
    {
        refuse(
            faults,
            "/machine/correction_factor",
            "must be 0.8 to 1.25 (measured over shown); adjust the machine instead",
        );
    }
    for (index, unit) in machine.units.iter().enumerate() {
        let step = crate::tension::Tension::parse(&unit.step, unit.unit);
        if let Err(fault) = step {
            refuse(faults, format!("/machine/units/{index}/step"), fault.to_string());
        }
    }
    if let Some(reach) = machine.reach_mm
        && !(50..=1500).contains(&reach)
    {
        refuse(faults, "/machine/reach_mm", "must be 50 to 1500 mm");
    }
    if let Some(grip) = machine.grip_mm
        && !(10..=500).contains(&grip)
    {
        refuse(faults, "/machine/grip_mm", "must be 10 to 500 mm");
    }
}
