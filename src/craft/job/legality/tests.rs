//! Legality, state by state and role by role.
use super::*;

use proptest::prelude::*;

const WORKERS: [Role; 5] = [
    Role::Desk,
    Role::Stringer,
    Role::Coordinator,
    Role::Runner,
    Role::Admin,
];

fn any_facts() -> impl Strategy<Value = JobFacts> {
    let state = prop::option::of(prop::sample::select(JobState::ALL));
    let phase = prop::option::of(prop::sample::select(JobPhase::ALL));
    let rush = prop::option::of(prop::sample::select(RushLevel::ALL));
    let outcome = prop::option::of(prop::sample::select(Outcome::ALL));
    let since = || prop::option::of(-5_i64..2000);
    (state, phase, rush, outcome, any::<[bool; 7]>(), since(), since()).prop_map(
        |(state, phase, rush, outcome, bits, since_phase_s, since_out_s)| JobFacts {
            state,
            phase,
            held: bits[0],
            paused: bits[1],
            rush,
            spec_changed_unacknowledged: bits[2],
            machine_cleared: bits[3],
            station_busy: bits[4],
            racket_here: bits[5],
            check_recorded: bits[6],
            outcome,
            since_phase_s,
            since_out_s,
        },
    )
}

fn refused(facts: &JobFacts, role: Role, action: JobAction) -> Code {
    check(facts, role, action).unwrap_err().code
}

fn names(facts: &JobFacts, role: Role) -> Vec<JobAction> {
    let all = allowed_actions(facts, role).into_iter();
    all.filter(|action| action.allowed)
        .map(|action| action.name)
        .collect()
}

proptest! {
    #[test]
    fn an_action_from_a_state_outside_the_table_is_never_allowed(facts in any_facts()) {
        for role in Role::ALL {
            for action in allowed_actions(&facts, *role) {
                let rule = Rule::of(action.name);
                if action.allowed {
                    prop_assert!(rule.from.contains(facts.state));
                    prop_assert!(rule.is_for(*role));
                }
                prop_assert_eq!(action.allowed, action.why.is_none());
            }
        }
    }

    #[test]
    fn every_move_leads_to_a_state_of_its_line(facts in any_facts()) {
        for action in JobAction::ALL {
            for role in Role::ALL {
                if let Ok(moved) = check(&facts, *role, *action) {
                    prop_assert!(!moved.to.is_empty());
                    prop_assert!(moved.to.iter().all(|to| moved.rule.to.contains(Some(*to))));
                }
            }
        }
    }

    #[test]
    fn the_admin_may_whatever_the_coordinator_may_now(facts in any_facts()) {
        for action in JobAction::ALL {
            if check(&facts, Role::Coordinator, *action).is_ok() {
                prop_assert!(check(&facts, Role::Admin, *action).is_ok());
            }
        }
    }

    #[test]
    fn boards_players_and_referees_do_nothing_to_a_job(facts in any_facts()) {
        for role in [Role::Board, Role::PlayerLink, Role::Referee, Role::Accounts] {
            prop_assert_eq!(names(&facts, role), []);
        }
    }

    #[test]
    fn only_an_admin_moves_what_is_out_beyond_undo_and_recall(mut facts in any_facts()) {
        facts.state = Some(JobState::Out);
        for role in WORKERS {
            for action in names(&facts, role) {
                let named = [JobAction::UndoHandOut, JobAction::Recall, JobAction::Correct];
                prop_assert!(named.contains(&action), "{} may {}", role, action);
            }
        }
    }
}

#[test]
fn a_waiting_job_offers_the_stringer_its_start() {
    let facts = JobFacts::in_state(JobState::Waiting);
    assert_eq!(
        names(&facts, Role::Stringer),
        [JobAction::Assign, JobAction::Start]
    );
}

