//! Who and what the demo is made of. All of it is invented; tension ranges and
//! lengths are plausible values, not measurements of any product.
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::craft::frame::FrameRecord;
use crate::craft::machine::MachineFacts;
use crate::craft::spec::Spec;
use crate::desk::refusal::DeskResult;
use crate::storage::{StoreError, to_record};

/// Names to show and, where written otherwise, in Latin letters.
pub(super) const PLAYERS: [(&str, Option<&str>); 8] = [
    ("Sample-Test García Ñandú", None),
    ("示例 乙", Some("Shili Yi")),
    ("اسم مثال", Some("Ism Mithal")),
    ("Παράδειγμα Άλφα", Some("Paradeigma Alfa")),
    ("예시 하나", Some("Yesi Hana")),
    ("Пример Вторая", Some("Primer Vtoraya")),
    ("Example Ängström", None),
    ("O", None),
];

/// Strings: name, gauge in mm, material, reel in mm.
pub(super) const STRINGS: [(&str, &str, &str, i64); 3] = [
    ("String A", "1.25", "polyester", 200_000),
    ("String B", "1.30", "multifilament", 100_000),
    ("String D", "0.68", "nylon", 200_000),
];

/// The stringers.
pub(super) const STRINGERS: [&str; 3] = ["Stringer Ash", "Stringer Birch", "Stringer Cedar"];

/// Frames: three sports, one whose holes nobody has looked up.
pub(super) fn frames() -> DeskResult<Vec<FrameRecord>> {
    [
        json!({"sport": "tennis", "name": "Frame One 16x19", "mains": 16, "crosses": 19,
            "tension_range": {"min": "21", "max": "27", "unit": "kg"},
            "pattern": {"known": true,
                "mains_skip": [{"end": "head", "hole": 7}, {"end": "head", "hole": 9},
                               {"end": "throat", "hole": 7}, {"end": "throat", "hole": 9}],
                "tie_off_mains": [{"end": "head", "hole": 6, "side": "A"}, {"end": "head", "hole": 6, "side": "B"}],
                "tie_off_crosses": [{"end": "head", "hole": 5, "side": "B"}, {"end": "throat", "hole": 11, "side": "A"}],
                "shared_holes": [{"end": "head", "hole": 8, "side": "A"}, {"end": "head", "hole": 8, "side": "B"}],
                "start_cross": 3, "crosses_from": "head", "loop_end": "head", "short_side": "either",
                "cross_start_side": "either", "max_mains_ahead": 2},
            "cut_mm": {"mains": 6500, "crosses": 5800}, "inside_mm": {"length": 338, "width": 252}}),
        json!({"sport": "badminton", "name": "Frame Three 22x21", "mains": 22, "crosses": 21,
            "tension_range": {"min": "20", "max": "28", "unit": "lb"}, "pattern": {"known": false}}),
        json!({"sport": "squash", "name": "Frame Four 14x18", "mains": 14, "crosses": 18,
            "tension_range": {"min": "20", "max": "30", "unit": "lb"}, "pattern": {"known": false}}),
    ]
    .into_iter()
    .map(read)
    .collect()
}

/// Machines: name and facts; kg and lb, swivel clamps and glide bars.
pub(super) fn machines() -> DeskResult<Vec<(&'static str, MachineFacts)>> {
    [
        ("Machine 1", "fixed_swivel", "kg", "0.1"),
        ("Machine 2", "fixed_swivel", "lb", "0.5"),
        ("Machine 3", "fixed_on_glide_bars", "kg", "0.1"),
    ]
    .into_iter()
    .map(|(name, clamps, unit, step)| {
        let facts = json!({"clamps": clamps, "pull": "constant", "units": [{"unit": unit, "step": step}]});
        Ok((name, read(facts)?))
    })
    .collect()
}

/// What the owner of a racket of this frame wants, with this string.
pub(super) fn spec(frame: usize, string_id: &str) -> DeskResult<Spec> {
    let (mains, crosses, unit) = match frame {
        0 => ("24.5", "23.5", "kg"),
        1 => ("25", "26", "lb"),
        _ => ("25", "25", "lb"),
    };
    let side = |tension: &str| json!({"string": {"string_id": string_id}, "tension": {"value": tension, "unit": unit}});
    read(json!({"pieces": "two", "mains": side(mains), "crosses": side(crosses)}))
}

fn read<T: DeserializeOwned>(value: Value) -> DeskResult<T> {
    // through text, as a stored record is read
    let text = to_record(&value)?;
    Ok(crate::storage::from_record(&text).map_err(|error: StoreError| error)?)
}
