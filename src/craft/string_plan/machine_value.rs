//! What to set on the machine so that the asked tension is pulled.
use serde::Serialize;
use utoipa::ToSchema;

use crate::machine::{MachineFacts, MachineUnit};
use crate::tension::{Tension, TensionUnit};

/// The value to set and how it came about.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MachineValue {
    /// As asked.
    pub asked: Tension,
    /// The asked pull, N.
    pub asked_n: f64,
    /// What to set, decimal text.
    pub set: String,
    /// Its unit.
    pub unit: TensionUnit,
    /// The machine's step in that unit; missing when the machine is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// What will be pulled less what was asked, N.
    pub difference_n: f64,
    /// Measured pull over shown pull.
    pub correction_factor: f64,
    /// As the bench reads it: "SET 24.5 kg (asked 24.0 kg; machine reads 2 % low)".
    pub text: String,
}

/// A tie between two steps goes down; this much of a step counts as a tie.
const TIE: f64 = 1e-9;

/// The value to set on `machine`; without a machine the asked value.
#[must_use]
pub fn machine_value(asked: &Tension, machine: Option<&MachineFacts>) -> MachineValue {
    let factor = machine.and_then(|facts| facts.correction_factor).unwrap_or(1.0);
    let asked_n = asked.newtons().get();
    let Some((unit, step)) = machine.and_then(|facts| shown_unit(asked, &facts.units)) else {
        return MachineValue {
            asked: asked.clone(),
            asked_n,
            set: asked.value().to_owned(),
            unit: asked.unit(),
            step: None,
            difference_n: 0.0,
            correction_factor: 1.0,
            text: format!("SET {} {}", asked.value(), asked.unit().symbol()),
        };
    };
    let step_size: f64 = step.step.parse().unwrap_or(1.0);
    let wanted = asked.in_unit(unit) / factor;
    let steps = (wanted / step_size - 0.5 - TIE).ceil().max(1.0);
    let decimals = step
        .step
        .split_once('.')
        .map_or(0, |(_, fraction)| fraction.len());
    let set_number = steps * step_size;
    let set = format!("{set_number:.decimals$}");
    MachineValue {
        asked: asked.clone(),
        asked_n,
        difference_n: set_number * factor * unit.newtons() - asked_n,
        text: text(asked, &set, unit, factor, set_number),
        set,
        unit,
        step: Some(step.step.clone()),
        correction_factor: factor,
    }
}

/// The asked unit if the machine can show it, else its first.
fn shown_unit<'a>(asked: &Tension, units: &'a [MachineUnit]) -> Option<(TensionUnit, &'a MachineUnit)> {
    units
        .iter()
        .find(|shown| shown.unit == asked.unit())
        .or_else(|| units.first())
        .map(|shown| (shown.unit, shown))
}

fn text(asked: &Tension, set: &str, unit: TensionUnit, factor: f64, set_number: f64) -> String {
    let symbol = unit.symbol();
    let mut remarks = Vec::new();
    let same = unit == asked.unit() && (set_number - asked.number()).abs() < TIE;
    if !same {
        remarks.push(format!("asked {} {}", asked.value(), asked.unit().symbol()));
    }
    if (factor - 1.0).abs() < TIE {
        remarks.extend(difference(set_number - asked.in_unit(unit), unit));
    }
    let percent = ((factor - 1.0).abs() * 100.0).round();
    if percent > 0.0 {
        let reads = if factor < 1.0 { "low" } else { "high" };
        remarks.push(format!("machine reads {percent:.0} % {reads}"));
    }
    if remarks.is_empty() {
        format!("SET {set} {symbol}")
    } else {
        format!("SET {set} {symbol} ({})", remarks.join("; "))
    }
}

/// How far the pull is off what was asked; nothing where no bench reads it.
fn difference(off: f64, unit: TensionUnit) -> Option<String> {
    // half of the finest step that is read, 0.1 kg, 0.5 lb or 1 N: common practice, no source
    let (least, decimals) = match unit {
        TensionUnit::Kg => (0.05, 1),
        TensionUnit::Lb => (0.25, 1),
        TensionUnit::N => (0.5, 0),
    };
    let told = off.abs() + TIE;
    let pulled = if off < 0.0 { "under" } else { "over" };
    (told >= least).then(|| format!("{told:.decimals$} {} {pulled}", unit.symbol()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{ClampKind, PullKind};

    fn machine(unit: TensionUnit, step: &str, factor: Option<f64>) -> MachineFacts {
        MachineFacts {
            name: None,
            clamps: ClampKind::FixedSwivel,
            clamp_count: None,
            holds_main_and_cross: None,
            starting_clamps: None,
            pull: PullKind::Constant,
            units: vec![MachineUnit {
                unit,
                step: step.to_owned(),
            }],
            correction_factor: factor,
            reach_mm: None,
            grip_mm: None,
            pre_stretches: None,
        }
    }

    #[track_caller]
    fn check(asked: (&str, TensionUnit), machine: &MachineFacts, text: &str) {
        let asked = Tension::parse(asked.0, asked.1).unwrap();
        assert_eq!(machine_value(&asked, Some(machine)).text, text);
    }

    #[test]
    fn the_asked_unit_is_used_when_the_machine_shows_it() {
        check(
            ("24", TensionUnit::Kg),
            &machine(TensionUnit::Kg, "0.1", None),
            "SET 24.0 kg",
        );
    }

    #[test]
    fn another_unit_goes_to_the_nearest_step_and_tells_a_difference_that_can_be_read() {
        // 24 kgf = 52.9109 lbf and 24.2 kgf = 53.3519 lbf, by the exact factors
        check(
            ("24", TensionUnit::Kg),
            &machine(TensionUnit::Lb, "0.5", None),
            "SET 53.0 lb (asked 24 kg)",
        );
        check(
            ("24.2", TensionUnit::Kg),
            &machine(TensionUnit::Lb, "1", None),
            "SET 53 lb (asked 24.2 kg; 0.4 lb under)",
        );
        // 53 lbf = 24.0404 kgf and 54 lbf = 24.4940 kgf
        check(
            ("53", TensionUnit::Lb),
            &machine(TensionUnit::Kg, "0.1", None),
            "SET 24.0 kg (asked 53 lb)",
        );
        check(
            ("54", TensionUnit::Lb),
            &machine(TensionUnit::Kg, "0.2", None),
            "SET 24.4 kg (asked 54 lb; 0.1 kg under)",
        );
    }

    #[test]
    fn a_tie_goes_down() {
        check(
            ("24.25", TensionUnit::Kg),
            &machine(TensionUnit::Kg, "0.5", None),
            "SET 24.0 kg (asked 24.25 kg; 0.3 kg under)",
        );
    }

    #[test]
    fn a_machine_that_reads_low_is_set_higher() {
        check(
            ("24.0", TensionUnit::Kg),
            &machine(TensionUnit::Kg, "0.1", Some(0.98)),
            "SET 24.5 kg (asked 24.0 kg; machine reads 2 % low)",
        );
        check(
            ("24.0", TensionUnit::Kg),
            &machine(TensionUnit::Kg, "0.1", Some(0.997)),
            "SET 24.1 kg (asked 24.0 kg)",
        );
    }
}
