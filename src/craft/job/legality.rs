//! Whether an action is allowed now, to this caller, and if not, why not.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::job::{
    Blocker, JobAction, JobFacts, JobPhase, JobState, Need, Outcome, Refusal, RefusalCode as Code, Rule,
    RushLevel, States,
};
use crate::roles::Role;

/// One action with the word whether the caller may do it now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[schema(example = json!({"name": "hand_out", "allowed": true}))]
pub struct AllowedAction {
    /// The action.
    pub name: JobAction,
    /// Whether the caller may do it now, given the evidence it takes.
    pub allowed: bool,
    /// Why not; missing if allowed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<Refusal>,
}

/// An allowed action: the line of the table and where it leads from here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// The line of the table.
    pub rule: Rule,
    /// The states it may lead to from this one; one, unless the caller chooses
    /// (`snapped`, `restart`, `correct`).
    pub to: Vec<JobState>,
}

/// Every action of the table, in its order, with whether `role` may do it to
/// this job now.
///
/// Whether the job is the caller's *own* (a stringer's station, a runner's
/// run) is not known here.
#[must_use]
pub fn allowed_actions(facts: &JobFacts, role: Role) -> Vec<AllowedAction> {
    let judged = |action: &JobAction| {
        let why = check(facts, role, *action).err();
        AllowedAction {
            name: *action,
            allowed: why.is_none(),
            why,
        }
    };
    JobAction::ALL.iter().map(judged).collect()
}

/// Whether `role` may do `action` to this job now; a rush by the desk is
/// judged by [`check_rush`] once its level is known.
///
/// # Errors
/// The first [`Refusal`] in the order role, state, facts.
pub fn check(facts: &JobFacts, role: Role, action: JobAction) -> Result<Move, Refusal> {
    let rule = Rule::of(action);
    role_may(&rule, role)?;
    state_allows(&rule, facts)?;
    coordinator_alone(&rule, facts, role)?;
    rule.blocked_by
        .iter()
        .try_for_each(|blocker| not_blocked(*blocker, facts))?;
    facts_allow(&rule, facts)?;
    Ok(Move {
        to: destinations(&rule, facts),
        rule,
    })
}

/// Whether `role` may rush this job to `level` now.
///
/// # Errors
/// As [`check`], and [`Code::CourtOnly`] for a role that rushes only for a
/// player on court.
pub fn check_rush(facts: &JobFacts, role: Role, level: RushLevel) -> Result<Move, Refusal> {
    let rule = Rule::of(JobAction::Rush);
    role_may(&rule, role)?;
    let may_any = rule.roles.iter().any(|named| role.stands_in_for(*named));
    if level != RushLevel::Court && !may_any {
        return Err(Refusal::role(
            Code::CourtOnly,
            "The desk rushes only for a player on court (level \"court\"); ask a coordinator.",
        ));
    }
    check(facts, role, JobAction::Rush)
}

fn role_may(rule: &Rule, role: Role) -> Result<(), Refusal> {
    if rule.is_for(role) {
        return Ok(());
    }
    let who = rule
        .roles
        .iter()
        .chain(rule.court_only_roles)
        .map(|role| role.as_str().replace('_', " "));
    let sentence = format!("{} is done by: {}.", rule.action.caption(), one_of(who));
    Err(Refusal::role(Code::NotYourRole, sentence))
}

fn state_allows(rule: &Rule, facts: &JobFacts) -> Result<(), Refusal> {
    if rule.from.contains(facts.state) {
        return Ok(());
    }
    let caption = rule.action.caption();
    let from = one_of(rule.from.list().iter().map(|state| state.words().to_owned()));
    let (code, sentence) = match (facts.state, rule.from) {
        (None, _) => (
            Code::NoJobYet,
            format!("There is no job yet. {caption} is for a job that is {from}."),
        ),
        (Some(state), States::NoneOr([])) => (
            Code::JobExists,
            format!("There is a job already; it is {}.", state.words()),
        ),
        (Some(state), _) => (
            Code::WrongState,
            format!(
                "The job is {}. {caption} is for a job that is {from}.",
                state.words()
            ),
        ),
    };
    Err(Refusal::state(code, sentence))
}

fn coordinator_alone(rule: &Rule, facts: &JobFacts, role: Role) -> Result<(), Refusal> {
    match facts.state {
        Some(state)
            if rule.coordinator_only_from.contains(&state) && !role.stands_in_for(Role::Coordinator) =>
        {
            let sentence = format!(
                "The job is {}; {} is the coordinator's from there.",
                state.words(),
                rule.action.caption().to_ascii_lowercase()
            );
            Err(Refusal::role(Code::CoordinatorOnly, sentence))
        }
        _ => Ok(()),
    }
}

