//! What the actions on a job take as evidence: one body per action.
use chrono::{DateTime, Utc};
use serde::Deserialize;
use utoipa::ToSchema;

use super::hand_in::{Condition, Insist};
use crate::craft::ids::{StationId, StringerId};
use crate::craft::job::{JobPhase, JobState, RushLevel};
use crate::desk::cancel_job::ChargeDecision;
use crate::desk::hand_out::Proof;

/// Nothing more to say.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NoEvidence {}

/// A reason.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WithReason {
    /// Why, 1 to 120 characters.
    pub reason: String,
}

/// Where a job is put.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ToStation {
    /// The station; at a busy one the job waits, pinned to it.
    pub station_id: StationId,
}

/// What the bench scans at the start.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StartEvidence {
    /// The tag as scanned or typed.
    pub tag: String,
    /// Where; needed for a job that only waits.
    #[serde(default)]
    pub station_id: Option<StationId>,
    /// The mains' string: a piece's label, the string's id, or its name.
    #[serde(default)]
    pub mains: Option<String>,
    /// The crosses' string, likewise.
    #[serde(default)]
    pub crosses: Option<String>,
}

/// A phase tap.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PhaseTap {
    /// Which phase is reached; skipped ones are filled.
    pub phase: JobPhase,
}

/// A snapped string.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SnappedEvidence {
    /// Where it snapped.
    #[serde(rename = "where")]
    pub place: String,
    /// How much string is lost, mm; from frame and phase if left out.
    #[serde(default)]
    pub wasted_mm: Option<u32>,
    /// Go on here at once; otherwise the job waits again.
    #[serde(default = "yes")]
    pub stay: bool,
}

/// An attempt given up.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RestartEvidence {
    /// Why.
    pub reason: String,
    /// How much string is lost, mm.
    pub wasted_mm: u32,
    /// Go on here at once; otherwise the job waits again.
    #[serde(default = "yes")]
    pub stay: bool,
}

fn yes() -> bool {
    true
}

/// Where the racket lies.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PassEvidence {
    /// The shelf slot, if it has one.
    #[serde(default)]
    pub slot: Option<String>,
}

/// A hold.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HoldEvidence {
    /// Why.
    pub reason: String,
    /// Until when; left out: until somebody releases it.
    #[serde(default)]
    pub until: Option<DateTime<Utc>>,
}

/// How strongly a job is moved forward.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RushEvidence {
    /// `court` for a player who stands on court, else `rush`.
    pub level: RushLevel,
}

/// A new ready-by: a plain time, a match, or the player's next match.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DueEvidence {
    /// When it must be ready. With `follows_match`: until a match of the player is known.
    #[serde(default)]
    pub due_at: Option<DateTime<Utc>>,
    /// The match it must be ready for, instead of a time.
    #[serde(default)]
    #[schema(example = "M12")]
    pub match_id: Option<String>,
    /// Whether it follows the player's next match.
    #[serde(default)]
    pub follows_match: bool,
}

/// Why a job is cancelled.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CancelEvidence {
    /// Why.
    pub reason: String,
    /// What is charged.
    pub charge_decision: ChargeDecision,
}

/// An announced racket has come.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ArrivalEvidence {
    /// What was seen at the counter.
    pub condition: Condition,
    /// A person insists where a rule may be broken.
    #[serde(default, rename = "override")]
    pub insist: Option<Insist>,
}

/// Who goes on, and where.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HandOverEvidence {
    /// The stringer who goes on.
    pub to_stringer: StringerId,
    /// The station where the racket is from now on.
    pub to_station: StationId,
}

/// The state that a job truly has.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// The state; `assigned` and `on_machine` are reached by their own actions.
    pub to: JobState,
    /// Why, 1 to 120 characters; it stands in the story.
    pub reason: String,
}

/// Proof for a racket that leaves.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LeaveEvidence {
    /// The racket's tag as scanned.
    pub tag: String,
    /// Why it may go.
    pub proof: Proof,
}

/// Any of the bodies; the action decides which.
#[derive(Debug, ToSchema)]
#[serde(untagged)]
pub enum Evidence {
    Start(StartEvidence),
    Phase(PhaseTap),
    Snapped(SnappedEvidence),
    Restart(RestartEvidence),
    Pass(PassEvidence),
    Hold(HoldEvidence),
    Rush(RushEvidence),
    Due(DueEvidence),
    Cancel(CancelEvidence),
    Leave(LeaveEvidence),
    Arrival(ArrivalEvidence),
    HandOver(HandOverEvidence),
    Correction(Correction),
    ToStation(ToStation),
    WithReason(WithReason),
    NoEvidence(NoEvidence),
}
