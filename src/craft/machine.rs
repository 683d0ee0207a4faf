//! A stringing machine as the plan needs to know it.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::tension::TensionUnit;

/// What a machine can hold, pull and show.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MachineFacts {
    /// How the desk calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Its kind of clamps.
    pub clamps: ClampKind,
    /// How many machine clamps it has; 2 when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clamp_count: Option<u8>,
    /// Whether a main and a cross can be held at once; not given means: as the kind of clamp allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holds_main_and_cross: Option<bool>,
    /// Starting clamps with pad at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub starting_clamps: Option<u8>,
    /// How it keeps the pull.
    pub pull: PullKind,
    /// The units it can show, with their steps.
    #[serde(default)]
    pub units: Vec<MachineUnit>,
    /// Measured pull over shown pull; 1.0 when not given. Set by a coordinator, reset at every adjustment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction_factor: Option<f64>,
    /// From the frame to the gripping point of the tension head, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach_mm: Option<u32>,
    /// String inside the gripper, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grip_mm: Option<u32>,
    /// Whether it pre-stretches by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pre_stretches: Option<bool>,
}

/// The kinds of clamps of stringing machines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ClampKind {
    /// Loose clamps that hold one string against its neighbour.
    Flying,
    /// Clamps that slide on bars across the machine.
    FixedOnGlideBars,
    /// Clamps that turn and slide freely.
    FixedSwivel,
}

/// How a machine keeps its pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PullKind {
    /// It goes on pulling while the string creeps.
    Constant,
    /// It locks at the tension reached; the string relaxes from there.
    Lockout,
}

/// A unit the machine can show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MachineUnit {
    /// The unit.
    pub unit: TensionUnit,
    /// Its smallest step, decimal text.
    pub step: String,
}

impl MachineFacts {
    /// Machine clamps at hand: two unless the record says otherwise.
    #[must_use]
    pub fn clamps_at_hand(&self) -> u8 {
        self.clamp_count.unwrap_or(2)
    }

    /// Whether a main and a cross can be held at once: swivel clamps can, others when a stringer confirmed it.
    #[must_use]
    pub fn can_hold_main_and_cross(&self) -> bool {
        self.holds_main_and_cross
            .unwrap_or(matches!(self.clamps, ClampKind::FixedSwivel))
    }
}
