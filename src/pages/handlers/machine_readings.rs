//! The form in which the readings at a machine are written down.
use super::filled::Filled;
use crate::craft::calibration::CalibrationReading;
use crate::craft::machine::MachineFacts;
use crate::craft::tension::TensionUnit;
use crate::desk::calibrate::{CalibrateMachine, CalibrationRecord};
use crate::desk::{DeskError, DeskResult, MemberFault};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::machine_book::{Pulls, Readings};

/// Three tensions with three pulls each: the desk's own usage, no source.
const TENSIONS: usize = 3;
const PULLS: usize = 3;
/// A machine that is checked at more tensions than these is checked twice.
const MOST_TENSIONS: usize = 5;
const UNITS: [TensionUnit; 3] = [TensionUnit::Kg, TensionUnit::Lb, TensionUnit::N];

/// The form as it was filled in, else with the tensions and the unit of the last check.
pub(super) fn form(form: &Filled, facts: &MachineFacts, last: Option<&CalibrationRecord>) -> Readings {
    // a browser sends no unit where none was chosen
    let sent = form.has_field("nominal_1");
    let before = last.map_or_else(Vec::new, nominals);
    let unit = last
        .map(|record| record.unit)
        .or_else(|| facts.units.first().map(|shown| shown.unit));
    let units = UNITS.map(|one| {
        let chosen = if sent {
            form.get("unit") == one.symbol()
        } else {
            unit == Some(one)
        };
        Choice::new(one.symbol(), one.symbol()).chosen(chosen)
    });
    let rows = before.len().clamp(TENSIONS, MOST_TENSIONS);
    let pulls = (1..=rows).map(|row| {
        let own = nominal(row);
        let set_to = if sent {
            form.get(&own).to_owned()
        } else {
            before.get(row - 1).map(f64::to_string).unwrap_or_default()
        };
        Pulls {
            title: format!("Tension {row}"),
            set_to: Field::new(own, "Set to", Control::Number).value(set_to).free(),
            measured: (1..=PULLS)
                .map(|pull| {
                    let name = measured(row, pull);
                    let value = form.get(&name).to_owned();
                    Field::new(name, format!("Pull {pull}"), Control::Number)
                        .value(value)
                        .free()
                })
                .collect(),
        }
    });
    let adjusted = form.get("adjusted").to_owned();
    Readings {
        unit: Field::new("unit", "Unit of all readings", Control::One(units.into())),
        pulls: pulls.collect(),
        adjusted: Field::new("adjusted", "It was adjusted before these readings", Control::Tick)
            .value(adjusted)
            .free(),
    }
}

/// At which tensions it was checked, rising.
fn nominals(record: &CalibrationRecord) -> Vec<f64> {
    let points = record.judged.points.iter();
    points.map(|point| point.nominal).collect()
}

fn nominal(row: usize) -> String {
    format!("nominal_{row}")
}

fn measured(row: usize, pull: usize) -> String {
    format!("measured_{row}_{pull}")
}

/// Row and pull of every reading that was filled in, in order.
fn filled_in(form: &Filled) -> Vec<(usize, usize)> {
    let all = (1..=MOST_TENSIONS).flat_map(|row| (1..=PULLS).map(move |pull| (row, pull)));
    all.filter(|(row, pull)| form.some(&measured(*row, *pull)).is_some())
        .collect()
}

/// The readings of the form; an empty box is no reading.
///
/// # Errors
/// [`DeskError::Invalid`] with every box that cannot be read, by its name.
pub(super) fn read(form: &Filled) -> DeskResult<CalibrateMachine> {
    let mut faults = Vec::new();
    let unit = UNITS.into_iter().find(|unit| unit.symbol() == form.get("unit"));
    if unit.is_none() {
        let detail = "Choose the unit in which the calibrator shows the pull.";
        faults.push(MemberFault::at("/unit", "missing_member", detail));
    }
    let mut number = |name: String, missing: &str| {
        let text = form.get(&name);
        let read = text
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite());
        if read.is_none() {
            let detail = match text {
                "" => missing.to_owned(),
                text => format!("\"{text}\" is no number; write it such as 24.1."),
            };
            let known = faults
                .iter()
                .any(|fault: &MemberFault| fault.pointer == format!("/{name}"));
            if !known {
                faults.push(MemberFault::at(format!("/{name}"), "invalid_value", detail));
            }
        }
        read.unwrap_or_default()
    };
    let readings = filled_in(form).into_iter().map(|(row, pull)| CalibrationReading {
        nominal: number(nominal(row), "Say what the machine was set to for these pulls."),
        measured: number(measured(row, pull), ""),
    });
    let readings = readings.collect();
    match unit {
        Some(unit) if faults.is_empty() => Ok(CalibrateMachine {
            readings,
            unit,
            adjusted: form.has("adjusted", "yes"),
        }),
        _ => Err(DeskError::Invalid(faults)),
    }
}

/// The box that a pointer is about: a reading's own, the first empty one where readings are missing.
pub(super) fn field_of(form: &Filled, pointer: &str) -> String {
    let Some(reading) = pointer.strip_prefix("/readings") else {
        return pointer.trim_start_matches('/').to_owned();
    };
    let filled = filled_in(form);
    let own = reading.trim_start_matches('/').parse::<usize>().ok();
    match own.and_then(|place| filled.get(place)) {
        Some((row, pull)) => measured(*row, *pull),
        None => {
            let mut all = (1..=TENSIONS).flat_map(|row| (1..=PULLS).map(move |pull| (row, pull)));
            let empty = all.find(|place| !filled.contains(place));
            empty.map_or_else(String::new, |(row, pull)| measured(row, pull))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(fields: &[(&str, &str)]) -> Filled {
        let mut form = Filled::default();
        for (name, value) in fields {
            form.put(*name, *value);
        }
        form
    }

    #[test]
    fn an_empty_box_is_no_reading_and_a_comma_is_a_point() {
        let form = filled(&[
            ("unit", "kg"),
            ("nominal_1", "22"),
            ("nominal_2", "24"),
            ("measured_2_1", "24,1"),
            ("measured_2_3", "23.9"),
        ]);
        let read = read(&form).unwrap();
        let pairs: Vec<(f64, f64)> = read
            .readings
            .iter()
            .map(|one| (one.nominal, one.measured))
            .collect();
        assert_eq!(pairs, [(24.0, 24.1), (24.0, 23.9)]);
        assert_eq!(field_of(&form, "/readings/1"), "measured_2_3");
        assert_eq!(field_of(&form, "/readings"), "measured_1_1");
    }

    #[test]
    fn every_box_that_cannot_be_read_is_named_once() {
        let form = filled(&[
            ("measured_1_1", "24"),
            ("measured_1_2", "much"),
            ("measured_1_3", "24"),
        ]);
        let DeskError::Invalid(faults) = read(&form).unwrap_err() else {
            panic!("nothing can be read");
        };
        let at: Vec<&str> = faults.iter().map(|fault| fault.pointer.as_str()).collect();
        assert_eq!(at, ["/unit", "/nominal_1", "/measured_1_2"]);
    }
}
