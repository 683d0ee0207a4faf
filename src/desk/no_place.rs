//! Why no plan can hold a job now.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Why no plan can hold a job now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NoPlace {
    /// It waits on purpose.
    Held,
    /// Nobody is at work.
    NoneOpen,
    /// The station or stringer it is meant for is not at work.
    NotAtWork,
    /// Its method takes swivel clamps, and no open station that it may go to has them.
    NoClamps,
    /// Every stringer at work who could do it has refused it.
    Refused,
}

impl NoPlace {
    /// The same for a person.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Held => "It is held.",
            Self::NoneOpen => "No station is open.",
            Self::NotAtWork => "The station or stringer it is meant for is not at work.",
            Self::NoClamps => "No open station has the swivel clamps its method takes.",
            Self::Refused => "Every stringer at work who could do it has refused it.",
        }
    }

    /// Whether somebody is at work and still nobody can do it, so that a person must decide.
    #[must_use]
    pub const fn asks_a_person(self) -> bool {
        matches!(self, Self::NotAtWork | Self::NoClamps | Self::Refused)
    }
}

/// A job that no plan can hold now, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unplanned {
    /// The job.
    pub job_id: String,
    /// Why.
    pub why: NoPlace,
}
