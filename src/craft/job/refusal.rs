//! Why an action on a job is refused.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::text_enum::text_enum;

text_enum! {
    /// What kind of refusal it is.
    pub enum RefusalKind, "refusal kind" {
        /// Somebody else may do this.
        NotYourRole = "not_your_role",
        /// The job is not where this action starts.
        State = "state",
        /// The state is right; a fact stands in the way.
        Blocked = "blocked",
    }
}

text_enum! {
    /// The reason of a refusal, for programs.
    pub enum RefusalCode, "refusal code" {
        /// This role never does that.
        NotYourRole = "not_your_role",
        /// In this state only a coordinator may.
        CoordinatorOnly = "coordinator_only",
        /// This role may only for a player on court.
        CourtOnly = "court_only",
        /// Not from this state.
        WrongState = "wrong_state",
        /// There is no job yet.
        NoJobYet = "no_job_yet",
        /// There is a job already.
        JobExists = "job_exists",
        /// The job is held.
        Held = "held",
        /// A changed spec was not read at the bench.
        SpecChangedUnacknowledged = "spec_changed_unacknowledged",
        /// The machine was not checked today and nobody has overridden it.
        MachineNotCleared = "machine_not_cleared",
        /// The station has another job.
        StationBusy = "station_busy",
        /// The racket is not in the desk's care.
        RacketNotHere = "racket_not_here",
        /// No check is recorded.
        CheckMissing = "check_missing",
        /// The phase `tied_off` was not tapped.
        NotTiedOff = "not_tied_off",
        /// It is paused already.
        AlreadyPaused = "already_paused",
        /// It is not paused.
        NotPaused = "not_paused",
        /// It is not held.
        NotHeld = "not_held",
        /// It is not rushed.
        NotRushed = "not_rushed",
        /// No change of the spec is unread.
        NothingToAcknowledge = "nothing_to_acknowledge",
        /// There is nothing to take back.
        NothingToUndo = "nothing_to_undo",
        /// The time in which it could be taken back is over.
        TooLateToUndo = "too_late_to_undo",
        /// The last phase is tapped.
        NoPhaseLeft = "no_phase_left",
        /// The phase lies behind the last one tapped.
        PhaseBackwards = "phase_backwards",
        /// The racket did not go out strung.
        NotHandedOutStrung = "not_handed_out_strung",
    }
}

/// Why an action is refused, for programs and for people.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema, thiserror::Error)]
#[error("{sentence}")]
#[schema(example = json!({
    "kind": "blocked", "code": "held",
    "sentence": "The job is held; release it first."
}))]
pub struct Refusal {
    /// What kind of refusal it is.
    pub kind: RefusalKind,
    /// The reason; never changes.
    pub code: RefusalCode,
    /// What is in the way and the way out: in English, and in the language of a problem where it stands in one.
    pub sentence: String,
}

impl Refusal {
    /// A role may not.
    pub(super) fn role(code: RefusalCode, sentence: impl Into<String>) -> Self {
        Self {
            kind: RefusalKind::NotYourRole,
            code,
            sentence: sentence.into(),
        }
    }

    /// The state does not allow it.
    pub(super) fn state(code: RefusalCode, sentence: impl Into<String>) -> Self {
        Self {
            kind: RefusalKind::State,
            code,
            sentence: sentence.into(),
        }
    }

    /// A fact stands in the way.
    pub(super) fn blocked(code: RefusalCode, sentence: impl Into<String>) -> Self {
        Self {
            kind: RefusalKind::Blocked,
            code,
            sentence: sentence.into(),
        }
    }
}
