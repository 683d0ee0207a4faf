//! Frames and machines as the simple forms of Setup describe them.
use std::collections::BTreeMap;

use super::filled::Filled;
use crate::craft::frame::{FrameRecord, FrameSource, Pattern, TensionRange};
use crate::craft::machine::{ClampKind, MachineFacts, MachineUnit, PullKind};
use crate::craft::sport::Sport;
use crate::craft::tension::{Tension, TensionUnit};
use crate::desk::{DeskError, DeskResult};

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
    let count = |field: &str| {
        form.get(&format!("frame_{field}"))
            .parse::<u16>()
            .map_err(|_fault| {
                DeskError::member(
                    format!("/{field}"),
                    "invalid_value",
                    format!("Count the {field} and give a whole number."),
                )
            })
    };
    let unit = unit(form.get("frame_unit"));
    let pull = |field: &str| -> DeskResult<Option<String>> {
        let Some(text) = form.some(&format!("frame_{field}")) else {
            return Ok(None);
        };
        let text = text.replace(',', ".");
        Tension::parse(&text, unit).map_err(|fault| {
            DeskError::member(
                format!("/{field}"),
                "invalid_value",
                format!("The number {fault}."),
            )
        })?;
        Ok(Some(text))
    };
    let tension_range = match (pull("min")?, pull("max")?) {
        (Some(min), Some(max)) => Some(TensionRange { min, max, unit }),
        (None, None) => None,
        _ => {
            let words = "Give both ends of the range, or none.";
            return Err(DeskError::member("/max", "missing_member", words));
        }
    };
    Ok(FrameRecord {
        sport: match form.get("frame_sport") {
            "badminton" => Sport::Badminton,
            "squash" => Sport::Squash,
            _ => Sport::Tennis,
        },
        name: form.get("frame_name").to_owned(),
        mains: count("mains")?,
        crosses: count("crosses")?,
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

/// A machine as its owner describes it.
pub fn machine(form: &Filled) -> MachineFacts {
    let step = form.get("machine_step").replace(',', ".");
    let fits = step.parse::<f64>().is_ok_and(|step| step > 0.0);
    MachineFacts {
        name: form.some("machine_name"),
        clamps: match form.get("machine_clamps") {
            "flying" => ClampKind::Flying,
            "fixed_on_glide_bars" => ClampKind::FixedOnGlideBars,
            _ => ClampKind::FixedSwivel,
        },
        clamp_count: None,
        holds_main_and_cross: None,
        starting_clamps: None,
        pull: if form.get("machine_pull") == "lockout" {
            PullKind::Lockout
        } else {
            PullKind::Constant
        },
        // a step nobody can read is no step: the plan then shows what was asked
        units: if fits {
            vec![MachineUnit {
                unit: unit(form.get("machine_unit")),
                step,
            }]
        } else {
            Vec::new()
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
