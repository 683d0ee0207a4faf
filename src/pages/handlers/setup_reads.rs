//! Frames and machines as the simple forms of Setup describe them.
use std::collections::BTreeMap;

use super::filled::Filled;
use crate::craft::frame::{FrameRecord, FrameSource, Pattern, TensionRange};
use crate::craft::machine::{ClampKind, MachineFacts, MachineUnit, PullKind};
use crate::craft::sport::Sport;
use crate::craft::tension::{Tension, TensionUnit};
use crate::desk::{DeskError, DeskResult, MemberFault};

fn unit(text: &str) -> TensionUnit {
    if text == "lb" {
        TensionUnit::Lb
    } else {
        TensionUnit::Kg
    }
}

/// A frame of which nobody has looked the holes up.
///
/// # Errors
/// [`DeskError::Invalid`] for what is not a number.
pub fn frame(form: &Filled) -> DeskResult<FrameRecord> {
    let mut faults = Vec::new();
    let sport = match form.get("frame_sport") {
        "badminton" => Sport::Badminton,
        "squash" => Sport::Squash,
        _ => Sport::Tennis,
    };
    let [mains, crosses] = ["mains", "crosses"].map(|field| {
        form.get(&format!("frame_{field}"))
            .parse::<u16>()
            .unwrap_or_else(|_fault| {
                let words = format!("Count the {field} and give a whole number.");
                faults.push(MemberFault::at(format!("/{field}"), "invalid_value", words));
                0
            })
    });
    let unit = unit(form.get("frame_unit"));
    let [min, max] = ["min", "max"].map(|field| {
        let text = form.some(&format!("frame_{field}"))?.replace(',', ".");
        let wrong = Tension::parse(&text, unit).err();
        faults.extend(wrong.map(|fault| {
            MemberFault::at(
                format!("/{field}"),
                "invalid_value",
                format!("The number {fault}."),
            )
        }));
        Some(text)
    });
    let tension_range = range(min, max, unit, &mut faults);
    if !faults.is_empty() {
        return Err(DeskError::Invalid(faults));
    }
    Ok(FrameRecord {
        sport,
        name: form.get("frame_name").to_owned(),
        mains,
        crosses,
        tension_range,
        pattern: Pattern::default(),
        cut_mm: None,
        source: FrameSource::Reported,
        sources: BTreeMap::new(),
        inside_mm: None,
        positions_mm: None,
        fanned_mains: None,
        wall_mm: None,
        overall_mm: None,
        head_area_in2: None,
    })
}

fn range(
    min: Option<String>,
    max: Option<String>,
    unit: TensionUnit,
    faults: &mut Vec<MemberFault>,
) -> Option<TensionRange> {
    match (min, max) {
        (Some(min), Some(max)) => Some(TensionRange { min, max, unit }),
        (None, None) => None,
        _ => {
            let words = "Give both ends of the range, or none.";
            faults.push(MemberFault::at("/max", "missing_member", words));
            None
        }
    }
}

/// A machine as its owner describes it; `of` stands before the names of its fields.
pub fn machine(form: &Filled, of: &str) -> MachineFacts {
    let said = |field: &str| form.get(&format!("{of}_{field}"));
    let step = said("step").replace(',', ".");
    MachineFacts {
        name: form.some(&format!("{of}_name")),
        clamps: match said("clamps") {
            "flying" => ClampKind::Flying,
            "fixed_on_glide_bars" => ClampKind::FixedOnGlideBars,
            _ => ClampKind::FixedSwivel,
        },
        clamp_count: None,
        holds_main_and_cross: None,
        starting_clamps: None,
        pull: if said("pull") == "lockout" {
            PullKind::Lockout
        } else {
            PullKind::Constant
        },
        // without a step the plan shows what was asked
        units: if step.is_empty() {
            Vec::new()
        } else {
            vec![MachineUnit {
                unit: unit(said("unit")),
                step,
            }]
        },
        correction_factor: None,
        reach_mm: None,
        grip_mm: None,
        pre_stretches: None,
    }
}

/// After how many days photos are deleted.
///
/// # Errors
/// [`DeskError::Invalid`] for what is not a whole number.
pub fn photo_days(form: &Filled) -> DeskResult<u16> {
    let words = "Give the days as a whole number, such as 30.";
    let typed = form.get("photos_photos_kept_days").parse();
    typed.map_err(|_fault| DeskError::member("/photos_kept_days", "invalid_value", words))
}

/// The diameter of a string, if it was given.
pub fn gauge(form: &Filled, of: &str) -> Option<String> {
    let typed = form.some(&format!("{of}_gauge_mm"));
    typed.map(|gauge| gauge.replace(',', "."))
}
