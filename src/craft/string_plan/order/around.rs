//! One piece whose mains finish at the throat, crosses still from the head.
use super::{Bench, PullDraft, clamp_of, cross, main, off, on};
use crate::frame::Side;
use crate::string_plan::steps::{Phase, Tail};

impl Bench<'_> {
    /// The whole of `around`: the long side strings the last cross and the other side's outer main.
    pub(super) fn around(&mut self) {
        let last = self.layout.mains_per_side;
        let short = self.layout.short_side;
        let long = short.other();
        let last_of = |side: Side| if side == short { last - 1 } else { last };
        self.main_pairs(last_of(Side::A), last_of(Side::B));
        self.tie_off_side(short, last - 1);

        let clamp = clamp_of(short);
        let bottom = self.layout.crosses;
        let outer = main(short, last);
        self.weave(vec![bottom], Tail::Long, long);
        self.pull(
            Phase::Crosses,
            PullDraft::of(cross(bottom), Tail::Long),
            vec![
                off(clamp_of(long), main(long, last), Tail::Long),
                on(clamp, cross(bottom), Tail::Long),
            ],
        );
        self.pull(
            Phase::Crosses,
            PullDraft::of(outer, Tail::Long).threading(),
            vec![
                off(clamp, cross(bottom), Tail::Long),
                on(clamp, outer, Tail::Long),
            ],
        );
        let order: Vec<u16> = (1..bottom).collect();
        let held = vec![off(clamp, outer, Tail::Long)];
        self.cross_run(&order, short, clamp, held, false);
        self.finish_crosses(bottom - 1, clamp);
    }
}
