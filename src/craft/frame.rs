//! A frame model's stringing facts, as a desk records them.
//!
//! Everything a desk may not know is optional: what is missing is named as
//! unknown by the plan, never guessed. The JSON form is a data format of its own.
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::racket_end::RacketEnd;
use crate::sport::Sport;
use crate::tension::TensionUnit;
use crate::weave_method::WeaveMethod;

pub mod contradictions;
pub mod hole_words;
pub mod shape;

/// One frame model: what the bench has to know before it cuts string.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FrameRecord {
    /// The sport it is played in.
    pub sport: Sport,
    /// How the desk calls the model.
    pub name: String,
    /// Number of mains, 6 to 30.
    pub mains: u16,
    /// Number of crosses, 6 to 40.
    pub crosses: u16,
    /// The maker's range of reference tension.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tension_range: Option<TensionRange>,
    /// Holes, ends and rules of the pattern.
    #[serde(default)]
    pub pattern: Pattern,
    /// Lengths to cut that are on record for this model.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_mm: Option<CutRecord>,
    /// Where the record comes from as a whole.
    #[serde(default)]
    pub source: FrameSource,
    /// Where single fields come from when that differs, by field name (`start_cross`, `cut_mm` …).
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sources: BTreeMap<String, FrameSource>,
    /// Inside of the hoop, length and width, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inside_mm: Option<InsideSize>,
    /// Head area as printed on the frame, square inches.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub head_area_in2: Option<f64>,
    /// Positions of the strings, measured on the frame.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub positions_mm: Option<Positions>,
    /// Whether the mains fan out instead of running parallel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fanned_mains: Option<bool>,
    /// From the inside of the hoop to the line on which the string bears outside, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_mm: Option<f64>,
    /// Overall length and width of the racket, mm, for the sport's limits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overall_mm: Option<InsideSize>,
}

/// Lowest and highest reference tension a maker allows, both included.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TensionRange {
    /// Lowest, decimal text.
    pub min: String,
    /// Highest, decimal text.
    pub max: String,
    /// The unit of both.
    pub unit: TensionUnit,
}

/// A length and a width of the same thing, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InsideSize {
    /// Along the shaft, mm.
    pub length: f64,
    /// Across, mm.
    pub width: f64,
}

/// Measured positions; the origin is mid inside length on the centre line.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Positions {
    /// Distance of mains 1, 2 … from the centre line on one side, mm.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mains_x: Vec<f64>,
    /// Height of crosses 1, 2 … from the head, mm, upwards positive.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub crosses_y: Vec<f64>,
}

/// Lengths to cut on record, mm.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CutRecord {
    /// Mains of a two-piece job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mains: Option<u32>,
    /// Crosses of a two-piece job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crosses: Option<u32>,
    /// The whole of a one-piece job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_piece: Option<u32>,
    /// The short side of a one-piece job whose short side strings mains alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short_side: Option<u32>,
}

/// Holes, ends and rules of a pattern; holes are counted per side from the centre line.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Pattern {
    /// Whether the holes below were looked up on the frame or its sheet.
    #[serde(default)]
    pub known: bool,
    /// Holes that the mains pass by.
    #[serde(default)]
    pub mains_skip: Vec<HoleRef>,
    /// Holes that the crosses pass by.
    #[serde(default)]
    pub crosses_skip: Vec<HoleRef>,
    /// Holes at which the mains may be tied off.
    #[serde(default)]
    pub tie_off_mains: Vec<HoleRef>,
    /// Holes at which the crosses may be tied off.
    #[serde(default)]
    pub tie_off_crosses: Vec<HoleRef>,
    /// Holes that carry a main and a cross.
    #[serde(default)]
    pub shared_holes: Vec<HoleRef>,
    /// First cross from the head below the point where the outermost main leaves the hoop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_cross: Option<u16>,
    /// From which end the maker lets the crosses be installed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crosses_from: Option<CrossesFrom>,
    /// At which end the centre loop of the mains sits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loop_end: Option<RacketEnd>,
    /// Which side the maker wants as short side of a one-piece job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short_side: Option<SideRule>,
    /// On which side the first cross to be woven starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cross_start_side: Option<SideRule>,
    /// How many mains one side may be ahead of the other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_mains_ahead: Option<u16>,
    /// Whether pulls may run from cross to cross towards the head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulls_towards_head: Option<bool>,
    /// Main holes per side in the throat bridge; tells where the centre loop sits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bridge_holes_per_side: Option<u16>,
    /// Whether the maker allows one piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_piece: Option<OnePieceRule>,
    /// The weave methods the maker prescribes; empty when it leaves them open.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub methods: Vec<WeaveMethod>,
}

/// A hole by its end and number: read it "head 7".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HoleRef {
    /// The end it is counted at.
    pub end: RacketEnd,
    /// Its number from the centre line outwards, 1 and up.
    pub hole: u16,
    /// The side; missing means both.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
}

/// A side of the racket: A is left with the head up and the marked face towards you.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
pub enum Side {
    /// Left with the head up and the marked face towards you.
    A,
    /// The other side.
    B,
}

impl Side {
    /// The opposite side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }

    /// The letter printed on drawings.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// A side that a maker prescribes, or leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum SideRule {
    /// Side A.
    A,
    /// Side B.
    B,
    /// The maker leaves it open.
    #[serde(rename = "either")]
    Either,
}

impl SideRule {
    /// The prescribed side, if there is one.
    #[must_use]
    pub const fn side(self) -> Option<Side> {
        match self {
            Self::A => Some(Side::A),
            Self::B => Some(Side::B),
            Self::Either => None,
        }
    }
}

/// From which end crosses may be installed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CrossesFrom {
    /// From the head to the throat alone.
    Head,
    /// From the throat to the head alone.
    Throat,
    /// From either end.
    Either,
}

/// Whether a maker allows one piece of string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum OnePieceRule {
    /// One or two pieces.
    Allowed,
    /// One piece alone.
    Required,
    /// Two pieces alone.
    Forbidden,
}

/// Where a recorded fact comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FrameSource {
    /// Measured or counted on the frame at this desk.
    Measured,
    /// The maker's sheet.
    MakerSheet,
    /// Somebody said so.
    Reported,
    /// Proposed from geometry.
    Proposed,
    /// Nobody knows.
    #[default]
    Unknown,
}

impl FrameRecord {
    /// Where `field` comes from: its own source if recorded, else the record's.
    #[must_use]
    pub fn source_of(&self, field: &str) -> FrameSource {
        self.sources.get(field).copied().unwrap_or(self.source)
    }

    /// Mains on one side; an odd main in the middle is not counted.
    #[must_use]
    pub const fn mains_per_side(&self) -> usize {
        (self.mains / 2) as usize
    }

    /// Where both sides of mains finish, when the centre loop is on record.
    #[must_use]
    pub fn mains_finish(&self) -> Option<RacketEnd> {
        self.pattern
            .loop_end
            .map(|end| end.mains_finish(self.mains_per_side()))
    }
}