fn not_blocked(blocker: Blocker, facts: &JobFacts) -> Result<(), Refusal> {
    let (blocks, code, sentence) = match blocker {
        Blocker::Held => (facts.held, Code::Held, "The job is held; release it first."),
        Blocker::SpecChangedUnacknowledged => (
            facts.spec_changed_unacknowledged,
            Code::SpecChangedUnacknowledged,
            "The spec was changed; read the change and acknowledge it first.",
        ),
        Blocker::MachineNotCleared => (
            !facts.machine_cleared,
            Code::MachineNotCleared,
            "The machine has no good calibration today; check it, or ask a coordinator to clear it.",
        ),
        Blocker::StationBusy => (
            facts.station_busy,
            Code::StationBusy,
            "The station has another job; finish it or move it first.",
        ),
    };
    if blocks {
        Err(Refusal::blocked(code, sentence))
    } else {
        Ok(())
    }
}

/// The facts an action rests on beyond what the table's columns say.
fn facts_allow(rule: &Rule, facts: &JobFacts) -> Result<(), Refusal> {
    let unless = |good: bool, code: Code, sentence: &str| {
        if good {
            Ok(())
        } else {
            Err(Refusal::blocked(code, sentence))
        }
    };
    match rule.action {
        JobAction::Acknowledge => unless(
            facts.spec_changed_unacknowledged,
            Code::NothingToAcknowledge,
            "No change of the spec is unread.",
        ),
        JobAction::Phase => unless(
            facts.phase != Some(JobPhase::TiedOff),
            Code::NoPhaseLeft,
            "The last phase, tied off, is tapped; finish the job.",
        ),
        JobAction::UndoPhase => undo_in_time(rule, facts),
        JobAction::Pause => unless(!facts.paused, Code::AlreadyPaused, "The job is paused already."),
        JobAction::Resume => unless(facts.paused, Code::NotPaused, "The job is not paused."),
        JobAction::Release => unless(facts.held, Code::NotHeld, "The job is not held."),
        JobAction::Unrush => unless(facts.rush.is_some(), Code::NotRushed, "The job is not rushed."),
        JobAction::UndoHandOut => {
            // a racket given back as it came was never ready, so it cannot become so again
            let strung = facts.outcome.is_none_or(|outcome| outcome == Outcome::Strung);
            unless(
                strung,
                Code::NotHandedOutStrung,
                "The racket went out unstrung; take it in anew.",
            )?;
            in_time(
                rule,
                facts.since_out_s,
                "It is not known when the racket went out.",
            )
        }
        JobAction::GiveBack | JobAction::Return => unless(
            facts.racket_here,
            Code::RacketNotHere,
            "The racket is not here, so there is nothing to give back.",
        ),
        _ if rule.needs.contains(&Need::PhaseTiedOff) => unless(
            facts.phase == Some(JobPhase::TiedOff),
            Code::NotTiedOff,
            "The phase tied off is not tapped yet; tap it first.",
        ),
        _ if rule.needs.contains(&Need::Check) => unless(
            facts.check_recorded,
            Code::CheckMissing,
            "No check of this racket is recorded; record one first.",
        ),
        _ => Ok(()),
    }
}

/// A tap goes back within its time. At the check it is "Strung" that goes back: nothing is lost by
/// a late "not strung yet", so it may be said until the check is recorded.
fn undo_in_time(rule: &Rule, facts: &JobFacts) -> Result<(), Refusal> {
    if facts.state != Some(JobState::Checking) {
        let since = facts.phase.and(facts.since_phase_s);
        return in_time(rule, since, "No phase of this attempt was tapped.");
    }
    if facts.check_recorded {
        let sentence = "The check of this racket is recorded; pass it, or say what does not pass.";
        return Err(Refusal::blocked(Code::NothingToUndo, sentence));
    }
    Ok(())
}

/// Whether what is to be taken back happened within the line's time, both ends included.
fn in_time(rule: &Rule, since_s: Option<i64>, nothing: &str) -> Result<(), Refusal> {
    let Some(since_s) = since_s else {
        return Err(Refusal::blocked(Code::NothingToUndo, nothing));
    };
    match rule.within_s {
        Some(limit_s) if since_s > limit_s => Err(Refusal::blocked(
            Code::TooLateToUndo,
            format!(
                "This can be taken back within {limit_s} s; {since_s} s have passed. An admin can correct the job."
            ),
        )),
        _ => Ok(()),
    }
}

/// Where the action leads from the present state.
fn destinations(rule: &Rule, facts: &JobFacts) -> Vec<JobState> {
    match (rule.action, facts.state) {
        (JobAction::Snapped | JobAction::Restart | JobAction::Correct, _) | (_, None) => {
            rule.to.list().to_vec()
        }
        (JobAction::Recall, Some(JobState::Ready)) => vec![JobState::Checking],
        // whatever may stay in its state stays there
        (_, Some(state)) if rule.to.contains(Some(state)) => vec![state],
        _ => rule.to.list().to_vec(),
    }
}

/// "a", "a or b", "a, b or c".
fn one_of(words: impl Iterator<Item = String>) -> String {
    let words: Vec<_> = words.collect();
    match words.split_last() {
        None => "none".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} or {last}", before.join(", ")),
    }
}

#[cfg(test)]
mod tests;