#[test]
fn what_stands_in_the_way_of_a_start_is_told_apart() {
    let free = JobFacts::in_state(JobState::Assigned);
    let start = |facts| refused(&facts, Role::Stringer, JobAction::Start);
    assert_eq!(start(JobFacts { held: true, ..free }), Code::Held);
    assert_eq!(
        start(JobFacts {
            station_busy: true,
            ..free
        }),
        Code::StationBusy
    );
    assert_eq!(
        start(JobFacts {
            machine_cleared: false,
            ..free
        }),
        Code::MachineNotCleared
    );
    let unread = JobFacts {
        spec_changed_unacknowledged: true,
        ..free
    };
    assert_eq!(start(unread), Code::SpecChangedUnacknowledged);
    let moved = check(&free, Role::Stringer, JobAction::Start).unwrap();
    assert_eq!(moved.to, [JobState::OnMachine]);
}

#[test]
fn the_desk_cancels_until_the_racket_is_on_the_machine() {
    for state in [JobState::Expected, JobState::Waiting, JobState::Assigned] {
        let moved = check(&JobFacts::in_state(state), Role::Desk, JobAction::Cancel).unwrap();
        assert_eq!(moved.to, [JobState::Cancelled]);
    }
    for state in [JobState::OnMachine, JobState::Checking] {
        let facts = JobFacts::in_state(state);
        let refusal = check(&facts, Role::Desk, JobAction::Cancel).unwrap_err();
        assert_eq!(
            (refusal.kind.as_str(), refusal.code),
            ("not_your_role", Code::CoordinatorOnly)
        );
        assert!(check(&facts, Role::Coordinator, JobAction::Cancel).is_ok());
        assert!(check(&facts, Role::Admin, JobAction::Cancel).is_ok());
    }
}

#[test]
fn the_desk_rushes_for_a_player_on_court_alone() {
    let facts = JobFacts::in_state(JobState::Waiting);
    assert!(check_rush(&facts, Role::Desk, RushLevel::Court).is_ok());
    assert_eq!(
        check_rush(&facts, Role::Desk, RushLevel::Rush).unwrap_err().code,
        Code::CourtOnly
    );
    assert!(check_rush(&facts, Role::Coordinator, RushLevel::Rush).is_ok());
    assert!(check_rush(&facts, Role::Admin, RushLevel::Rush).is_ok());
    assert_eq!(
        check_rush(&facts, Role::Stringer, RushLevel::Court)
            .unwrap_err()
            .code,
        Code::NotYourRole
    );
}

#[test]
fn a_phase_is_taken_back_within_a_minute() {
    let tapped = |since| JobFacts {
        phase: Some(JobPhase::Mounted),
        since_phase_s: since,
        ..JobFacts::in_state(JobState::OnMachine)
    };
    assert!(check(&tapped(Some(60)), Role::Stringer, JobAction::UndoPhase).is_ok());
    assert_eq!(
        refused(&tapped(Some(61)), Role::Stringer, JobAction::UndoPhase),
        Code::TooLateToUndo
    );
    assert_eq!(
        refused(&tapped(None), Role::Stringer, JobAction::UndoPhase),
        Code::NothingToUndo
    );
}

#[test]
fn a_hand_out_is_taken_back_within_ten_minutes_and_only_if_it_went_out_strung() {
    let out = JobFacts {
        since_out_s: Some(600),
        ..JobFacts::in_state(JobState::Out)
    };
    assert_eq!(
        check(&out, Role::Desk, JobAction::UndoHandOut).unwrap().to,
        [JobState::Ready]
    );
    let late = JobFacts {
        since_out_s: Some(601),
        ..out
    };
    assert_eq!(
        refused(&late, Role::Desk, JobAction::UndoHandOut),
        Code::TooLateToUndo
    );
    let unstrung = JobFacts {
        outcome: Some(Outcome::Unstrung),
        ..out
    };
    assert_eq!(
        refused(&unstrung, Role::Desk, JobAction::UndoHandOut),
        Code::NotHandedOutStrung
    );
}

