//! What a plan says.
use serde::Serialize;
use utoipa::ToSchema;

use crate::frame::{FrameSource, HoleRef, Side};
use crate::racket_end::RacketEnd;
use crate::spec::{Material, Pieces, PreStretch};
use crate::sport::Sport;
use crate::string_plan::estimate::Estimate;
use crate::string_plan::interlacing::CrossWeave;
use crate::string_plan::machine_value::MachineValue;
use crate::string_plan::methods::{ChosenBy, MethodReason};
use crate::string_plan::request::{BackVariant, StockKind, StockUse};
use crate::string_plan::steps::{Piece, Step};
use crate::weave_method::WeaveMethod;

/// How to string one racket.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Plan {
    /// The frame in short.
    pub frame: PlanFrame,
    /// One piece or two.
    pub pieces: Pieces,
    /// The strings that go in.
    pub strings: PlanStrings,
    /// The method taken and why.
    pub method: ChosenMethod,
    /// The string to cut.
    pub cuts: Vec<Cut>,
    /// Of one piece: the short side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_side: Option<ShortSide>,
    /// Of `start_cross_back`: the short tail, mm, from the hole where the long end leaves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_tail_mm: Option<u32>,
    /// The start cross.
    pub start_cross: StartCross,
    /// Where the centre loop sits and the mains finish.
    pub ends: Ends,
    /// Holes to skip, share and tie off at.
    pub holes: Holes,
    /// What to set on the machine.
    pub machine: MachineValues,
    /// Over and under of every cross.
    pub weave: Weave,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// What to mind.
    pub cautions: Vec<Caution>,
    /// What is not known.
    pub unknowns: Vec<Unknown>,
    /// How long it takes.
    pub estimate: Estimate,
    /// Whether the string that lies ready is long enough.
    pub length_checks: Vec<LengthCheck>,
    /// The other methods beside the one taken.
    pub comparison: Vec<MethodComparison>,
    /// Where each value comes from.
    pub sources: Vec<SourceLine>,
    /// The reason given for insisting on a tension outside the range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub override_reason: Option<String>,
}

/// The frame in short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct PlanFrame {
    /// How the desk calls it.
    pub name: String,
    /// Its sport.
    pub sport: Sport,
    /// Mains.
    pub mains: u16,
    /// Crosses.
    pub crosses: u16,
}

/// The strings that go in.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PlanStrings {
    /// The mains; of one piece the whole bed.
    pub mains: PlanString,
    /// The crosses.
    pub crosses: PlanString,
    /// Mains and crosses are different strings.
    pub hybrid: bool,
}

/// One string as the bench has to know it.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PlanString {
    /// How the desk calls it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What it is made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material: Option<Material>,
    /// Its diameter, mm, decimal text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauge_mm: Option<String>,
    /// None, by the machine at each pull, or by hand before stringing.
    pub pre_stretch: PreStretch,
}

/// The method taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct ChosenMethod {
    /// The method.
    pub method: WeaveMethod,
    /// Who decided.
    pub chosen_by: ChosenBy,
    /// As a sentence.
    pub text: String,
    /// How `start_cross_back` pulls its first crosses.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variant: Option<BackVariant>,
}

/// Where a value of the plan comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ValueSource {
    /// Measured or counted at this desk.
    Measured,
    /// The maker's sheet.
    MakerSheet,
    /// Somebody said so.
    Reported,
    /// Proposed from geometry, to confirm on the frame.
    Proposed,
    /// Computed from the frame's size.
    Computed,
    /// Computed from this frame's head area; the proportions are an ordinary frame's.
    ComputedFromArea,
    /// Computed from what is assumed of the sport's frames.
    Assumed,
    /// Asked by the owner.
    Asked,
    /// Not known.
    Unknown,
}

impl ValueSource {
    /// How a stringer reads it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Measured => "measured here",
            Self::MakerSheet => "maker's sheet",
            Self::Reported => "reported",
            Self::Proposed => "proposed, confirm on the frame",
            Self::Computed => "computed from this frame's size",
            Self::ComputedFromArea => "computed from this frame's head area",
            Self::Assumed => "computed from an ordinary frame",
            Self::Asked => "asked",
            Self::Unknown => "not known",
        }
    }
}

impl From<FrameSource> for ValueSource {
    fn from(source: FrameSource) -> Self {
        match source {
            FrameSource::Measured => Self::Measured,
            FrameSource::MakerSheet => Self::MakerSheet,
            FrameSource::Reported => Self::Reported,
            FrameSource::Proposed => Self::Proposed,
            FrameSource::Unknown => Self::Unknown,
        }
    }
}

/// One piece to cut.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Cut {
    /// Which piece.
    pub piece: Piece,
    /// Cut at least this much, mm; missing when it is not known.
    pub at_least_mm: Option<u32>,
    /// Where that comes from.
    pub source: ValueSource,
    /// The safe computed length, mm, not rounded.
    pub computed_mm: Option<f64>,
    /// The computed length rounded up to 50 mm.
    pub computed_at_least_mm: Option<u32>,
    /// Tails in the computed length, mm, in the order they are used.
    pub tails_mm: Vec<f64>,
    /// Stretch the computed length counts on, percent: the least that is plausible.
    pub stretch_percent: Option<f64>,
    /// Where the stretch comes from: measured here, computed from the material, assumed, or not
    /// known, when none is counted.
    pub stretch_source: Option<ValueSource>,
}

