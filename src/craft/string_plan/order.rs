//! The order of work at the bench: every pull, and what holds what meanwhile.
//!
//! The rule behind all of it: no pulled string is ever without a holder. A clamp
//! moves on only while the tension head has taken over beyond it.
use crate::frame::{HoleRef, Side};
use crate::racket_end::RacketEnd;
use crate::string_plan::request::{BackVariant, CrossStart};
use crate::string_plan::steps::{Action, Holder, HolderChange, OnOff, Phase, StringRef, Tail};
use crate::weave_method::WeaveMethod;

mod around;
mod crosses;
mod mains;
mod start_cross_back;
mod tops;

/// What decides the order.
#[derive(Debug, Clone)]
pub struct Layout {
    /// The method.
    pub method: WeaveMethod,
    /// One piece or two.
    pub one_piece: bool,
    /// Mains on one side.
    pub mains_per_side: u16,
    /// Crosses.
    pub crosses: u16,
    /// The start cross; methods that do not need it work without.
    pub start_cross: u16,
    /// The short side of a one-piece job.
    pub short_side: Side,
    /// The side on which the first cross to be woven is entered (two pieces).
    pub cross_start_side: Side,
    /// Where the sides of mains finish.
    pub mains_finish: RacketEnd,
    /// How plain crosses start.
    pub cross_start: CrossStart,
    /// How `start_cross_back` pulls its first crosses.
    pub back_variant: BackVariant,
    /// A starting clamp backs the first clamp.
    pub starting_clamp: bool,
    /// The machine's clamps are loose and hold a string against its neighbour.
    pub flying_clamps: bool,
    /// Last strings get a knot extra.
    pub knot_extra: bool,
    /// Recorded tie-off holes of mains at their finishing end.
    pub tie_off_mains: Vec<HoleRef>,
    /// Recorded tie-off holes of crosses.
    pub tie_off_crosses: Vec<HoleRef>,
}

/// A step before it has its number and sentence.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draft {
    pub(crate) phase: Phase,
    pub(crate) action: Action,
}

/// The steps that string the bed, from the first thread to the last knot.
pub(crate) fn stringing(layout: &Layout) -> Vec<Draft> {
    let mut bench = Bench::new(layout);
    match layout.method {
        WeaveMethod::HeadDown => {
            bench.all_mains();
            bench.plain_crosses((1..=layout.crosses).collect());
        }
        WeaveMethod::ThroatUp => {
            bench.all_mains();
            bench.plain_crosses((1..=layout.crosses).rev().collect());
        }
        WeaveMethod::StartCrossBack => {
            bench.all_mains();
            bench.start_cross_back();
        }
        WeaveMethod::TopsOnShortSide => bench.tops_on_short_side(),
        WeaveMethod::Around => bench.around(),
    }
    bench.drafts
}

/// The two machine clamps and the starting clamp the bench works with.
const CLAMP_1: Holder = Holder::MachineClamp { number: 1 };
const CLAMP_2: Holder = Holder::MachineClamp { number: 2 };
const STARTING: Holder = Holder::StartingClamp { number: 1 };

/// The work so far.
struct Bench<'a> {
    layout: &'a Layout,
    drafts: Vec<Draft>,
}

/// One pull in the making.
struct PullDraft {
    string: StringRef,
    tail: Tail,
    at_loop: bool,
    threads_first: bool,
    again: bool,
    slow: bool,
    knot_extra: bool,
}

impl PullDraft {
    const fn of(string: StringRef, tail: Tail) -> Self {
        Self {
            string,
            tail,
            at_loop: false,
            threads_first: false,
            again: false,
            slow: false,
            knot_extra: false,
        }
    }
    const fn threading(mut self) -> Self {
        self.threads_first = true;
        self
    }
    const fn again(mut self) -> Self {
        self.again = true;
        self
    }
    const fn by_loop(mut self, at_loop: bool) -> Self {
        self.at_loop = at_loop;
        self
    }
    const fn slowly(mut self, slow: bool) -> Self {
        self.slow = slow;
        self
    }
    const fn before_knot(mut self, extra: bool) -> Self {
        self.knot_extra = extra;
        self
    }
}

const fn main(side: Side, number: u16) -> StringRef {
    StringRef::Main { side, number }
}

const fn cross(number: u16) -> StringRef {
    StringRef::Cross { number }
}

const fn on(holder: Holder, string: StringRef, towards: Tail) -> HolderChange {
    HolderChange {
        change: OnOff::PutOn,
        holder,
        string,
        towards,
    }
}

const fn off(holder: Holder, string: StringRef, towards: Tail) -> HolderChange {
    HolderChange {
        change: OnOff::TakeOff,
        holder,
        string,
        towards,
    }
}

impl<'a> Bench<'a> {
    const fn new(layout: &'a Layout) -> Self {
        Self {
            layout,
            drafts: Vec::new(),
        }
    }

    fn push(&mut self, phase: Phase, action: Action) {
        self.drafts.push(Draft { phase, action });
    }

    fn pull(&mut self, phase: Phase, pull: PullDraft, while_pulled: Vec<HolderChange>) {
        let PullDraft {
            string,
            tail,
            at_loop,
            threads_first,
            again,
            slow,
            knot_extra,
        } = pull;
        self.push(
            phase,
            Action::Pull {
                string,
                tail,
                at_loop,
                threads_first,
                again,
                slow,
                knot_extra: knot_extra && self.layout.knot_extra,
                while_pulled,
            },
        );
    }

    fn holders(&mut self, phase: Phase, changes: Vec<HolderChange>) {
        if !changes.is_empty() {
            self.push(phase, Action::Holders { changes });
        }
    }

    fn tie_off(
        &mut self,
        phase: Phase,
        string: StringRef,
        tail: Tail,
        end: RacketEnd,
        then: Vec<HolderChange>,
    ) {
        let hole = self.tie_off_hole(string, end);
        self.push(
            phase,
            Action::TieOff {
                string,
                tail,
                end,
                hole,
                then,
            },
        );
    }

    /// The recorded hole at `end`, on the string's own side where that is on record.
    fn tie_off_hole(&self, string: StringRef, end: RacketEnd) -> Option<HoleRef> {
        let (holes, side) = match string {
            StringRef::Main { side, .. } => (&self.layout.tie_off_mains, Some(side)),
            StringRef::Cross { .. } => (&self.layout.tie_off_crosses, None),
        };
        let mut at_end = holes.iter().filter(|hole| hole.end == end);
        match side {
            Some(side) => at_end
                .find(|hole| hole.side.is_none_or(|recorded| recorded == side))
                .copied(),
            None => at_end.next().copied(),
        }
    }

    /// Which end of the string a side of mains runs on to.
    fn tail_of(&self, side: Side) -> Tail {
        if !self.layout.one_piece {
            return match side {
                Side::A => Tail::A,
                Side::B => Tail::B,
            };
        }
        if side == self.layout.short_side {
            Tail::Short
        } else {
            Tail::Long
        }
    }

    /// A cross in the shoulder zone is pulled slowly.
    const fn in_shoulder_zone(&self, number: u16) -> bool {
        number <= self.layout.start_cross
    }
}

/// The clamp that follows the mains of a side.
const fn clamp_of(side: Side) -> Holder {
    match side {
        Side::A => CLAMP_1,
        Side::B => CLAMP_2,
    }
}
