//! How the owner wants a racket strung.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::ids::StringId;
use crate::tension::Tension;
use crate::weave_method::WeaveMethod;

/// One owner's wish for one stringing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Spec {
    /// One piece for the whole bed, or two.
    pub pieces: Pieces,
    /// The mains.
    pub mains: StringSpec,
    /// The crosses; in one piece the same string, perhaps at another tension.
    pub crosses: StringSpec,
    /// The weave method, if the owner insists.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<WeaveMethod>,
    /// Extra pull on the string that is tied off next; none when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub knot_extra: Option<Tension>,
    /// The mark painted on the strings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stencil: Option<Stencil>,
    /// Whether a label with the tensions goes on the racket.
    #[serde(default, skip_serializing_if = "is_false")]
    pub tension_label: bool,
    /// String savers go in.
    #[serde(default, skip_serializing_if = "is_false")]
    pub string_savers: bool,
    /// Pads under the shoulder strings.
    #[serde(default, skip_serializing_if = "is_false")]
    pub shoulder_pads: bool,
    /// A dampener was handed in and goes back on.
    #[serde(default, skip_serializing_if = "is_false")]
    pub return_dampener: bool,
    /// Grip to renew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grip: Option<String>,
    /// Grommets or bumper to renew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grommets: Option<String>,
    /// Lead to put on or keep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead: Option<String>,
    /// Cut the old strings out and do nothing else.
    #[serde(default, skip_serializing_if = "is_false")]
    pub cut_out_only: bool,
    /// Do not cut the old strings out before this instant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_out_not_before_at: Option<DateTime<Utc>>,
    /// Take a reading of the old bed first.
    #[serde(default, skip_serializing_if = "is_false")]
    pub read_old_bed_first: bool,
    /// The wish in the owner's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_said: Option<String>,
    /// Anything else the bench has to know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

// serde hands the field by reference
#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands the field by reference"
)]
fn is_false(flag: &bool) -> bool {
    !*flag
}

/// How many pieces of string make the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pieces {
    /// One piece: a short side and a long side.
    One,
    /// Two pieces: mains and crosses.
    Two,
}

/// The string of one direction and its pull.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StringSpec {
    /// What is known of the string.
    #[serde(default)]
    pub string: StringFacts,
    /// The reference tension asked for.
    pub tension: Tension,
    /// Pre-stretch; none when not given.
    #[serde(default)]
    pub pre_stretch: PreStretch,
}

/// What is known of a string.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StringFacts {
    /// Its id in the tournament's list; none for the player's own string.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub string_id: Option<StringId>,
    /// How the desk calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<Material>,
    /// Its diameter, mm, decimal text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gauge_mm: Option<String>,
    /// Stretch measured at this desk at the asked tension, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stretch_percent: Option<f64>,
}

/// What strings are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Natural gut.
    NaturalGut,
    /// Many fine filaments.
    Multifilament,
    /// A solid nylon core, with or without wraps.
    Nylon,
    /// Polyester and its blends.
    Polyester,
    /// Aramid.
    Aramid,
}

/// Pre-stretch, three different things.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(tag = "how", rename_all = "snake_case", deny_unknown_fields)]
pub enum PreStretch {
    /// None.
    #[default]
    None,
    /// By the machine, at each pull.
    ByMachine {
        /// Percent over the reference tension, above 0 and at most 25.
        percent: f64,
    },
    /// By hand, before stringing.
    ByHand {
        /// Percent of the length, above 0 and at most 25.
        percent: f64,
        /// Whether the cut is measured before or after.
        cut_measured: CutMeasured,
    },
}

/// When a hand-stretched string is measured for its cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CutMeasured {
    /// Cut first, then stretched: the cut may be shorter.
    Before,
    /// Stretched first, then cut.
    After,
}

/// The mark painted on the strings; may differ from the string inside.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Stencil {
    /// Which mark.
    pub mark: String,
    /// Its colour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
    /// On both faces, else on one.
    #[serde(default)]
    pub both_sides: bool,
}
