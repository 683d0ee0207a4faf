//! Where the strings of one bed sit: the hoop, the mains and the crosses.
use crate::hoop::Hoop;
use crate::spacing::{ordinary_crosses_y_mm, ordinary_mains_x_mm};
use crate::sport::{Sport, SportDefaults};

/// Closer than this to the outer main's end, a cross is to be looked at on the frame, mm (assumed).
///
/// About one ordinary frame in three lies within it.
pub const CLOSE_CALL_MM: f64 = 3.0;

/// A bed of straight, parallel strings: mains upright, crosses level.
#[derive(Debug, Clone, PartialEq)]
pub struct Bed {
    inside: Hoop,
    outer: Hoop,
    centre_main: bool,
    mains_x_mm: Vec<f64>,
    crosses_y_mm: Vec<f64>,
}

/// Why positions do not make a bed; each names the string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BedFault {
    /// There is no main beside the centre line, or no cross.
    #[error("a bed needs at least one main on each side and one cross")]
    Empty,
    /// A main is not further out than the one before it.
    #[error("main {0} must lie further from the centre line than the main before it")]
    MainsOutOfOrder(usize),
    /// A main lies on or outside the hoop.
    #[error("main {0} lies outside the hoop")]
    MainOutside(usize),
    /// A cross is not nearer the throat than the one before it.
    #[error("cross {0} must lie nearer the throat than the cross before it")]
    CrossesOutOfOrder(usize),
    /// A cross lies on or outside the hoop.
    #[error("cross {0} lies outside the hoop")]
    CrossOutside(usize),
    /// The wall is negative or no number.
    #[error("the wall must be 0 mm or more")]
    Wall,
}

/// The first cross below the place where the outermost main leaves the hoop at the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartCross {
    /// Its number, 1 at the head.
    pub cross: usize,
    /// Where the outermost main leaves the hoop, mm above mid length.
    pub outer_main_y_top_mm: f64,
    /// How far below that place the cross lies, mm.
    pub depth_below_mm: f64,
    /// How far above that place the cross before lies, mm; none for cross 1.
    pub previous_above_mm: Option<f64>,
    /// Whether one of the two is less than [`CLOSE_CALL_MM`]: to be counted on the frame.
    pub close_call: bool,
}

impl Bed {
    /// A bed from positions.
    ///
    /// `mains_x_mm` are one side's distances from the centre line, outwards, without a
    /// main on the centre line, which `centre_main` tells; `crosses_y_mm` are heights
    /// above mid length from the head down; `wall_mm` runs from the hoop's inside to
    /// the line on which the string bears outside.
    ///
    /// # Errors
    /// The first [`BedFault`] found.
    pub fn new(
        inside: Hoop,
        wall_mm: f64,
        centre_main: bool,
        mains_x_mm: Vec<f64>,
        crosses_y_mm: Vec<f64>,
    ) -> Result<Self, BedFault> {
        if mains_x_mm.is_empty() || crosses_y_mm.is_empty() {
            return Err(BedFault::Empty);
        }
        if !(wall_mm.is_finite() && wall_mm >= 0.0) {
            return Err(BedFault::Wall);
        }
        let mut before = 0.0;
        for (number, &x) in (1..).zip(&mains_x_mm) {
            // written so that a NaN is refused too
            if x.partial_cmp(&before) != Some(std::cmp::Ordering::Greater) {
                return Err(BedFault::MainsOutOfOrder(number));
            }
            if x >= inside.width_mm() / 2.0 {
                return Err(BedFault::MainOutside(number));
            }
            before = x;
        }
        let mut above = f64::INFINITY;
        for (number, &y) in (1..).zip(&crosses_y_mm) {
            if y.partial_cmp(&above) != Some(std::cmp::Ordering::Less) {
                return Err(BedFault::CrossesOutOfOrder(number));
            }
            if y.abs() >= inside.length_mm() / 2.0 {
                return Err(BedFault::CrossOutside(number));
            }
            above = y;
        }
        Ok(Self {
            inside,
            outer: inside.outer(wall_mm),
            centre_main,
            mains_x_mm,
            crosses_y_mm,
        })
    }

    /// A bed whose strings nobody has measured, placed by the sport's ordinary spacing.
    ///
    /// # Errors
    /// [`BedFault::Empty`] for fewer than two mains or no cross.
    pub fn ordinary(
        inside: Hoop,
        wall_mm: f64,
        mains: usize,
        crosses: usize,
        defaults: &SportDefaults,
    ) -> Result<Self, BedFault> {
        let (mains_x_mm, crosses_y_mm) = ordinary_positions_mm(&inside, mains, crosses, defaults);
        Self::new(
            inside,
            wall_mm,
            !mains.is_multiple_of(2),
            mains_x_mm,
            crosses_y_mm,
        )
    }

    /// The hoop's inside.
    #[must_use]
    pub const fn inside(&self) -> &Hoop {
        &self.inside
    }

    /// The line outside on which the string bears.
    #[must_use]
    pub const fn outer(&self) -> &Hoop {
        &self.outer
    }

    /// Whether a main runs on the centre line.
    #[must_use]
    pub const fn centre_main(&self) -> bool {
        self.centre_main
    }

    /// One side's mains from the centre line outwards, mm; a main on the centre line is not among them.
    #[must_use]
    pub fn mains_x_mm(&self) -> &[f64] {
        &self.mains_x_mm
    }

    /// The crosses from the head down, mm above mid length.
    #[must_use]
    pub fn crosses_y_mm(&self) -> &[f64] {
        &self.crosses_y_mm
    }

