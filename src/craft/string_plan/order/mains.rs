//! Mains: pair by pair from the centre.
use super::{Bench, PullDraft, STARTING, clamp_of, main, off, on};
use crate::frame::Side;
use crate::string_plan::steps::{Action, Phase};

impl Bench<'_> {
    /// All mains of both sides; two pieces tie both off, one piece ties the short side off.
    pub(super) fn all_mains(&mut self) {
        let last = self.layout.mains_per_side;
        self.main_pairs(last, last);
        let tied: &[Side] = if self.layout.one_piece {
            &[self.layout.short_side]
        } else {
            &[Side::A, Side::B]
        };
        for side in tied {
            self.tie_off_side(*side, last);
        }
    }

    /// Ties a side of mains off at its last main and frees its clamp.
    pub(super) fn tie_off_side(&mut self, side: Side, last: u16) {
        let (string, tail) = (main(side, last), self.tail_of(side));
        let end = if last == self.layout.mains_per_side {
            self.layout.mains_finish
        } else {
            self.layout.mains_finish.other()
        };
        self.tie_off(
            Phase::Crosses,
            string,
            tail,
            end,
            vec![off(clamp_of(side), string, tail)],
        );
    }

    /// 1A 1B, 2B 2A, 3A 3B … up to the last main of each side.
    pub(super) fn main_pairs(&mut self, last_a: u16, last_b: u16) {
        self.first_pair();
        for number in 2..=last_a.max(last_b) {
            let order = if number.is_multiple_of(2) {
                [Side::B, Side::A]
            } else {
                [Side::A, Side::B]
            };
            for side in order {
                let last = if side == Side::A { last_a } else { last_b };
                if number <= last {
                    self.next_main(side, number, number == last);
                }
            }
        }
    }

    /// Main 1A is pulled against its partner, which two holders keep; then the partner itself.
    fn first_pair(&mut self) {
        let (first, partner) = (main(Side::A, 1), main(Side::B, 1));
        let (tail, partner_tail) = (self.tail_of(Side::A), self.tail_of(Side::B));
        self.push(
            Phase::Mains,
            Action::Thread {
                strings: vec![first, partner],
                tail: None,
            },
        );
        let clamp = clamp_of(Side::B);
        // a loose clamp needs a tensioned neighbour, which the first pull does not have
        let clamped = !self.layout.flying_clamps;
        let backed = self.layout.starting_clamp;
        let mut keepers = Vec::new();
        if clamped {
            keepers.push(clamp);
        }
        if backed {
            keepers.push(STARTING);
        }
        let put_on = keepers
            .iter()
            .map(|holder| on(*holder, partner, partner_tail))
            .collect();
        self.holders(Phase::Mains, put_on);
        self.pull(
            Phase::Mains,
            PullDraft::of(first, tail),
            vec![on(clamp_of(Side::A), first, tail)],
        );
        let mut handed_over: Vec<_> = keepers
            .iter()
            .map(|holder| off(*holder, partner, partner_tail))
            .collect();
        handed_over.push(on(clamp, partner, partner_tail));
        self.pull(Phase::Mains, PullDraft::of(partner, partner_tail), handed_over);
    }

    /// Threads and pulls one more main; its side's clamp moves on to it.
    fn next_main(&mut self, side: Side, number: u16, is_last: bool) {
        let (string, tail, clamp) = (main(side, number), self.tail_of(side), clamp_of(side));
        let moved = vec![off(clamp, main(side, number - 1), tail), on(clamp, string, tail)];
        let ties_next = is_last && self.ties_after_mains(side);
        self.pull(
            Phase::Mains,
            PullDraft::of(string, tail).threading().before_knot(ties_next),
            moved,
        );
    }

    /// Whether the last main of this side is followed by a knot.
    fn ties_after_mains(&self, side: Side) -> bool {
        use crate::weave_method::WeaveMethod::TopsOnShortSide;
        !self.layout.one_piece || (side == self.layout.short_side && self.layout.method != TopsOnShortSide)
    }
}
