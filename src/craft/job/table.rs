//! The state table: which action leads from where to where, and who may do it.
//!
//! `tests/data/job-states.json` is the same table as data; a test compares
//! the two in both directions.
use crate::job::{Blocker, JobAction as A, JobState as S, Need as N, Outcome as O};
use crate::roles::Role as R;

/// A set of states on one side of an action.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum States {
    /// Whichever.
    Any,
    /// One of these.
    These(&'static [S]),
    /// No job yet, or one of these.
    NoneOr(&'static [S]),
}

impl States {
    /// Whether `state` (`None`: no job yet) is in the set.
    #[must_use]
    pub fn contains(self, state: Option<S>) -> bool {
        match (self, state) {
            (_, None) => matches!(self, Self::NoneOr(_)),
            (Self::Any, Some(_)) => true,
            (Self::These(states) | Self::NoneOr(states), Some(state)) => states.contains(&state),
        }
    }

    /// The states of the set; of [`Self::Any`], all.
    #[must_use]
    pub fn list(self) -> &'static [S] {
        match self {
            Self::Any => S::ALL,
            Self::These(states) | Self::NoneOr(states) => states,
        }
    }
}

/// One line of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// What is done.
    pub action: A,
    /// From which states.
    pub from: States,
    /// To which states.
    pub to: States,
    /// Who may; an admin may too wherever a coordinator may.
    pub roles: &'static [R],
    /// Who may only for a player on court.
    pub court_only_roles: &'static [R],
    /// What evidence it takes.
    pub needs: &'static [N],
    /// What stands in its way.
    pub blocked_by: &'static [Blocker],
    /// Until how many seconds after what it takes back.
    pub within_s: Option<i64>,
    /// How the racket goes out.
    pub outcomes: &'static [O],
    /// From which of its states only a coordinator may.
    pub coordinator_only_from: &'static [S],
    /// The event it writes.
    pub event: &'static str,
}

impl Rule {
    /// The line of `action`.
    #[must_use]
    pub fn of(action: A) -> Self {
        // a test keeps the table in the order of the actions
        TABLE[action as usize]
    }

    /// Whether `role` may do this at least from some state.
    #[must_use]
    pub fn is_for(&self, role: R) -> bool {
        let mut named = self.roles.iter().chain(self.court_only_roles);
        named.any(|named| role.stands_in_for(*named))
    }
}

const EARLY: States = States::These(&[S::Expected, S::Waiting, S::Assigned, S::OnMachine, S::Checking]);
const ON_MACHINE: States = States::These(&[S::OnMachine]);
const ON_MACHINE_OR_CHECKING: States = States::These(&[S::OnMachine, S::Checking]);
const ON_MACHINE_OR_WAITING: States = States::These(&[S::OnMachine, S::Waiting]);
const BEFORE_CHECK: States = States::These(&[S::Waiting, S::Assigned, S::OnMachine]);
const WAITING: States = States::These(&[S::Waiting]);
const CHECKING: States = States::These(&[S::Checking]);
const READY: States = States::These(&[S::Ready]);
const OUT: States = States::These(&[S::Out]);
const BENCH: &[R] = &[R::Stringer, R::Coordinator];
const COUNTER: &[R] = &[R::Desk, R::Coordinator];
const GIVERS: &[R] = &[R::Desk, R::Coordinator, R::Runner];
const CHECKERS: &[R] = &[R::Stringer, R::Desk, R::Coordinator];
const PLACERS: &[R] = &[R::System, R::Coordinator, R::Stringer];
const ANNOUNCERS: &[R] = &[R::Desk, R::Coordinator, R::Integration];
const COURT_GIVERS: &[R] = &[R::Coordinator, R::Runner, R::Stringer];
const RECALL_FROM: States = States::These(&[S::OnMachine, S::Checking, S::Ready, S::Out]);
const RECALL_TO: States = States::These(&[S::OnMachine, S::Checking, S::Out]);
const START_BLOCKERS: &[Blocker] = &[
    Blocker::Held,
    Blocker::SpecChangedUnacknowledged,
    Blocker::MachineNotCleared,
    Blocker::StationBusy,
];
const HANDED: &[N] = &[N::Proof, N::RacketScan];
const REASON: &[N] = &[N::Reason];

const fn rule(action: A, from: States, to: States, roles: &'static [R], event: &'static str) -> Rule {
    Rule {
        action,
        from,
        to,
        roles,
        court_only_roles: &[],
        needs: &[],
        blocked_by: &[],
        within_s: None,
        outcomes: &[],
        coordinator_only_from: &[],
        event,
    }
}

impl Rule {
    const fn needs(mut self, needs: &'static [N]) -> Self {
        self.needs = needs;
        self
    }

    const fn blocked_by(mut self, blockers: &'static [Blocker]) -> Self {
        self.blocked_by = blockers;
        self
    }

    const fn within_s(mut self, seconds: i64) -> Self {
        self.within_s = Some(seconds);
        self
    }

    const fn outcomes(mut self, outcomes: &'static [O]) -> Self {
        self.outcomes = outcomes;
        self
    }

    const fn for_court_only(mut self, roles: &'static [R]) -> Self {
        self.court_only_roles = roles;
        self
    }

    const fn coordinator_only_from(mut self, states: &'static [S]) -> Self {
        self.coordinator_only_from = states;
        self
    }
}

