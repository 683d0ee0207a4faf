//! The marked holes with their numbers: beside the hoop, one below the other, each with a line to its hole.
use std::collections::BTreeMap;

use crate::drawing::outline::Outline;
use crate::drawing::{HALF_WIDTH, Sheet, TEXT};
use crate::frame::{HoleRef, Side};
use crate::racket_end::RacketEnd;
use crate::string_plan::plan::Holes;

use super::holes::HoleRow;

/// From one line of text to the next.
pub(super) const LINE: f64 = TEXT * 1.2;
/// Where labels begin beside the hoop, from the centre line.
const COLUMN: f64 = HALF_WIDTH - 66.0;

/// What is done with a hole, and how it is drawn.
fn marks(holes: &Holes) -> [(&[HoleRef], &'static str); 5] {
    [
        (&holes.mains_skip, "×"),
        (&holes.crosses_skip, "×"),
        (&holes.shared_holes, "◇"),
        (&holes.tie_off_mains, "⊗"),
        (&holes.tie_off_crosses, "⊕"),
    ]
}

/// Labels of every marked hole. Holes without a mark bear no number: they would have to be too small to read.
pub(super) fn marked_holes(outline: &Outline, holes: &Holes, sheet: &mut Sheet) {
    for end in [RacketEnd::Head, RacketEnd::Throat] {
        for side in [Side::A, Side::B] {
            row(
                &HoleRow::new(outline, end, side, &holes.mains_skip),
                outline,
                holes,
                sheet,
            );
        }
    }
}

fn row(row: &HoleRow<'_>, outline: &Outline, holes: &Holes, sheet: &mut Sheet) {
    let mut labels: BTreeMap<u16, String> = BTreeMap::new();
    for (list, mark) in marks(holes) {
        for number in row.here(list) {
            let label = labels.entry(number).or_default();
            if !label.contains(mark) {
                label.push_str(mark);
            }
        }
    }
    let outwards = if row.end() == RacketEnd::Head { 1.0 } else { -1.0 };
    let places: Vec<(f64, f64)> = labels.keys().map(|number| row.place(*number)).collect();
    let heights: Vec<f64> = places.iter().map(|(_, y)| outwards * y).collect();
    let highest = outline.length / 2.0 + outline.wall + TEXT / 2.0;
    for (((number, mark), hole), height) in labels.iter().zip(&places).zip(apart(&heights, highest)) {
        let beside = hole.0.signum();
        let edge = (
            hole.0 + beside * outline.wall / 2.0,
            hole.1 + outwards * outline.wall / 2.0,
        );
        sheet.line("leader", edge, (beside * (COLUMN - 3.0), outwards * height));
        sheet.ring("hole", edge, 4.5);
        let text = format!("{mark} {number}");
        sheet.text_beside("hole-label", (beside * COLUMN, outwards * height), &text);
    }
}

/// Heights of labels in the order of their holes from the centre outwards: as near to their holes as lines of
/// text can stand, none above `highest`.
fn apart(holes: &[f64], highest: f64) -> Vec<f64> {
    let stack = |lift: f64| {
        let mut above = f64::INFINITY;
        holes
            .iter()
            .map(|hole| {
                above = (hole + lift).min(above - LINE).min(highest);
                above
            })
            .collect::<Vec<f64>>()
    };
    // what the last one is pushed away from its hole is shared by all
    let pushed = stack(0.0)
        .into_iter()
        .zip(holes)
        .map(|(label, hole)| hole - label);
    stack(pushed.fold(0.0, f64::max) / 2.0)
}
