//! Two pieces, from the start cross back to cross 1, then on below.
use super::{Bench, CLAMP_1, CLAMP_2, PullDraft, STARTING, cross, off, on};
use crate::racket_end::RacketEnd;
use crate::string_plan::request::BackVariant;
use crate::string_plan::steps::{Phase, Tail};

impl Bench<'_> {
    /// The crosses of `start_cross_back`.
    pub(super) fn start_cross_back(&mut self) {
        let start = self.layout.start_cross;
        let entry = self.layout.cross_start_side;
        self.weave((1..=start).rev().collect(), Tail::Short, entry);
        match self.layout.back_variant {
            BackVariant::ByTheTail => self.back_by_the_tail(),
            BackVariant::ByTheLoops => self.back_by_the_loops(),
        }
        let below: Vec<u16> = (start + 1..=self.layout.crosses).collect();
        let held = vec![off(CLAMP_1, cross(start), Tail::Long)];
        self.cross_run(&below, entry, CLAMP_1, held, false);
        self.finish_crosses(self.layout.crosses, CLAMP_1);
    }

    /// Pulls k … 1 by the short tail against the starting clamp on the long end.
    fn back_by_the_tail(&mut self) {
        let start = self.layout.start_cross;
        self.holders(Phase::Crosses, vec![on(STARTING, cross(start), Tail::Long)]);
        for number in (1..=start).rev() {
            let mut changes = Vec::new();
            if number < start {
                changes.push(off(CLAMP_1, cross(number + 1), Tail::Short));
            }
            changes.push(on(CLAMP_1, cross(number), Tail::Short));
            let pull = PullDraft::of(cross(number), Tail::Short)
                .slowly(true)
                .before_knot(number == 1);
            self.pull(Phase::Crosses, pull, changes);
        }
        let freed = vec![off(CLAMP_1, cross(1), Tail::Short)];
        self.tie_off(Phase::Crosses, cross(1), Tail::Short, RacketEnd::Head, freed);
        self.pull(
            Phase::Crosses,
            PullDraft::of(cross(start), Tail::Long).again().slowly(true),
            vec![
                off(STARTING, cross(start), Tail::Long),
                on(CLAMP_1, cross(start), Tail::Long),
            ],
        );
    }

    /// Pulls 1 … k by the loops against the starting clamp on the short tail, then the tail again.
    fn back_by_the_loops(&mut self) {
        let start = self.layout.start_cross;
        self.holders(Phase::Crosses, vec![on(STARTING, cross(1), Tail::Short)]);
        for number in 1..=start {
            let mut changes = Vec::new();
            if number > 1 {
                changes.push(off(CLAMP_1, cross(number - 1), Tail::Long));
            }
            changes.push(on(CLAMP_1, cross(number), Tail::Long));
            let pull = PullDraft::of(cross(number), Tail::Long)
                .slowly(true)
                .by_loop(number < start);
            self.pull(Phase::Crosses, pull, changes);
        }
        self.pull(
            Phase::Crosses,
            PullDraft::of(cross(1), Tail::Short)
                .again()
                .slowly(true)
                .before_knot(true),
            vec![
                off(STARTING, cross(1), Tail::Short),
                on(CLAMP_2, cross(1), Tail::Short),
            ],
        );
        let freed = vec![off(CLAMP_2, cross(1), Tail::Short)];
        self.tie_off(Phase::Crosses, cross(1), Tail::Short, RacketEnd::Head, freed);
    }
}