/// The whole table, in the order of [`A`].
pub const TABLE: [Rule; A::ALL.len()] = {
    use States::{Any, NoneOr, These};
    [
        rule(
            A::Announce,
            NoneOr(&[]),
            These(&[S::Expected]),
            ANNOUNCERS,
            "job.announced",
        ),
        rule(
            A::CheckIn,
            NoneOr(&[S::Expected]),
            WAITING,
            COUNTER,
            "job.received",
        )
        .needs(&[N::Racket, N::Spec, N::Condition, N::Code]),
        rule(A::Assign, WAITING, These(&[S::Assigned]), PLACERS, "job.assigned").blocked_by(&[Blocker::Held]),
        rule(
            A::Unassign,
            These(&[S::Assigned]),
            WAITING,
            PLACERS,
            "job.unassigned",
        )
        .needs(REASON),
        rule(
            A::Start,
            These(&[S::Waiting, S::Assigned]),
            ON_MACHINE,
            BENCH,
            "job.started",
        )
        .needs(&[N::TagScan, N::StringScans])
        .blocked_by(START_BLOCKERS),
        rule(A::Phase, ON_MACHINE, ON_MACHINE, BENCH, "job.phase")
            .blocked_by(&[Blocker::SpecChangedUnacknowledged]),
        rule(
            A::Acknowledge,
            BEFORE_CHECK,
            BEFORE_CHECK,
            BENCH,
            "job.acknowledged",
        ),
        rule(
            A::UndoPhase,
            ON_MACHINE_OR_CHECKING,
            ON_MACHINE,
            BENCH,
            "job.phase_undone",
        )
        .blocked_by(&[Blocker::StationBusy])
        .within_s(60),
        rule(A::Pause, ON_MACHINE, ON_MACHINE, BENCH, "job.paused").needs(REASON),
        rule(A::Resume, ON_MACHINE, ON_MACHINE, BENCH, "job.resumed"),
        rule(A::HandOver, ON_MACHINE, ON_MACHINE, BENCH, "job.handed_over")
            .needs(&[N::ToStringer, N::ToStation]),
        rule(
            A::Snapped,
            ON_MACHINE,
            ON_MACHINE_OR_WAITING,
            BENCH,
            "job.restarted",
        )
        .needs(&[N::Where]),
        rule(
            A::Restart,
            ON_MACHINE,
            ON_MACHINE_OR_WAITING,
            BENCH,
            "job.restarted",
        )
        .needs(&[N::Reason, N::WastedMm]),
        rule(A::Finish, ON_MACHINE, CHECKING, BENCH, "job.strung").needs(&[N::PhaseTiedOff]),
        rule(A::Pass, CHECKING, READY, CHECKERS, "job.ready")
            .needs(&[N::Check])
            .blocked_by(&[Blocker::Held]),
        rule(A::Fail, CHECKING, WAITING, CHECKERS, "job.failed_check").needs(REASON),
        rule(A::Amend, EARLY, EARLY, COUNTER, "job.amended").needs(&[N::IfMatch, N::ChoiceIfStarted]),
        rule(A::Hold, EARLY, EARLY, COUNTER, "job.held").needs(REASON),
        rule(A::Release, EARLY, EARLY, COUNTER, "job.released"),
        rule(A::Rush, EARLY, EARLY, &[R::Coordinator], "job.rushed").for_court_only(&[R::Desk]),
        rule(A::Unrush, EARLY, EARLY, &[R::Coordinator], "job.unrushed"),
        rule(
            A::Due,
            EARLY,
            EARLY,
            &[R::Desk, R::Coordinator, R::System],
            "job.due_changed",
        ),
        rule(A::HandOut, READY, OUT, GIVERS, "job.out")
            .needs(HANDED)
            .outcomes(&[O::Strung]),
        rule(A::UndoHandOut, OUT, READY, COUNTER, "job.back")
            .within_s(600)
            .needs(REASON),
        rule(A::Cancel, EARLY, These(&[S::Cancelled]), COUNTER, "job.cancelled")
            .needs(&[N::Reason, N::ChargeDecision])
            .coordinator_only_from(&[S::OnMachine, S::Checking]),
        rule(A::Return, These(&[S::Cancelled]), OUT, GIVERS, "job.out")
            .needs(HANDED)
            .outcomes(&[O::Unstrung, O::PartStrung]),
        rule(
            A::Recall,
            RECALL_FROM,
            RECALL_TO,
            &[R::System, R::Coordinator],
            "job.recalled",
        )
        .needs(&[N::RecallId]),
        rule(
            A::GiveBack,
            These(&[S::Expected, S::Waiting, S::Assigned]),
            OUT,
            GIVERS,
            "job.out",
        )
        .needs(HANDED)
        .outcomes(&[O::Unstrung]),
        rule(
            A::CourtRelease,
            These(&[S::OnMachine, S::Checking]),
            OUT,
            COURT_GIVERS,
            "job.out",
        )
        .needs(HANDED)
        .outcomes(&[O::Strung]),
        rule(A::Correct, Any, Any, &[R::Admin], "job.corrected").needs(REASON),
    ]
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_stands_in_the_order_of_the_actions() {
        for (line, action) in TABLE.iter().zip(A::ALL) {
            assert_eq!(line.action, *action);
            assert_eq!(Rule::of(*action), *line);
        }
    }

    #[test]
    fn the_admin_stands_in_for_the_coordinator_alone() {
        assert!(Rule::of(A::Unrush).is_for(R::Admin));
        assert!(!Rule::of(A::Correct).is_for(R::Coordinator));
        assert!(!Rule::of(A::Announce).is_for(R::Stringer));
    }
}
