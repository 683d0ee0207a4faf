//! How much string a bed takes under tension: paths through the walls, wraps outside, the centre loop.
//!
//! A path is the chord of the outer line at the string's place, through both walls; a wrap is
//! the outer line's shorter arc between consecutive holes. Crosses run from hole to next hole
//! on the same side; mains alternate ends, and the centre loop joins the two sides.
//! With an odd number of mains the one on the centre line belongs to the long side.
use crate::bed::Bed;
use crate::hoop::HoopPoint;
use crate::racket_end::RacketEnd;

/// The lengths of one bed, mm, tensioned; no tails and no stretch taken off.
#[derive(Debug, Clone, PartialEq)]
pub struct Lengths {
    loop_end: RacketEnd,
    centre_main_path_mm: Option<f64>,
    main_paths_mm: Vec<f64>,
    cross_paths_mm: Vec<f64>,
    arcs: Arcs,
}

/// Distances along one side of the outer line from the head's tip, mm.
///
/// Every hole of a side lies on this one coordinate, so each arc is a difference.
#[derive(Debug, Clone, PartialEq)]
struct Arcs {
    crosses_mm: Vec<f64>,
    mains_head_mm: Vec<f64>,
    mains_throat_mm: Vec<f64>,
    throat_tip_mm: f64,
}

impl Arcs {
    fn of(bed: &Bed) -> Self {
        let outer = bed.outer();
        let crosses = bed.crosses_y_mm().iter().map(|y| outer.cross_hole(*y));
        let head = bed.mains_x_mm().iter().map(|x| outer.main_hole(*x, true));
        let throat = bed.mains_x_mm().iter().map(|x| outer.main_hole(*x, false));
        let tips = [outer.main_hole(0.0, true), outer.main_hole(0.0, false)];
        let holes: Vec<HoopPoint> = crosses.chain(head).chain(throat).chain(tips).collect();
        let mut order: Vec<usize> = (0..holes.len()).collect();
        order.sort_by(|one, two| holes[*two].y_mm.total_cmp(&holes[*one].y_mm));
        let mut from_tip_mm = vec![0.0; holes.len()];
        for pair in order.windows(2) {
            from_tip_mm[pair[1]] = from_tip_mm[pair[0]] + outer.arc_mm(holes[pair[0]], holes[pair[1]]);
        }
        let throat_tip_mm = from_tip_mm.last().copied().unwrap_or(0.0);
        let (crosses, mains) = (bed.crosses_y_mm().len(), bed.mains_x_mm().len());
        Self {
            mains_throat_mm: from_tip_mm[crosses + mains..crosses + 2 * mains].to_vec(),
            mains_head_mm: from_tip_mm[crosses..crosses + mains].to_vec(),
            crosses_mm: from_tip_mm[..crosses].to_vec(),
            throat_tip_mm,
        }
    }

    /// Arc between a main's hole (0 is the centre line) and the next one's, at an end.
    fn main_wrap_mm(&self, inner: usize, end: RacketEnd) -> f64 {
        (self.main_mm(inner, end) - self.main_mm(inner + 1, end)).abs()
    }

    /// Main 0 is the centre line.
    fn main_mm(&self, main: usize, end: RacketEnd) -> f64 {
        match (main.checked_sub(1), end) {
            (None, RacketEnd::Head) => 0.0,
            (None, RacketEnd::Throat) => self.throat_tip_mm,
            (Some(index), RacketEnd::Head) => self.mains_head_mm[index],
            (Some(index), RacketEnd::Throat) => self.mains_throat_mm[index],
        }
    }
}

impl Lengths {
    /// The lengths of `bed` with the centre loop of the mains at `loop_end`.
    #[must_use]
    pub fn of(bed: &Bed, loop_end: RacketEnd) -> Self {
        let outer = bed.outer();
        Self {
            loop_end,
            centre_main_path_mm: bed.centre_main().then(|| outer.main_chord_mm(0.0)),
            main_paths_mm: bed.mains_x_mm().iter().map(|x| outer.main_chord_mm(*x)).collect(),
            cross_paths_mm: bed
                .crosses_y_mm()
                .iter()
                .map(|y| outer.cross_chord_mm(*y))
                .collect(),
            arcs: Arcs::of(bed),
        }
    }

    /// The same bed with the centre loop at `loop_end`; no path or arc depends on it.
    #[must_use]
    pub const fn with_loop_end(mut self, loop_end: RacketEnd) -> Self {
        self.loop_end = loop_end;
        self
    }

    /// Number of crosses.
    #[must_use]
    pub fn crosses(&self) -> usize {
        self.cross_paths_mm.len()
    }

