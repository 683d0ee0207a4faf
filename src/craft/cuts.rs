//! Lengths to cut, by weave method.
//!
//! What lies in the bed under tension is divided by 1 + strain; tails are added at rest.
//! Reckon with the least strain the string may show, so that no cut comes out short.
use crate::bed::Bed;
use crate::crimp::{Crimp, cross_crest_height_mm};
use crate::elongation::unstretched_mm;
use crate::lengths::Lengths;
use crate::racket_end::RacketEnd;
use crate::spacing::number;
use crate::tails::Tails;

/// Cuts are told in steps of this, rounded up, mm.
pub const CUT_STEP_MM: f64 = 50.0;

/// A string as the cut needs to know it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutString {
    /// Strain under its reference tension, 1 per 1; 0 or more.
    pub strain: f64,
    /// Its tails.
    pub tails: Tails,
}

/// Cut of a single piece, mm at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceCut {
    /// What lies in the bed, at rest, mm.
    pub body_mm: f64,
    /// Tail at the end that is worked first, mm.
    pub first_tail_mm: f64,
    /// Tail at the other end, mm.
    pub last_tail_mm: f64,
}

impl PieceCut {
    /// The whole piece, not rounded, mm.
    #[must_use]
    pub const fn total_mm(&self) -> f64 {
        self.body_mm + self.first_tail_mm + self.last_tail_mm
    }
}

/// A piece that is worked in two parts from a point between its ends, mm at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SplitCut {
    /// The short part with its tail, mm: short side, or short tail of the crosses.
    pub short_mm: f64,
    /// The long part with its tail, mm.
    pub long_mm: f64,
}

impl SplitCut {
    /// The whole piece, not rounded, mm.
    #[must_use]
    pub const fn total_mm(&self) -> f64 {
        self.short_mm + self.long_mm
    }
}

impl CutString {
    fn rest_mm(&self, tensioned_mm: f64) -> f64 {
        unstretched_mm(tensioned_mm, self.strain)
    }

    fn pulled(&self, tensioned_mm: f64) -> f64 {
        self.rest_mm(tensioned_mm) + self.tails.pulled_end_mm()
    }

    /// Mains of a two-piece job: both ends are pulled.
    #[must_use]
    pub fn two_piece_mains(&self, lengths: &Lengths) -> PieceCut {
        PieceCut {
            body_mm: self.rest_mm(lengths.mains_body_mm()),
            first_tail_mm: self.tails.pulled_end_mm(),
            last_tail_mm: self.tails.pulled_end_mm(),
        }
    }

    /// Crosses of a two-piece job woven from one end to the other.
    ///
    /// `first_end_pulled` is true when the first end is held by a starting clamp and
    /// pulled later; else it is knotted and needs less. `crimp_mm` from [`crosses_crimp_mm`].
    #[must_use]
    pub fn two_piece_crosses(&self, lengths: &Lengths, crimp_mm: f64, first_end_pulled: bool) -> PieceCut {
        PieceCut {
            body_mm: self.rest_mm(lengths.crosses_mm(1, lengths.crosses()) + crimp_mm),
            first_tail_mm: if first_end_pulled {
                self.tails.pulled_end_mm()
            } else {
                self.tails.start_tail_mm
            },
            last_tail_mm: self.tails.pulled_end_mm(),
        }
    }

    /// Crosses of a two-piece job woven from the start cross back to cross 1, then on below.
    ///
    /// The short tail is measured from the hole where the long end leaves the start cross.
    #[must_use]
    pub fn start_cross_back(&self, lengths: &Lengths, crimp_mm: f64, start_cross: usize) -> SplitCut {
        let all_mm = lengths.crosses_mm(1, lengths.crosses());
        let tops_mm = lengths.crosses_mm(1, start_cross);
        let (tops_crimp_mm, rest_crimp_mm) = split(crimp_mm, start_cross, lengths.crosses());
        SplitCut {
            short_mm: self.pulled(tops_mm + tops_crimp_mm),
            long_mm: self.pulled(all_mm - tops_mm + rest_crimp_mm),
        }
    }

    /// As [`Self::start_cross_back`], with the first crosses pulled by the loops between them.
    ///
    /// A loop that reaches the tension head takes its reach twice; that slack is part of
    /// the short tail and is dragged back through the top crosses.
    #[must_use]
    pub fn start_cross_back_by_the_loops(
        &self,
        lengths: &Lengths,
        crimp_mm: f64,
        start_cross: usize,
    ) -> SplitCut {
        let by_the_tail = self.start_cross_back(lengths, crimp_mm, start_cross);
        SplitCut {
            short_mm: by_the_tail.short_mm + self.tails.loop_slack_mm(),
            long_mm: by_the_tail.long_mm,
        }
    }

    /// One piece: the short side strings mains alone, the long side all crosses from where its mains finish.
    ///
    /// Serves `head_down` and `throat_up`: `crosses_from` is the end at which the long side's
    /// crosses begin.
    #[must_use]
    pub fn one_piece(&self, lengths: &Lengths, crimp_mm: f64, crosses_from: RacketEnd) -> SplitCut {
        let first = match crosses_from {
            RacketEnd::Head => 1,
            RacketEnd::Throat => lengths.crosses(),
        };
        let half_loop_mm = lengths.centre_loop_mm() / 2.0;
        let finish = lengths.long_side_finishes_at();
        let long_mm = lengths.long_side_mm()
            + half_loop_mm
            + lengths.outer_main_to_cross_mm(finish, first)
            + lengths.crosses_mm(1, lengths.crosses())
            + crimp_mm;
        SplitCut {
            short_mm: self.pulled(lengths.short_side_mm(lengths.mains_per_side()) + half_loop_mm),
            long_mm: self.pulled(long_mm),
        }
    }