    /// Distance of the outermost main from the centre line, mm.
    #[must_use]
    pub fn outer_main_x_mm(&self) -> f64 {
        self.mains_x_mm.last().copied().unwrap_or(0.0)
    }

    /// Distances of every main from the centre line on one side, with 0 for a main on the line.
    pub fn mains_from_the_middle_mm(&self) -> impl Iterator<Item = f64> + '_ {
        let middle = self.centre_main.then_some(0.0);
        middle.into_iter().chain(self.mains_x_mm.iter().copied())
    }

    /// Number of mains that each cross meets, from cross 1 down.
    ///
    /// A main is met when it lies strictly inside the hoop at the cross's height.
    #[must_use]
    pub fn crossings_per_cross(&self) -> Vec<usize> {
        let met = |y_mm: &f64| {
            let half_width = self.inside.half_width_mm(*y_mm);
            let one_side = self.mains_x_mm.iter().filter(|x| **x < half_width).count();
            2 * one_side + usize::from(self.centre_main)
        };
        self.crosses_y_mm.iter().map(met).collect()
    }

    /// The first cross below the place where the outermost main leaves the hoop at the head.
    ///
    /// None when no cross lies below it. It proposes: a start cross counted on the frame wins.
    #[must_use]
    pub fn start_cross(&self) -> Option<StartCross> {
        let y_top = self.inside.y_top_mm(self.outer_main_x_mm());
        let index = self.crosses_y_mm.iter().position(|y| *y < y_top)?;
        let depth_below_mm = y_top - self.crosses_y_mm[index];
        let previous_above_mm = index
            .checked_sub(1)
            .map(|previous| self.crosses_y_mm[previous] - y_top);
        let close = |margin: f64| margin < CLOSE_CALL_MM;
        Some(StartCross {
            cross: index + 1,
            outer_main_y_top_mm: y_top,
            depth_below_mm,
            previous_above_mm,
            close_call: close(depth_below_mm) || previous_above_mm.is_some_and(close),
        })
    }
}

/// Mains of one side and crosses of an ordinary bed in this hoop.
#[must_use]
pub fn ordinary_positions_mm(
    inside: &Hoop,
    mains: usize,
    crosses: usize,
    defaults: &SportDefaults,
) -> (Vec<f64>, Vec<f64>) {
    let outer_x = defaults.outer_main_over_half_width * inside.width_mm() / 2.0;
    let first_y = inside.length_mm() * (0.5 - defaults.head_offset_over_length);
    let last_y = inside.length_mm() * (defaults.throat_offset_over_length - 0.5);
    (
        ordinary_mains_x_mm(mains, outer_x, defaults.main_edge_over_centre_gap),
        ordinary_crosses_y_mm(crosses, first_y, last_y, defaults.cross_edge_over_centre_gap),
    )
}

/// The hoop of a sport's ordinary shape with this inside length and width, mm.
#[must_use]
pub fn ordinary_hoop(sport: Sport, length_mm: f64, width_mm: f64) -> Option<Hoop> {
    let defaults = sport.defaults();
    Hoop::new(
        length_mm,
        width_mm,
        defaults.exponent_head,
        defaults.exponent_throat,
        defaults.widest_y_over_length * length_mm,
    )
}

/// The hoop of a sport's ordinary shape with this head area, mm2.
#[must_use]
pub fn ordinary_hoop_of_area(sport: Sport, area_mm2: f64) -> Option<Hoop> {
    let defaults = sport.defaults();
    Hoop::from_area(
        area_mm2,
        defaults.length_over_width,
        defaults.exponent_head,
        defaults.exponent_throat,
        defaults.widest_y_over_length,
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn every_chord_lies_inside_the_hoop(
            area_in2 in 80.0..135.0_f64, mains in 12_usize..22, crosses in 14_usize..24,
        ) {
            let hoop = ordinary_hoop_of_area(Sport::Tennis, area_in2 * 645.16).expect("a hoop");
            let bed = Bed::ordinary(hoop, 9.5, mains, crosses, &Sport::Tennis.defaults()).expect("a bed");
            for x in bed.mains_from_the_middle_mm() {
                prop_assert!(bed.inside().main_chord_mm(x) > 0.0);
                prop_assert!(bed.inside().main_chord_mm(x) <= hoop.length_mm() + 1e-9);
                prop_assert!(bed.outer().main_chord_mm(x) > bed.inside().main_chord_mm(x));
            }
            for y in bed.crosses_y_mm() {
                prop_assert!(bed.inside().cross_chord_mm(*y) > 0.0);
                prop_assert!(bed.inside().cross_chord_mm(*y) <= hoop.width_mm() + 1e-9);
            }
            prop_assert!(bed.crossings_per_cross().iter().all(|met| *met <= mains));
            prop_assert!((hoop.area_mm2() / 645.16 - area_in2).abs() < 1e-6);
        }
    }

    fn hoop() -> Hoop {
        ordinary_hoop(Sport::Tennis, 330.0, 246.0).expect("a hoop")
    }

    #[test]
    fn a_main_out_of_order_is_named() {
        let bed = Bed::new(hoop(), 9.5, false, vec![5.0, 20.0, 18.0], vec![100.0]);
        assert_eq!(bed, Err(BedFault::MainsOutOfOrder(3)));
    }

    #[test]
    fn a_cross_outside_the_hoop_or_without_a_number_is_named() {
        let outside = Bed::new(hoop(), 9.5, false, vec![5.0], vec![100.0, -170.0]);
        assert_eq!(outside, Err(BedFault::CrossOutside(2)));
        let no_number = Bed::new(hoop(), 9.5, false, vec![5.0], vec![f64::NAN]);
        assert_eq!(no_number, Err(BedFault::CrossesOutOfOrder(1)));
    }
}
