//! What the legality of an action rests on.
use crate::job::{JobPhase, JobState, Outcome, RushLevel};

/// What is known of one job at the moment somebody wants to do something to it.
///
/// Facts about a station (`machine_cleared`, `station_busy`) are those of the
/// station where the action would happen; leave them at their defaults where
/// there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobFacts {
    /// The state; `None`: there is no job yet.
    pub state: Option<JobState>,
    /// The last phase tapped in this attempt.
    pub phase: Option<JobPhase>,
    /// Waits on purpose.
    pub held: bool,
    /// Work on the machine stopped for a while.
    pub paused: bool,
    /// Moved forward.
    pub rush: Option<RushLevel>,
    /// The spec changed and nobody at the bench has read it.
    pub spec_changed_unacknowledged: bool,
    /// The machine may be used: checked today, overridden, or no check is required.
    pub machine_cleared: bool,
    /// The station has another job, assigned or on the machine.
    pub station_busy: bool,
    /// The racket is in the desk's care.
    pub racket_here: bool,
    /// A check of this attempt is recorded.
    pub check_recorded: bool,
    /// How the racket went out.
    pub outcome: Option<Outcome>,
    /// Seconds since the last phase tap.
    pub since_phase_s: Option<i64>,
    /// Seconds since the racket went out.
    pub since_out_s: Option<i64>,
}

impl JobFacts {
    /// A job in `state` with nothing in its way and its racket here, unless it
    /// is only expected or already out.
    #[must_use]
    pub fn in_state(state: JobState) -> Self {
        Self {
            state: Some(state),
            racket_here: !matches!(state, JobState::Expected | JobState::Out),
            ..Self::no_job_yet()
        }
    }

    /// No job yet.
    #[must_use]
    pub const fn no_job_yet() -> Self {
        Self {
            state: None,
            phase: None,
            held: false,
            paused: false,
            rush: None,
            spec_changed_unacknowledged: false,
            machine_cleared: true,
            station_busy: false,
            racket_here: false,
            check_recorded: false,
            outcome: None,
            since_phase_s: None,
            since_out_s: None,
        }
    }
}
