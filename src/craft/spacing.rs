//! Where mains and crosses sit when nobody has measured them.
//!
//! Both laws are our own, fitted so that ordinary frames come out as the bench knows
//! them. Mains never get closer outwards (the rules of tennis, appendix II b, ask for
//! a bed not less dense in the centre).
use crate::sport::{CROSSES_DENSEST_AT, GAP_POWER};

/// A count as a number to compute with.
pub(crate) fn number(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::INFINITY, f64::from)
}

/// Distances of one side's mains from the centre line, mm, from the centre outwards.
///
/// `mains` is the number on both sides; with an odd number one more main runs on the
/// centre line and is not returned. The outermost sits at `outer_x_mm`; its gap is
/// `outer_over_centre_gap` (1 or more) times the centre gap, and the gaps widen with
/// `power` in between. Empty for fewer than two mains.
#[must_use]
pub fn mains_x_mm(mains: usize, outer_x_mm: f64, outer_over_centre_gap: f64, power: f64) -> Vec<f64> {
    let per_side = mains / 2;
    let steps = number(per_side.saturating_sub(1)).max(1.0);
    let mut x = 0.0;
    let mut positions = Vec::with_capacity(per_side);
    for index in 0..per_side {
        let gap = 1.0 + (outer_over_centre_gap - 1.0) * (number(index) / steps).powf(power);
        // half of the centre gap belongs to each side, unless a main runs in the middle
        x += if index == 0 && mains.is_multiple_of(2) {
            gap / 2.0
        } else {
            gap
        };
        positions.push(x);
    }
    let scale = outer_x_mm / x;
    positions.iter_mut().for_each(|position| *position *= scale);
    positions
}

/// Heights of the crosses, mm, cross 1 at the head first.
///
/// Gaps are tightest at `densest_at` (0 the head, 1 the throat) and
/// `edge_over_centre_gap` times as wide at the further edge.
#[must_use]
pub fn crosses_y_mm(
    crosses: usize,
    first_y_mm: f64,
    last_y_mm: f64,
    edge_over_centre_gap: f64,
    power: f64,
    densest_at: f64,
) -> Vec<f64> {
    let gaps = crosses.saturating_sub(1);
    let steps = number(gaps.saturating_sub(1)).max(1.0);
    let reach = densest_at.max(1.0 - densest_at);
    let weights: Vec<f64> = (0..gaps)
        .map(|index| {
            let away = (number(index) / steps - densest_at).abs() / reach;
            1.0 + (edge_over_centre_gap - 1.0) * away.powf(power)
        })
        .collect();
    let total: f64 = weights.iter().sum();
    let mut positions = Vec::with_capacity(crosses);
    let mut passed = 0.0;
    if crosses > 0 {
        positions.push(first_y_mm);
    }
    for weight in weights {
        passed += weight;
        positions.push(first_y_mm + (last_y_mm - first_y_mm) * passed / total);
    }
    positions
}

/// Mains of an ordinary frame: see [`mains_x_mm`].
pub(crate) fn ordinary_mains_x_mm(mains: usize, outer_x_mm: f64, outer_over_centre_gap: f64) -> Vec<f64> {
    mains_x_mm(mains, outer_x_mm, outer_over_centre_gap, GAP_POWER)
}

/// Crosses of an ordinary frame: see [`crosses_y_mm`].
pub(crate) fn ordinary_crosses_y_mm(crosses: usize, first_y_mm: f64, last_y_mm: f64, edge: f64) -> Vec<f64> {
    crosses_y_mm(
        crosses,
        first_y_mm,
        last_y_mm,
        edge,
        GAP_POWER,
        CROSSES_DENSEST_AT,
    )
}

/// Whether the gaps between mains, from the centre gap outwards, never shrink.
///
/// `x_mm` are one side's distances; the centre gap runs from the main on the other side.
#[must_use]
pub fn gaps_never_shrink_outwards(x_mm: &[f64]) -> bool {
    // a billionth of a mm is arithmetic, not a gap
    const ROUNDING_MM: f64 = 1e-9;
    let gap = |index: usize| match index {
        0 => 2.0 * x_mm[0],
        _ => x_mm[index] - x_mm[index - 1],
    };
    (1..x_mm.len()).all(|index| gap(index) >= gap(index - 1) - ROUNDING_MM)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn gaps_between_mains_never_shrink_outwards(
            half in 2_usize..15, outer in 50.0..140.0_f64, ratio in 1.0..3.0_f64, power in 0.5..4.0_f64,
        ) {
            let x = mains_x_mm(2 * half, outer, ratio, power);
            prop_assert_eq!(x.len(), half);
            prop_assert!(gaps_never_shrink_outwards(&x));
            prop_assert!((x[half - 1] - outer).abs() < 1e-9);
        }

        #[test]
        fn crosses_descend_from_the_first_to_the_last(
            crosses in 2_usize..40, ratio in 1.0..3.0_f64, densest in 0.0..1.0_f64,
        ) {
            let y = crosses_y_mm(crosses, 150.0, -140.0, ratio, 2.0, densest);
            prop_assert_eq!(y.len(), crosses);
            prop_assert!(y.windows(2).all(|pair| pair[1] < pair[0]));
            prop_assert!((y[crosses - 1] + 140.0).abs() < 1e-9);
        }
    }

    #[test]
    fn an_odd_number_of_mains_leaves_a_whole_gap_on_both_sides_of_the_middle() {
        let x = mains_x_mm(7, 90.0, 1.0, 2.0);
        assert_eq!(x.len(), 3);
        assert!((x[0] - 30.0).abs() < 1e-9);
    }
}