    /// One piece: the short side strings its mains, then the start cross back up to cross 1.
    #[must_use]
    pub fn tops_on_short_side(&self, lengths: &Lengths, crimp_mm: f64, start_cross: usize) -> SplitCut {
        let crosses = lengths.crosses();
        let half_loop_mm = lengths.centre_loop_mm() / 2.0;
        let (tops_crimp_mm, rest_crimp_mm) = split(crimp_mm, start_cross, crosses);
        let short_mm = lengths.short_side_mm(lengths.mains_per_side())
            + half_loop_mm
            + lengths.outer_main_to_cross_mm(lengths.short_side_finishes_at(), start_cross)
            + lengths.crosses_mm(1, start_cross)
            + tops_crimp_mm;
        let long_mm = lengths.long_side_mm()
            + half_loop_mm
            + lengths.outer_main_to_cross_mm(lengths.long_side_finishes_at(), start_cross + 1)
            + lengths.crosses_mm(start_cross + 1, crosses)
            + rest_crimp_mm;
        SplitCut {
            short_mm: self.pulled(short_mm),
            long_mm: self.pulled(long_mm),
        }
    }

    /// One piece whose mains finish at the throat while the crosses go from the head.
    ///
    /// The short side leaves its outermost main out and is tied off at the head. The long
    /// side strings its mains, the last cross, the other side's outermost main from throat
    /// to head, then the crosses from 1 to the last but one.
    #[must_use]
    pub fn around(&self, lengths: &Lengths, crimp_mm: f64) -> SplitCut {
        let (crosses, mains) = (lengths.crosses(), lengths.mains_per_side());
        let half_loop_mm = lengths.centre_loop_mm() / 2.0;
        let short_mm = lengths.short_side_mm(mains.saturating_sub(1)) + half_loop_mm;
        let long_mm = lengths.long_side_mm()
            + half_loop_mm
            + lengths.outer_main_to_cross_mm(lengths.long_side_finishes_at(), crosses)
            + lengths.crosses_mm(crosses, crosses)
            + lengths.outer_main_to_cross_mm(RacketEnd::Throat, crosses)
            + lengths.outer_main_path_mm()
            + lengths.outer_main_to_cross_mm(RacketEnd::Head, 1)
            + lengths.crosses_mm(1, crosses.saturating_sub(1))
            + crimp_mm;
        SplitCut {
            short_mm: self.pulled(short_mm),
            long_mm: self.pulled(long_mm),
        }
    }
}

/// Crimp of the first `tops` crosses and of the rest: as many parts as crosses.
fn split(crimp_mm: f64, tops: usize, crosses: usize) -> (f64, f64) {
    let tops_mm = crimp_mm * number(tops.min(crosses)) / number(crosses).max(1.0);
    (tops_mm, crimp_mm - tops_mm)
}

/// Extra length of all crosses for going over and under the mains, mm, tensioned.
///
/// Some 15 mm on an ordinary tennis bed. Each gap between mains that a cross spans
/// counts with the share of the height that the tensions leave to the crosses; the
/// crosses' mean spacing stands for all. Mains are clamped before the crosses go in:
/// their crimp raises their tension and takes no string.
#[must_use]
pub fn crosses_crimp_mm(
    bed: &Bed,
    sum_of_diameters_mm: f64,
    main_tension_n: f64,
    cross_tension_n: f64,
) -> f64 {
    let y = bed.crosses_y_mm();
    let (Some(first), Some(last)) = (y.first(), y.last()) else {
        return 0.0;
    };
    let cross_spacing_mm = (first - last) / number(y.len().saturating_sub(1)).max(1.0);
    let half_widths: Vec<f64> = y.iter().map(|y| bed.inside().half_width_mm(*y)).collect();
    let mut inner_mm = None;
    let mut crimp_mm = 0.0;
    for x in bed.mains_from_the_middle_mm() {
        // the centre gap without a main in it is one gap, every other one is on both sides
        let (gap_mm, sides) = match inner_mm {
            Some(inner) => (x - inner, 2.0),
            None => (2.0 * x, 1.0),
        };
        inner_mm = Some(x);
        if gap_mm <= sum_of_diameters_mm || cross_spacing_mm <= 0.0 {
            continue;
        }
        let crest = cross_crest_height_mm(
            sum_of_diameters_mm,
            main_tension_n,
            cross_tension_n,
            gap_mm,
            cross_spacing_mm,
        );
        let spanned = half_widths.iter().filter(|half| x < **half).count();
        let fraction = Crimp::of(gap_mm, sum_of_diameters_mm, crest).crimp_fraction;
        crimp_mm += sides * number(spanned) * gap_mm * fraction;
    }
    crimp_mm
}

/// A cut rounded up to the next 5 cm, mm.
///
/// Lengths that no racket takes (negative, no number, over 1 km) give 0 or 1 km.
#[must_use]
pub fn rounded_up_mm(length_mm: f64) -> u32 {
    // a thousandth of a mm over a step is arithmetic, not string
    let steps = ((length_mm - 0.001) / CUT_STEP_MM).ceil();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0 to 1,000,000 mm"
    )]
    let rounded = (steps * CUT_STEP_MM).clamp(0.0, 1_000_000.0) as u32;
    rounded
}

#[cfg(test)]
mod tests;
