//! Over and under: the plain weave, counted from the bed's leftmost main.
use serde::Serialize;
use utoipa::ToSchema;

use crate::frame::Side;
use crate::weave_method::WeaveMethod;

/// How one cross meets the mains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub struct CrossWeave {
    /// From the head, 1 and up.
    pub cross: u16,
    /// Over the outermost main of side A of the whole bed (under, if not), were it to reach it.
    pub over_outer_a: bool,
    /// Over the outermost main of side B of the whole bed, were it to reach it.
    pub over_outer_b: bool,
    /// The leftmost main this cross meets, counted on side A from the centre; missing when not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_met_on_a: Option<u16>,
    /// Over that main.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub over_first_met_on_a: Option<bool>,
}

/// Whether cross `j` passes over main `i` of the bed, `i` counted from the leftmost, 1 and up.
#[must_use]
pub const fn passes_over(i: u16, j: u16, even: bool) -> bool {
    (i + j).is_multiple_of(2) == even
}

/// The free parity of the bed: whether even sums pass over.
///
/// With tops on the short side cross k passes over the long side's outer main,
/// so that this main can go in last, under it. Elsewhere even is chosen.
#[must_use]
pub const fn parity(method: WeaveMethod, mains: u16, start_cross: u16, short_side: Side) -> bool {
    match method {
        WeaveMethod::TopsOnShortSide => {
            let long_outer = match short_side {
                Side::A => mains,
                Side::B => 1,
            };
            (long_outer + start_cross).is_multiple_of(2)
        }
        _ => true,
    }
}

/// The weave of every cross. `crossings` tells how many mains each cross meets, when known.
#[must_use]
pub fn weave(mains: u16, crosses: u16, even: bool, crossings: &[usize]) -> Vec<CrossWeave> {
    (1..=crosses)
        .map(|cross| {
            let met = crossings
                .get(usize::from(cross) - 1)
                .and_then(|met| u16::try_from(*met).ok())
                .filter(|met| *met >= 2 && *met <= mains);
            let first = met.map(|met| (mains - met) / 2 + 1);
            CrossWeave {
                cross,
                over_outer_a: passes_over(1, cross, even),
                over_outer_b: passes_over(mains, cross, even),
                first_met_on_a: met.map(|met| met / 2),
                over_first_met_on_a: first.map(|main| passes_over(main, cross, even)),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tops_on_the_short_side_pass_over_the_long_sides_outer_main() {
        for (mains, start, short) in [(16, 3, Side::A), (18, 4, Side::B), (16, 2, Side::B)] {
            let even = parity(WeaveMethod::TopsOnShortSide, mains, start, short);
            let long_outer = if short == Side::A { mains } else { 1 };
            assert!(passes_over(long_outer, start, even));
        }
    }

    #[test]
    fn neighbours_alternate_and_shorter_crosses_keep_the_beds_count() {
        let bed = weave(16, 19, true, &[12, 14, 16]);
        // 1 + 1 is even: cross 1 passes over main 1 of the bed
        assert!(bed[0].over_outer_a && !bed[1].over_outer_a);
        // 12 of 16 mains met: the first met is main 3 of the bed; 3 + 1 is even
        assert_eq!(bed[0].first_met_on_a, Some(6));
        assert_eq!(bed[0].over_first_met_on_a, Some(true));
    }
}
