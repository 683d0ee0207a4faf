//! How far an answer may lie from the expected value, in the forms in which case files say it.
use serde_json::{Map, Value};

use crate::answer::Answer;
use crate::case::PROSE;

/// What holds for every expected value of a case unless the value says otherwise.
#[derive(Default)]
pub(crate) struct CaseTolerance(Vec<(String, Value)>);

/// Absolute and relative; both nought means equal.
#[derive(Clone, Copy, Default)]
struct Tolerance {
    absolute: f64,
    relative: f64,
}

impl CaseTolerance {
    /// `tolerance_abs`, `tol {abs, rel, exact}` or `tolerance {<name>_rel, <name>_abs}` of a case.
    pub(crate) fn of(case: &Value) -> Self {
        let named = ["tolerance_abs", "tol", "tolerance"];
        let given = named
            .iter()
            .filter_map(|name| Some(((*name).to_owned(), case.get(*name)?.clone())));
        Self(given.collect())
    }

    /// The tolerance of the output `name`; none when the case gives none for it.
    fn of_output(&self, name: &str) -> Option<Tolerance> {
        self.0.iter().find_map(|(form, value)| match form.as_str() {
            "tolerance_abs" => Some(Tolerance {
                absolute: value.as_f64()?,
                relative: 0.0,
            }),
            "tol" => {
                let exact = value.get("exact") == Some(&Value::Bool(true));
                let part = |kind: &str| value.get(kind).and_then(Value::as_f64);
                let (absolute, relative) = (part("abs"), part("rel"));
                (exact || absolute.is_some() || relative.is_some()).then(|| Tolerance {
                    absolute: absolute.unwrap_or(0.0),
                    relative: relative.unwrap_or(0.0),
                })
            }
            _ => {
                let stem = name.split('_').next()?;
                let part = |kind: &str| value.get(format!("{stem}_{kind}")).and_then(Value::as_f64);
                let (absolute, relative) = (part("abs"), part("rel"));
                (absolute.is_some() || relative.is_some()).then(|| Tolerance {
                    absolute: absolute.unwrap_or(0.0),
                    relative: relative.unwrap_or(0.0),
                })
            }
        })
    }

    /// Holds one answer against what is expected of the output `name`.
    pub(crate) fn compare(&self, name: &str, answer: &Answer, expected: &Value) -> Result<(), String> {
        let answer = answer.value().map_err(String::clone)?;
        match expected.as_object() {
            Some(rule)
                if rule.contains_key("value") || rule.contains_key("min") || rule.contains_key("max") =>
            {
                by_rule(answer, rule)
            }
            _ => {
                let tolerance = self.of_output(name).ok_or("the case gives no tolerance for it")?;
                close(answer, expected, tolerance)
            }
        }
    }
}

/// An expected value that brings its own tolerance or range.
fn by_rule(answer: &Value, rule: &Map<String, Value>) -> Result<(), String> {
    const KNOWN: [&str; 6] = ["value", "unit", "tol_abs", "tol_rel", "min", "max"];
    let strange = |name: &&String| !KNOWN.contains(&name.as_str()) && !PROSE.contains(&name.as_str());
    if let Some(name) = rule.keys().find(strange) {
        return Err(format!("unknown field {name} of an expected value"));
    }
    let number = |name: &str| -> Result<Option<f64>, String> {
        let Some(value) = rule.get(name) else {
            return Ok(None);
        };
        value
            .as_f64()
            .map(Some)
            .ok_or_else(|| format!("{name} is no number"))
    };
    let (least, most) = (number("min")?, number("max")?);
    if least.is_some() || most.is_some() {
        let got = answer.as_f64().ok_or_else(|| format!("{answer} is no number"))?;
        if least.is_some_and(|least| got < least) || most.is_some_and(|most| got > most) {
            return Err(format!("{got} is not within {least:?} to {most:?}"));
        }
        if !rule.contains_key("value") {
            return Ok(());
        }
    }
    let (absolute, relative) = (number("tol_abs")?, number("tol_rel")?);
    if absolute.is_none() && relative.is_none() && rule.get("exact") != Some(&Value::Bool(true)) {
        return Err("no tolerance and not exact".to_owned());
    }
    let tolerance = Tolerance {
        absolute: absolute.unwrap_or(0.0),
        relative: relative.unwrap_or(0.0),
    };
    close(answer, &rule["value"], tolerance)
}

fn close(answer: &Value, value: &Value, tolerance: Tolerance) -> Result<(), String> {
    match (answer, value) {
        (Value::Array(got), Value::Array(want)) => {
            if got.len() != want.len() {
                return Err(format!("{} values instead of {}", got.len(), want.len()));
            }
            let mut pairs = got.iter().zip(want);
            pairs.try_for_each(|(got, want)| close(got, want, tolerance))
        }
        (Value::Object(got), Value::Object(want)) => {
            if !got.keys().eq(want.keys()) {
                let names = |map: &Map<String, Value>| map.keys().cloned().collect::<Vec<_>>().join(" ");
                return Err(format!("members {} instead of {}", names(got), names(want)));
            }
            let mut pairs = got.iter().zip(want.values());
            pairs.try_for_each(|((_, got), want)| close(got, want, tolerance))
        }
        (Value::Number(got), Value::Number(want)) => {
            let (Some(got), Some(want)) = (got.as_f64(), want.as_f64()) else {
                return Err(format!("{got} or {want} is no number to compare"));
            };
            if (got - want).abs() <= tolerance.absolute + tolerance.relative * want.abs() {
                Ok(())
            } else {
                Err(format!("{got} instead of {want}"))
            }
        }
        _ if answer == value => Ok(()),
        _ => Err(format!("{answer} instead of {value}")),
    }
}
