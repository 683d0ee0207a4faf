//! The five ways of weaving side by side, and where values come from.
use crate::string_plan::plan::{MethodComparison, Plan, ValueSource};
use crate::string_plan::sentences::metres;

/// One line per method: taken, open or not, and why.
pub(super) fn lines(plan: &Plan) -> impl Iterator<Item = String> {
    plan.comparison.iter().map(|line| {
        let name = line.method.words();
        let remarks = |forbids: bool| -> Vec<&str> {
            let of_kind = line.reasons.iter().filter(|reason| reason.forbids == forbids);
            of_kind.map(|reason| reason.text.as_str()).collect()
        };
        if !line.allowed {
            return format!("{name:52}  not here: {}", remarks(true).join("; "));
        }
        let verdict = if line.chosen { "taken" } else { "allowed" };
        let mut text = format!("{name:52}  {verdict}{}", figures(line));
        let minded = remarks(false);
        if !minded.is_empty() {
            text += &format!(" ({})", minded.join("; "));
        }
        text
    })
}

fn figures(line: &MethodComparison) -> String {
    let parts = [
        line.worst_pull_mm
            .map(|mm| format!("longest pull {:.2} m", mm / 1000.0)),
        line.crossing_metres
            .map(|metres| format!("{metres:.0} crossing-metres")),
        line.wear_index.map(|index| format!("wear {index:.0}")),
        line.time_s
            .map(|seconds| format!("about {:.1} min", seconds / 60.0)),
        line.string_mm
            .map(|mm| format!("{} of string computed", metres(mm))),
    ];
    let known: Vec<String> = parts.into_iter().flatten().collect();
    if known.is_empty() {
        String::new()
    } else {
        format!(": {}", known.join(", "))
    }
}

/// Values grouped by their source; what is not known stands under its own title already.
pub(super) fn sources(plan: &Plan) -> impl Iterator<Item = String> {
    let mut groups: Vec<(ValueSource, Vec<String>)> = Vec::new();
    for line in plan
        .sources
        .iter()
        .filter(|line| line.source != ValueSource::Unknown)
    {
        let name = line.value.replace('_', " ");
        match groups.iter_mut().find(|(source, _)| *source == line.source) {
            Some((_, names)) => names.push(name),
            None => groups.push((line.source, vec![name])),
        }
    }
    groups.into_iter().map(|(source, names)| {
        let label = match source {
            ValueSource::Assumed => "assumed, as on an ordinary frame, machine or job",
            known => known.label(),
        };
        format!("{label}: {}", names.join(", "))
    })
}
