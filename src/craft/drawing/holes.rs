//! Which hole each main uses, and where a numbered hole stands on the hoop.
use crate::drawing::outline::Outline;
use crate::frame::{HoleRef, Side};
use crate::racket_end::RacketEnd;

/// The holes of one end and one side, numbered from the centre line outwards.
pub(super) struct HoleRow<'a> {
    outline: &'a Outline,
    end: RacketEnd,
    side: Side,
    /// The hole number of main 1, 2 … on this side at this end.
    main_holes: Vec<u16>,
}

impl<'a> HoleRow<'a> {
    /// Mains take the holes in order and pass by the skipped ones.
    pub(super) fn new(outline: &'a Outline, end: RacketEnd, side: Side, skips: &[HoleRef]) -> Self {
        let skipped = |hole: u16| {
            skips.iter().any(|skip| {
                skip.end == end && skip.hole == hole && skip.side.is_none_or(|recorded| recorded == side)
            })
        };
        let main_holes = (1..=u16::MAX)
            .filter(|hole| !skipped(*hole))
            .take(outline.mains_x.len())
            .collect();
        Self {
            outline,
            end,
            side,
            main_holes,
        }
    }

    /// The end of the hoop this row lies at.
    pub(super) const fn end(&self) -> RacketEnd {
        self.end
    }

    /// Numbers of the holes of `list` that lie in this row.
    pub(super) fn here(&self, list: &[HoleRef]) -> impl Iterator<Item = u16> {
        let (end, side) = (self.end, self.side);
        list.iter()
            .filter(move |hole| hole.end == end && hole.side.is_none_or(|recorded| recorded == side))
            .map(|hole| hole.hole)
    }

    /// Where hole `number` stands; beyond the outermost main it follows the hoop.
    pub(super) fn place(&self, number: u16) -> (f64, f64) {
        let xs = &self.outline.mains_x;
        let after = self.main_holes.partition_point(|hole| *hole < number);
        let x = match (
            after.checked_sub(1).and_then(|before| xs.get(before)),
            xs.get(after),
        ) {
            (_, Some(x)) if self.main_holes.get(after) == Some(&number) => *x,
            (before, Some(next)) => {
                let from = before.copied().unwrap_or(0.0);
                let from_hole = after
                    .checked_sub(1)
                    .and_then(|index| self.main_holes.get(index))
                    .copied()
                    .unwrap_or(0);
                let to_hole = self.main_holes.get(after).copied().unwrap_or(number);
                let share = f64::from(number - from_hole) / f64::from(to_hole - from_hole);
                from + (next - from) * share
            }
            (_, None) => return self.beyond(number),
        };
        self.on_hoop(x)
    }

    /// Holes past the outermost main lie further round the hoop, towards its widest height.
    fn beyond(&self, number: u16) -> (f64, f64) {
        let outer = self.outline.mains_x.last().copied().unwrap_or(0.0);
        let steps = f64::from(number - self.main_holes.last().copied().unwrap_or(0));
        let (_, outer_y) = self.on_hoop(outer);
        let y = outer_y * (1.0 - 0.12 * steps).max(0.0);
        let x = self.outline.half_width(y);
        (if self.side == Side::A { -x } else { x }, y)
    }

    fn on_hoop(&self, x: f64) -> (f64, f64) {
        let y = match self.end {
            RacketEnd::Head => self.outline.head_y(x),
            RacketEnd::Throat => self.outline.throat_y(x),
        };
        (if self.side == Side::A { -x } else { x }, y)
    }
}
