//! The ordered steps of a plan as data.
use serde::Serialize;
use utoipa::ToSchema;

use crate::frame::{HoleRef, Side};
use crate::racket_end::RacketEnd;

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Step {
    /// Its place, 1 and up.
    pub number: u16,
    /// The phase of the job it belongs to.
    pub phase: Phase,
    /// What is done, as data.
    pub action: Action,
    /// The same as a sentence.
    pub text: String,
    /// Codes of the cautions that bite here.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<&'static str>,
}

/// The phases of a stringing, as they are timed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// From the start to the first main.
    Prep,
    /// Until the last main is tensioned.
    Mains,
    /// Until the last cross is tensioned.
    Crosses,
    /// Until the racket is off the machine and checked by the stringer.
    Finish,
}

/// A single run of string across the hoop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum StringRef {
    /// A main by side and number from the centre.
    Main {
        /// Its side.
        side: Side,
        /// From the centre, 1 and up.
        number: u16,
    },
    /// A cross by number from the head.
    Cross {
        /// From the head, 1 and up.
        number: u16,
    },
}

impl StringRef {
    /// How the bench calls it: "2B", "cross 3".
    #[must_use]
    pub fn label(self) -> String {
        match self {
            Self::Main { side, number } => format!("{number}{}", side.letter()),
            Self::Cross { number } => format!("cross {number}"),
        }
    }
}

/// A free end of a piece of string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Tail {
    /// Of the mains of two pieces: the end on side A.
    A,
    /// Of the mains of two pieces: the end on side B.
    B,
    /// The short end: of one piece, or of the crosses the end that starts.
    Short,
    /// The long end.
    Long,
}

impl Tail {
    /// How the bench calls it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::A => "tail A",
            Self::B => "tail B",
            Self::Short => "short tail",
            Self::Long => "long end",
        }
    }
}

/// Something that holds a pulled string besides knots and the tension head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Holder {
    /// A clamp of the machine, numbered from 1.
    MachineClamp {
        /// Its number.
        number: u8,
    },
    /// A starting clamp outside the frame with a pad under it, numbered from 1.
    StartingClamp {
        /// Its number.
        number: u8,
    },
}

impl Holder {
    /// How the bench calls it.
    #[must_use]
    pub fn label(self) -> String {
        match self {
            Self::MachineClamp { number } => format!("clamp {number}"),
            Self::StartingClamp { number: 1 } => "the starting clamp".to_owned(),
            Self::StartingClamp { number } => format!("starting clamp {number}"),
        }
    }
}

/// A holder goes on or comes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
pub struct HolderChange {
    /// On or off.
    pub change: OnOff,
    /// Which one.
    pub holder: Holder,
    /// The string it grips.
    pub string: StringRef,
    /// It blocks this string where it runs on towards this end.
    pub towards: Tail,
}

/// On or off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum OnOff {
    /// Goes on.
    PutOn,
    /// Comes off.
    TakeOff,
}

/// What is done in a step.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "do", rename_all = "snake_case")]
pub enum Action {
    /// Look at hoop, grommets and bumper before anything else.
    Inspect,
    /// Take a reading of the old bed.
    ReadOldBed,
    /// Cut the old strings out.
    CutOut,
    /// Mount the frame.
    Mount,
    /// Cut a piece of string.
    CutString {
        /// The piece.
        piece: Piece,
        /// At least this long, mm; missing when it is not known.
        at_least_mm: Option<u32>,
    },
    /// Pre-stretch a piece by hand.
    StretchByHand {
        /// The piece.
        piece: Piece,
        /// Percent of its length.
        percent: f64,
    },
    /// Set the machine.
    SetMachine {
        /// What will be pulled with this setting.
        pulled: Pulled,
        /// The value to set, decimal text; as asked when no machine is known.
        value: String,
        /// Its unit.
        unit: crate::tension::TensionUnit,
        /// Percent of pre-stretch to set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pre_stretch_percent: Option<f64>,
    },
    /// Lead string through without pulling.
    Thread {
        /// The runs, in order.
        strings: Vec<StringRef>,
        /// By which end; missing for the centre loop.
        #[serde(skip_serializing_if = "Option::is_none")]
        tail: Option<Tail>,
    },
    /// Weave crosses without pulling.
    Weave {
        /// The crosses, in order.
        crosses: Vec<u16>,
        /// By which end.
        tail: Tail,
        /// The side on which the first of them is entered.
        from_side: Side,
    },
    /// Tie a starting knot.
    StartKnot {
        /// The cross it holds.
        string: StringRef,
        /// The end it is tied in.
        tail: Tail,
        /// The end of the hoop.
        end: RacketEnd,
        /// Where; missing when it is not on record.
        hole: Option<HoleRef>,
    },
    /// Put holders on or take them off while nothing is under the tension head.
    Holders {
        /// In this order.
        changes: Vec<HolderChange>,
    },
    /// Pull with the tension head, let holders change over, release the head.
    Pull {
        /// The run next to the head.
        string: StringRef,
        /// The end, or the loop towards it, that is in the head.
        tail: Tail,
        /// Gripped at the loop beyond the string, not at the free end.
        at_loop: bool,
        /// The run is threaded or woven first in this step.
        threads_first: bool,
        /// It was under tension before and is pulled again.
        again: bool,
        /// Pull slowly: shoulder zone.
        slow: bool,
        /// Pulled with the knot extra, because its end is tied off next.
        knot_extra: bool,
        /// Changes while the head pulls, in this order.
        while_pulled: Vec<HolderChange>,
    },
    /// Tie an end off, then take holders off.
    TieOff {
        /// The run it holds.
        string: StringRef,
        /// The end that is tied.
        tail: Tail,
        /// The end of the hoop.
        end: RacketEnd,
        /// Where; missing when it is not on record.
        hole: Option<HoleRef>,
        /// Holders that come off once it holds.
        then: Vec<HolderChange>,
    },
    /// Straighten the strings and look over the bed.
    Straighten,
    /// Take the racket off the machine.
    Unmount,
    /// Paint the stencil.
    Stencil,
    /// Put something on or back that came with the wish.
    Accessory,
    /// The stringer's own check.
    Check,
    /// Follow the frame's own pattern: the record does not carry the order.
    AsOnFrame {
        /// What is strung.
        pulled: Pulled,
    },
}

/// A piece of string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Piece {
    /// The mains of two pieces.
    Mains,
    /// The crosses of two pieces.
    Crosses,
    /// The whole bed in one piece.
    OnePiece,
}

impl Piece {
    /// How the bench calls it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Mains => "mains",
            Self::Crosses => "crosses",
            Self::OnePiece => "one piece",
        }
    }
}

/// What is pulled with one setting of the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pulled {
    /// The mains.
    Mains,
    /// The crosses.
    Crosses,
}
