//! One piece whose short side strings its mains and the top crosses.
use super::{Bench, PullDraft, STARTING, clamp_of, cross, main, off, on};
use crate::frame::Side;
use crate::racket_end::RacketEnd;
use crate::string_plan::steps::{Phase, Tail};

impl Bench<'_> {
    /// The whole of `tops_on_short_side`.
    pub(super) fn tops_on_short_side(&mut self) {
        let last = self.layout.mains_per_side;
        let short = self.layout.short_side;
        let long = short.other();
        let last_of = |side: Side| if side == short { last } else { last - 1 };
        self.main_pairs(last_of(Side::A), last_of(Side::B));

        let held_long = main(long, last - 1);
        let freed = clamp_of(long);
        self.holders(
            Phase::Mains,
            vec![
                on(STARTING, held_long, Tail::Long),
                off(freed, held_long, Tail::Long),
            ],
        );
        self.top_crosses(short, last);
        self.last_main(long, last);
        self.crosses_below(long, last);
    }

    /// The short tail weaves and pulls k … 1 and is tied off at the head.
    fn top_crosses(&mut self, short: Side, last: u16) {
        let start = self.layout.start_cross;
        let freed = clamp_of(short.other());
        self.weave((1..=start).rev().collect(), Tail::Short, short);
        for number in (1..=start).rev() {
            let mut changes = Vec::new();
            if number < start {
                changes.push(off(freed, cross(number + 1), Tail::Short));
            } else {
                changes.push(off(clamp_of(short), main(short, last), Tail::Short));
            }
            changes.push(on(freed, cross(number), Tail::Short));
            let pull = PullDraft::of(cross(number), Tail::Short)
                .slowly(true)
                .before_knot(number == 1);
            self.pull(Phase::Crosses, pull, changes);
        }
        let then = vec![off(freed, cross(1), Tail::Short)];
        self.tie_off(Phase::Crosses, cross(1), Tail::Short, RacketEnd::Head, then);
    }

    /// A clamp inside takes over from the starting clamp; the last main goes under the start cross.
    fn last_main(&mut self, long: Side, last: u16) {
        let held = main(long, last - 1);
        let clamp = clamp_of(long);
        self.holders(
            Phase::Crosses,
            vec![on(clamp, held, Tail::Long), off(STARTING, held, Tail::Long)],
        );
        self.pull(
            Phase::Crosses,
            PullDraft::of(main(long, last), Tail::Long)
                .threading()
                .slowly(true),
            vec![
                off(clamp, held, Tail::Long),
                on(clamp, main(long, last), Tail::Long),
            ],
        );
    }

    /// The long side goes on at k + 1.
    fn crosses_below(&mut self, long: Side, last: u16) {
        let below: Vec<u16> = (self.layout.start_cross + 1..=self.layout.crosses).collect();
        let clamp = clamp_of(long.other());
        let held = vec![off(clamp_of(long), main(long, last), Tail::Long)];
        self.cross_run(&below, long, clamp, held, false);
        self.finish_crosses(self.layout.crosses, clamp);
    }
}
