//! Plain crosses, one after the other.
use super::{Bench, CLAMP_1, CLAMP_2, PullDraft, STARTING, clamp_of, cross, main, off, on};
use crate::frame::Side;
use crate::racket_end::RacketEnd;
use crate::string_plan::request::CrossStart;
use crate::string_plan::steps::{Action, Holder, HolderChange, Phase, StringRef, Tail};

impl Bench<'_> {
    /// Crosses in `order`, in one direction, by a string of their own or by the long side.
    pub(super) fn plain_crosses(&mut self, order: Vec<u16>) {
        let (Some(first), Some(last)) = (order.first().copied(), order.last().copied()) else {
            return;
        };
        let start_end = self.end_near(first);
        let clamped_start = !self.layout.one_piece && self.layout.cross_start == CrossStart::StartingClamp;
        let (entry, clamp, before) = if self.layout.one_piece {
            let long = self.layout.short_side.other();
            let outer = main(long, self.layout.mains_per_side);
            let held = vec![off(clamp_of(long), outer, Tail::Long)];
            (long, clamp_of(self.layout.short_side), held)
        } else {
            (self.layout.cross_start_side, CLAMP_1, Vec::new())
        };
        if clamped_start {
            self.weave(vec![first], Tail::Long, entry);
            self.holders(Phase::Crosses, vec![on(STARTING, cross(first), Tail::Short)]);
        } else if !self.layout.one_piece {
            self.start_knot(first, start_end);
        }
        self.cross_run(&order, entry, clamp, before, clamped_start);
        self.finish_crosses(last, clamp);
        if clamped_start {
            self.pull_start_again(first, start_end);
        }
    }

    /// Weaves and pulls `order` by the long end; `clamp` follows, `before` comes off first.
    pub(super) fn cross_run(
        &mut self,
        order: &[u16],
        entry: Side,
        clamp: Holder,
        before: Vec<HolderChange>,
        first_is_woven: bool,
    ) {
        let mut release = before;
        let mut side = entry;
        for (index, number) in order.iter().copied().enumerate() {
            let string = cross(number);
            if !(first_is_woven && index == 0) {
                self.weave(vec![number], Tail::Long, side);
            }
            let is_last = index + 1 == order.len();
            let mut changes = std::mem::take(&mut release);
            changes.push(on(clamp, string, Tail::Long));
            let pull = PullDraft::of(string, Tail::Long)
                .slowly(self.in_shoulder_zone(number))
                .before_knot(is_last);
            self.pull(Phase::Crosses, pull, changes);
            release = vec![off(clamp, string, Tail::Long)];
            side = side.other();
        }
    }

    /// The last cross is tied off and its clamp freed.
    pub(super) fn finish_crosses(&mut self, last: u16, clamp: Holder) {
        let string = cross(last);
        self.tie_off(
            Phase::Finish,
            string,
            Tail::Long,
            self.end_near(last),
            vec![off(clamp, string, Tail::Long)],
        );
    }

    /// The starting clamp's end is pulled again, clamped inside and tied off.
    fn pull_start_again(&mut self, first: u16, end: RacketEnd) {
        let string = cross(first);
        self.pull(
            Phase::Finish,
            PullDraft::of(string, Tail::Short).again().before_knot(true),
            vec![
                off(STARTING, string, Tail::Short),
                on(CLAMP_2, string, Tail::Short),
            ],
        );
        self.tie_off(
            Phase::Finish,
            string,
            Tail::Short,
            end,
            vec![off(CLAMP_2, string, Tail::Short)],
        );
    }

    pub(super) fn weave(&mut self, crosses: Vec<u16>, tail: Tail, from_side: Side) {
        self.push(
            Phase::Crosses,
            Action::Weave {
                crosses,
                tail,
                from_side,
            },
        );
    }

    fn start_knot(&mut self, first: u16, end: RacketEnd) {
        let string: StringRef = cross(first);
        let hole = self.tie_off_hole(string, end);
        self.push(
            Phase::Crosses,
            Action::StartKnot {
                string,
                tail: Tail::Short,
                end,
                hole,
            },
        );
    }

    /// The end of the hoop a cross lies nearer to.
    pub(super) const fn end_near(&self, number: u16) -> RacketEnd {
        if number * 2 <= self.layout.crosses {
            RacketEnd::Head
        } else {
            RacketEnd::Throat
        }
    }
}
