//! What a plan is computed from: the body of `POST /v1/plans` and of plan files.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::frame::FrameRecord;
use crate::machine::MachineFacts;
use crate::spec::Spec;
use crate::weave_method::WeaveMethod;

/// A frame, a wish, and what is known of machine, stringer and stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanRequest {
    /// The frame model.
    pub frame: FrameRecord,
    /// The owner's wish.
    pub spec: Spec,
    /// The machine it will be strung on, when known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<MachineFacts>,
    /// How this stringer works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stringer: Option<StringerHabits>,
    /// The method the stringer has chosen at the bench for this one job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bench_method: Option<WeaveMethod>,
    /// The method used on this player's last racket of this model.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_method: Option<WeaveMethod>,
    /// The desk's rules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub policy: Option<Policy>,
    /// The pieces of string that lie ready.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stock: Vec<StockPiece>,
    /// A person insists on a tension outside the range.
    #[serde(default, rename = "override", skip_serializing_if = "Option::is_none")]
    pub insist: Option<Override>,
}

/// How a stringer works when nobody prescribes otherwise.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StringerHabits {
    /// The weave method of habit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<WeaveMethod>,
    /// How plain crosses are started.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cross_start: Option<CrossStart>,
    /// How the first crosses of `start_cross_back` are pulled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_cross_back: Option<BackVariant>,
    /// This stringer's time over the ordinary time, 0.3 to 3.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pace_factor: Option<f64>,
}

/// How plain crosses are started.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CrossStart {
    /// One end is knotted, the other pulled.
    #[default]
    Knot,
    /// Both ends are pulled, the first held by a starting clamp meanwhile.
    StartingClamp,
}

/// The two ways in which `start_cross_back` pulls its first crosses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BackVariant {
    /// From the start cross to cross 1 by the short tail.
    #[default]
    ByTheTail,
    /// From cross 1 to the start cross by the loops between crosses.
    ByTheLoops,
}

/// The desk's rules for choosing a method.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Policy {
    /// For one piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub one_piece: Option<WeaveMethod>,
    /// For two pieces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub two_piece: Option<WeaveMethod>,
}

/// One piece of string that lies ready.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StockPiece {
    /// What it is.
    pub kind: StockKind,
    /// What will be cut from it.
    pub used_for: StockUse,
    /// Its length, mm, 1 to 1,000,000.
    pub length_mm: u32,
}

/// What a piece of string is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum StockKind {
    /// A set for one racket.
    Set,
    /// Half a set.
    HalfSet,
    /// What was left of another job.
    Offcut,
    /// What is left on a reel.
    ReelRemainder,
}

/// What will be cut from a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum StockUse {
    /// The mains.
    Mains,
    /// The crosses.
    Crosses,
    /// The whole job: both cuts, or the one piece.
    Both,
}

/// A person's word against a check that may be overruled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Override {
    /// Why; kept in the racket's story.
    pub reason: String,
}