/// The short side of one piece.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ShortSide {
    /// Side A or B.
    pub side: Side,
    /// From the middle of the centre loop to the end of the tail, mm, rounded up to 50.
    pub at_least_mm: Option<u32>,
    /// The computed length rounded up to 50 mm.
    pub computed_at_least_mm: Option<u32>,
    /// The length to measure in racket lengths.
    pub racket_lengths: Option<f64>,
    /// Where it comes from.
    pub source: ValueSource,
}

/// The start cross.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StartCross {
    /// Counted from the head; missing when not known.
    pub value: Option<u16>,
    /// Where it comes from.
    pub source: ValueSource,
    /// What geometry proposes.
    pub proposed: Option<u16>,
    /// How far it lies below the top of the outermost main, mm (proposed).
    pub depth_below_mm: Option<f64>,
    /// How far the cross before it lies above, mm (proposed).
    pub previous_above_mm: Option<f64>,
    /// One of the two is below 3 mm: geometry alone cannot tell.
    pub close_call: bool,
    /// Not counted on the frame, or reported and too close to call: check there.
    pub check_on_frame: bool,
}

/// Ends of the mains.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Ends {
    /// Where the centre loop sits.
    pub loop_end: RacketEnd,
    /// Where the mains finish.
    pub mains_finish: RacketEnd,
    /// Where that comes from.
    pub source: ValueSource,
    /// Main pulls one side may be ahead of the other.
    pub max_mains_ahead: u16,
    /// The side of the first cross to be woven.
    pub cross_start_side: Side,
}

/// Holes on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Holes {
    /// Whether the pattern is on record.
    pub known: bool,
    /// Where it comes from.
    pub source: ValueSource,
    /// Mains pass these by.
    pub mains_skip: Vec<HoleRef>,
    /// Crosses pass these by.
    pub crosses_skip: Vec<HoleRef>,
    /// Mains tie off here.
    pub tie_off_mains: Vec<HoleRef>,
    /// Crosses tie off here.
    pub tie_off_crosses: Vec<HoleRef>,
    /// A main and a cross share these.
    pub shared_holes: Vec<HoleRef>,
}

/// What to set on the machine.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MachineValues {
    /// For the mains.
    pub mains: MachineValue,
    /// For the crosses.
    pub crosses: MachineValue,
}

/// Over and under.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Weave {
    /// Cross j passes over main i of the bed when i + j is even (odd, if not).
    pub over_when_even: bool,
    /// Every cross.
    pub crosses: Vec<CrossWeave>,
}

/// Something to mind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Caution {
    /// Stable code.
    pub code: &'static str,
    /// As a sentence.
    pub text: String,
    /// The piece it is about, when it is about one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<Piece>,
}

/// Something that is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Unknown {
    /// JSON Pointer into the request.
    pub pointer: String,
    /// What is missing and how to find it.
    pub text: String,
}

/// Whether a piece at hand is long enough.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct LengthCheck {
    /// What it is; missing for an ordinary set that nobody put on record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<StockKind>,
    /// What is cut from it.
    pub used_for: StockUse,
    /// Its length, mm.
    pub length_mm: u32,
    /// What is cut from it, mm.
    pub needed_mm: u32,
    /// What is left, mm; negative when it is too short.
    pub rest_mm: i64,
    /// The verdict.
    pub verdict: LengthVerdict,
    /// As a sentence.
    pub text: String,
}

/// The verdict on a piece at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum LengthVerdict {
    /// Long enough.
    Enough,
    /// Long enough, less than 0.3 m left.
    Tight,
    /// A few centimetres short: a starting clamp with a scrap of string extends the tail.
    ExtendTail,
    /// Too short.
    TooShort,
}

/// One method beside the others.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MethodComparison {
    /// The method.
    pub method: WeaveMethod,
    /// Whether it may be used here.
    pub allowed: bool,
    /// Whether it is the one taken.
    pub chosen: bool,
    /// Why not, or what to mind.
    pub reasons: Vec<MethodReason>,
    /// Longest string dragged through one shoulder cross, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_pull_mm: Option<f64>,
    /// String dragged through all shoulder crosses together, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drag_sum_mm: Option<f64>,
    /// Crossings times metres dragged through them in the shoulder zone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crossing_metres: Option<f64>,
    /// Wear in the shoulder zone, relative: `head_down` is 100.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wear_index: Option<f64>,
    /// Expected time, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_s: Option<f64>,
    /// String used, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub string_mm: Option<u32>,
}

/// Where one value comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct SourceLine {
    /// The value's name.
    pub value: &'static str,
    /// Its source.
    pub source: ValueSource,
}