    /// Mains on one side, without one on the centre line.
    #[must_use]
    pub fn mains_per_side(&self) -> usize {
        self.main_paths_mm.len()
    }

    /// Paths of one side's mains from the centre line outwards, mm.
    #[must_use]
    pub fn main_paths_mm(&self) -> &[f64] {
        &self.main_paths_mm
    }

    /// Path of the main on the centre line, if there is one, mm.
    #[must_use]
    pub const fn centre_main_path_mm(&self) -> Option<f64> {
        self.centre_main_path_mm
    }

    /// Paths of the crosses from the head down, mm.
    #[must_use]
    pub fn cross_paths_mm(&self) -> &[f64] {
        &self.cross_paths_mm
    }

    /// Wraps between consecutive crosses, mm; one fewer than crosses.
    #[must_use]
    pub fn cross_wraps_mm(&self) -> Vec<f64> {
        self.arcs
            .crosses_mm
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .collect()
    }

    /// The centre loop that joins the two sides of mains, mm.
    ///
    /// With a main on the centre line it runs from that one to main 1 of the short side.
    #[must_use]
    pub fn centre_loop_mm(&self) -> f64 {
        let half = self.arcs.main_wrap_mm(0, self.loop_end);
        if self.centre_main_path_mm.is_some() {
            half
        } else {
            2.0 * half
        }
    }

    /// Wraps of the first `mains` mains of the side without a centre main, mm in all.
    #[must_use]
    pub fn main_wraps_mm(&self, mains: usize) -> f64 {
        let mut end = self.loop_end.other();
        let mut sum_mm = 0.0;
        for inner in 1..mains {
            sum_mm += self.arcs.main_wrap_mm(inner, end);
            end = end.other();
        }
        sum_mm
    }

    /// The first `mains` mains of the short side with their wraps, mm; without the centre loop.
    #[must_use]
    pub fn short_side_mm(&self, mains: usize) -> f64 {
        self.main_paths_mm.iter().take(mains).sum::<f64>() + self.main_wraps_mm(mains)
    }

    /// The long side's mains with their wraps, mm; without the centre loop.
    ///
    /// With a main on the centre line it begins with that one and is one main longer.
    #[must_use]
    pub fn long_side_mm(&self) -> f64 {
        let Some(centre_mm) = self.centre_main_path_mm else {
            return self.short_side_mm(self.mains_per_side());
        };
        let mut end = self.loop_end.other();
        let mut sum_mm = centre_mm + self.main_paths_mm.iter().sum::<f64>();
        for inner in 0..self.mains_per_side() {
            sum_mm += self.arcs.main_wrap_mm(inner, end);
            end = end.other();
        }
        sum_mm
    }

    /// The end at which the long side's mains finish.
    #[must_use]
    pub fn long_side_finishes_at(&self) -> RacketEnd {
        self.loop_end
            .mains_finish(self.mains_per_side() + usize::from(self.centre_main_path_mm.is_some()))
    }

    /// The end at which the short side's mains finish.
    #[must_use]
    pub const fn short_side_finishes_at(&self) -> RacketEnd {
        self.loop_end.mains_finish(self.main_paths_mm.len())
    }

    /// All mains with wraps and centre loop, mm.
    #[must_use]
    pub fn mains_body_mm(&self) -> f64 {
        self.short_side_mm(self.mains_per_side()) + self.long_side_mm() + self.centre_loop_mm()
    }

    /// Crosses `first` to `last` (numbered from 1, both included) with the wraps between them, mm.
    ///
    /// 0 when `first` is past `last`; numbers past the last cross count as none.
    #[must_use]
    pub fn crosses_mm(&self, first: usize, last: usize) -> f64 {
        let last = last.min(self.crosses());
        let first = first.max(1);
        if first > last {
            return 0.0;
        }
        let arcs = &self.arcs.crosses_mm;
        self.cross_paths_mm[first - 1..last].iter().sum::<f64>() + arcs[last - 1] - arcs[first - 1]
    }

    /// Arc from the outermost main's hole at `end` to the end of `cross` on the same side, mm.
    #[must_use]
    pub fn outer_main_to_cross_mm(&self, end: RacketEnd, cross: usize) -> f64 {
        let from = self.arcs.main_mm(self.mains_per_side(), end);
        match cross
            .checked_sub(1)
            .and_then(|index| self.arcs.crosses_mm.get(index))
        {
            Some(to) => (to - from).abs(),
            None => 0.0,
        }
    }

    /// Path of the outermost main, mm.
    #[must_use]
    pub fn outer_main_path_mm(&self) -> f64 {
        self.main_paths_mm.last().copied().unwrap_or(0.0)
    }
}
