//! What is probably a slip of the pen in what a desk is set up with: asked about, and taken where a person insists.
use serde_json::{Value, json};

use crate::craft::frame::FrameRecord;
use crate::craft::machine::{MachineFacts, MachineUnit};
use crate::craft::roles::Role;
use crate::craft::tension::{Tension, TensionUnit};
use crate::craft::wishes::is_plausible;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Override, Reason};
use crate::desk::{keep_frame, keep_workshop};

/// No machine has coarser steps, in kilograms or pounds: from memory. In newtons ten times that.
const LARGEST_STEP: f64 = 5.0;

/// Asks about a range in which nobody strings this sport, unless it is the one that stood there `before`.
///
/// # Errors
/// [`DeskError::Rule`] that a reason overcomes; [`DeskError::Invalid`] for a reason that says nothing.
pub fn frame(record: &FrameRecord, before: Option<&FrameRecord>, insist: Option<&str>) -> DeskResult<()> {
    let same = before.is_some_and(|it| it.tension_range == record.tension_range && it.sport == record.sport);
    let Some(range) = record.tension_range.as_ref().filter(|_| !same) else {
        return ask(Vec::new(), insist, &keep_frame::KEEPERS);
    };
    let other = if range.unit == TensionUnit::Kg { "lb" } else { "kg" };
    let ends = [("min", &range.min), ("max", &range.max)];
    let doubts = ends.into_iter().filter_map(|(end, value)| {
        let tension = Tension::parse(value, range.unit).ok()?;
        (!is_plausible(&tension, record.sport)).then(|| {
            let detail = format!(
                "{value} {} is no tension of a {} racket. Is the range in {other}? If it is meant so, send `override` with a reason.",
                range.unit.symbol(),
                record.sport.name(),
            );
            MemberFault::at(format!("/tension_range/{end}"), "unit_suspect", detail)
        })
    });
    ask(doubts.collect(), insist, &keep_frame::KEEPERS)
}

/// Refuses a step that is none, and asks about one that no machine has.
///
/// # Errors
/// As [`frame`]; [`DeskError::Invalid`] for a step that is no number above 0.
pub fn machine(facts: &MachineFacts, before: Option<&MachineFacts>, insist: Option<&str>) -> DeskResult<()> {
    let (mut wrong, mut doubts) = (Vec::new(), Vec::new());
    for (place, shown) in facts.units.iter().enumerate() {
        if before.is_some_and(|it| it.units.contains(shown)) {
            continue;
        }
        let pointer = format!("/units/{place}/step");
        match step(shown) {
            None => {
                let detail = "Give its smallest step as a number above 0, such as 0.5.";
                wrong.push(MemberFault::at(pointer, "invalid_value", detail));
            }
            Some(step) if step > LARGEST_STEP => {
                let detail = format!(
                    "Steps of {} {} are coarser than any machine's. If it is meant so, send `override` with a reason.",
                    shown.step,
                    shown.unit.symbol(),
                );
                doubts.push(MemberFault::at(pointer, "out_of_range", detail));
            }
            Some(_) => {}
        }
    }
    if !wrong.is_empty() {
        return Err(DeskError::Invalid(wrong));
    }
    ask(doubts, insist, &keep_workshop::KEEPERS)
}

/// The step, in kilograms or pounds as it is shown, a tenth of it where it is newtons.
fn step(shown: &MachineUnit) -> Option<f64> {
    let step = Tension::parse(&shown.step, shown.unit).ok()?.number();
    Some(if shown.unit == TensionUnit::N {
        step / 10.0
    } else {
        step
    })
}

/// What the event of something that was kept says of a reason that was given.
#[must_use]
pub(super) fn insisted(insist: Option<&str>) -> Value {
    insist.map_or_else(|| json!({}), |reason| json!({"insisted": reason}))
}

fn ask(doubts: Vec<MemberFault>, insist: Option<&str>, keepers: &[Role]) -> DeskResult<()> {
    match insist {
        Some(reason) if reason.trim().is_empty() => {
            let detail = "Say why it is meant so.";
            return Err(DeskError::member("/override/reason", "missing_member", detail));
        }
        None if !doubts.is_empty() => {}
        _ => return Ok(()),
    }
    let details: Vec<&str> = doubts.iter().map(|doubt| doubt.detail.as_str()).collect();
    Err(DeskError::Rule {
        reason: Reason::RuleRefused,
        detail: details.join(" "),
        faults: doubts,
        insist: Some(Override {
            needs: vec!["reason"],
            by_role: keepers.iter().map(|role| role.as_str()).collect(),
        }),
    })
}