#[test]
fn a_racket_that_is_not_here_cannot_be_given_back() {
    let absent = JobFacts::in_state(JobState::Expected);
    assert_eq!(
        refused(&absent, Role::Desk, JobAction::GiveBack),
        Code::RacketNotHere
    );
    let here = JobFacts {
        racket_here: true,
        ..absent
    };
    assert_eq!(
        check(&here, Role::Desk, JobAction::GiveBack).unwrap().to,
        [JobState::Out]
    );
    let ended = JobFacts {
        racket_here: false,
        ..JobFacts::in_state(JobState::Cancelled)
    };
    assert_eq!(
        refused(&ended, Role::Desk, JobAction::Return),
        Code::RacketNotHere
    );
}

#[test]
fn pausing_and_holding_are_ended_only_where_they_began() {
    let working = JobFacts::in_state(JobState::OnMachine);
    assert!(check(&working, Role::Stringer, JobAction::Pause).is_ok());
    assert_eq!(
        refused(&working, Role::Stringer, JobAction::Resume),
        Code::NotPaused
    );
    assert_eq!(refused(&working, Role::Desk, JobAction::Release), Code::NotHeld);
    assert_eq!(
        refused(&working, Role::Coordinator, JobAction::Unrush),
        Code::NotRushed
    );
    assert_eq!(
        refused(&working, Role::Stringer, JobAction::Acknowledge),
        Code::NothingToAcknowledge
    );
    let paused = JobFacts {
        paused: true,
        ..working
    };
    assert_eq!(
        refused(&paused, Role::Stringer, JobAction::Pause),
        Code::AlreadyPaused
    );
    assert!(check(&paused, Role::Stringer, JobAction::Resume).is_ok());
}

#[test]
fn a_job_is_finished_when_tied_off_and_passes_when_checked() {
    let working = JobFacts::in_state(JobState::OnMachine);
    assert_eq!(
        refused(&working, Role::Stringer, JobAction::Finish),
        Code::NotTiedOff
    );
    let tied = JobFacts {
        phase: Some(JobPhase::TiedOff),
        ..working
    };
    assert!(check(&tied, Role::Stringer, JobAction::Finish).is_ok());
    assert_eq!(
        refused(&tied, Role::Stringer, JobAction::Phase),
        Code::NoPhaseLeft
    );
    let strung = JobFacts::in_state(JobState::Checking);
    assert_eq!(
        refused(&strung, Role::Stringer, JobAction::Pass),
        Code::CheckMissing
    );
    let checked = JobFacts {
        check_recorded: true,
        ..strung
    };
    assert_eq!(
        check(&checked, Role::Desk, JobAction::Pass).unwrap().to,
        [JobState::Ready]
    );
    assert_eq!(
        refused(
            &JobFacts {
                held: true,
                ..checked
            },
            Role::Desk,
            JobAction::Pass
        ),
        Code::Held
    );
}

#[test]
fn a_recall_takes_a_ready_racket_back_to_the_check_and_leaves_the_others_where_they_are() {
    let to = |state| {
        check(&JobFacts::in_state(state), Role::System, JobAction::Recall)
            .unwrap()
            .to
    };
    assert_eq!(to(JobState::Ready), [JobState::Checking]);
    for state in [JobState::OnMachine, JobState::Checking, JobState::Out] {
        assert_eq!(to(state), [state]);
    }
}

#[test]
fn a_refusal_by_state_says_where_the_job_is_and_where_it_would_have_to_be() {
    let refusal = check(
        &JobFacts::in_state(JobState::Ready),
        Role::Stringer,
        JobAction::Start,
    )
    .unwrap_err();
    assert_eq!(
        refusal.sentence,
        "The job is ready. Start is for a job that is waiting or assigned."
    );
    let refusal = check(&JobFacts::no_job_yet(), Role::Desk, JobAction::HandOut).unwrap_err();
    assert_eq!(
        refusal.sentence,
        "There is no job yet. Hand out is for a job that is ready."
    );
    let refusal = check(
        &JobFacts::in_state(JobState::Waiting),
        Role::Desk,
        JobAction::Announce,
    )
    .unwrap_err();
    assert_eq!(refusal.sentence, "There is a job already; it is waiting.");
}
