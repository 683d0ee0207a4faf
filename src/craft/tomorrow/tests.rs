use std::collections::BTreeMap;

use proptest::prelude::*;

use super::draw::{ExpectedDay, WaitingRacket};
use super::habits::{Habit, RacketKind, StringAsked, learned_per_match, usual_per_match};
use crate::dispatch::file::Arrival;
use crate::dispatch::problem::{Attributes, Clamp, Station};
use crate::match_times::court_chain::Handover;
use crate::match_times::day_plan::DayPlan;
use crate::match_times::day_state::DayState;
use crate::match_times::forecast::forecast;
use crate::match_times::format::named;
use crate::match_times::length::{Chances, Lengths};
use crate::match_times::order::{Court, DayDefaults, Entrant, Match, OrderOfPlay, Start, StartRule};
use crate::match_times::tempo::Surface;
use crate::match_times::who_plays::who_plays;
use crate::rehearse::staffing;
use crate::sport::Sport;

fn a_match(id: &str, seq: u16, start: &str, sides: [Vec<Entrant>; 2]) -> Match {
    let time = start.parse().ok();
    Match {
        id: id.to_owned(),
        court: "C1".to_owned(),
        seq,
        sport: Sport::Tennis,
        draw: "MS".to_owned(),
        round: String::new(),
        format_name: Some("bo3_tb".to_owned()),
        format: named("bo3_tb").unwrap(),
        start: Start {
            rule: if time.is_some() {
                StartRule::NotBefore
            } else {
                StartRule::FollowedBy
            },
            time,
        },
        sides,
        rest_min: Some(30),
        after: Vec::new(),
        note: String::new(),
        mix: None,
        carried: None,
    }
}

fn player(name: &str) -> Vec<Entrant> {
    vec![Entrant::Player(name.to_owned())]
}

/// Two matches on one court, the second with a player who is not decided.
fn expected() -> ExpectedDay {
    let order = OrderOfPlay {
        tournament: "demo".to_owned(),
        zone: chrono_tz::UTC,
        day: "2026-05-02".parse().unwrap(),
        version: 1,
        defaults: DayDefaults {
            handover: Handover::default(),
            rest_min: 30,
        },
        courts: vec![Court {
            id: "C1".to_owned(),
            label: "C1".to_owned(),
            surface: Surface::Hard,
            covered: false,
            opens: None,
            closes: None,
        }],
        matches: vec![
            a_match("M1", 1, "11:00", [player("P1"), player("P2")]),
            a_match("M2", 2, "15:00", [player("P3"), vec![Entrant::ToBeDecided]]),
        ],
    };
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(order, Chances::NONE, &mut lengths);
    let state = DayState::default();
    let times = forecast(&plan, &state, None, &mut lengths);
    ExpectedDay {
        plays: (0..2)
            .map(|place| who_plays(&plan.order, &times, place))
            .collect(),
        times,
        state,
        stations: vec![Station {
            id: 0,
            clamp: Clamp::Glide,
            pace: 1000,
            windows: Vec::new(),
            loaded: None,
            first: Vec::new(),
        }],
        opens_s: 27_000,
        habits: BTreeMap::new(),
        waiting: Vec::new(),
        strings: 1,
        plan,
    }
}

fn kind() -> RacketKind {
    RacketKind {
        base_s: 900,
        swivel: true,
        needs: Attributes {
            main: 1,
            cross: 1,
            pattern: 1,
            mount: 1,
            tension: 1,
        },
        strings: vec![StringAsked {
            string: 0,
            length_mm: 12_000,
        }],
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn mean(counts: impl ExactSizeIterator<Item = usize>) -> f64 {
    let days = counts.len() as f64;
    counts.sum::<usize>() as f64 / days
}

/// The mean of one and a Poisson number of 1.5 more, for three named players and one to be decided.
#[test]
fn players_who_are_not_known_bring_what_players_usually_bring() {
    let drawn = expected().draw(2_000, 3);
    let rackets = mean(drawn.trials.iter().map(|trial| trial.day.problem.jobs.len()));
    // four players; the standard error of the mean is 0.055
    assert!((rackets - 4.0 * usual_per_match(false)).abs() < 0.22, "{rackets}");
    let on_court = drawn.trials.iter().flat_map(|trial| &trial.day.arrivals);
    let shares = on_court
        .clone()
        .filter(|one| matches!(one, Arrival::OnCourt { .. }))
        .count();
    let share = mean([shares].into_iter()) / mean([on_court.count()].into_iter());
    assert!((share - 0.05).abs() < 0.01, "{share}");
    assert_eq!(drawn.of_unknown_string[0], drawn.trials[0].day.problem.jobs.len());
}

#[test]
fn a_match_starts_no_sooner_than_its_rule_says_and_rackets_are_due_before_it() {
    for trial in expected().draw(200, 5).trials {
        assert!(trial.world.courts[0][1].start_s >= 15.0 * 3600.0);
        assert!(trial.world.courts[0][1].start_s >= trial.world.courts[0][0].start_s + 1800.0);
        for (job, arrival) in trial.day.arrivals.iter().enumerate() {
            if let Arrival::BeforeMatch { number, lead, .. } = arrival {
                #[expect(clippy::cast_possible_truncation, reason = "whole minutes")]
                let start = trial.world.courts[0][*number].start_s as i64;
                assert_eq!(trial.world.due[job], start - lead);
                assert!(trial.world.release[job] >= trial.day.problem.t0);
            }
        }
    }
}

#[test]
fn what_waits_already_is_part_of_what_its_player_brings_and_takes_their_string() {
    let mut expected = expected();
    let habit = Habit {
        per_match: Some(0.0),
        kinds: vec![kind()],
        home: Some(0),
    };
    for name in ["P1", "P2", "P3"] {
        expected.habits.insert(name.to_owned(), habit.clone());
    }
    expected.habits.insert(
        "P1".to_owned(),
        Habit {
            per_match: Some(1.0),
            ..habit
        },
    );
    expected.waiting = vec![WaitingRacket {
        player: "P1".to_owned(),
        kind: kind(),
        due_s: 36_000,
    }];
    let drawn = expected.draw(50, 1);
    for (trial, asked) in drawn.trials.iter().zip(&drawn.asked_mm) {
        let of_first = trial
            .day
            .arrivals
            .iter()
            .filter(|one| **one == Arrival::Known)
            .count();
        assert_eq!(of_first, 1, "the racket that waits");
        // all others are of the player to be decided, of anybody's kind
        let all = i64::try_from(trial.day.problem.jobs.len()).unwrap();
        assert_eq!(asked[0], 12_000 * all);
        assert!(
            trial.day.problem.jobs.iter().all(|job| !job.swivel),
            "nobody has swivel clamps"
        );
    }
}

#[test]
fn a_players_own_days_count_against_two_usual_ones() {
    assert!((learned_per_match(0.0, 0.0) - 2.5).abs() < 1e-12);
    assert!((learned_per_match(4.0, 1.0) - 3.0).abs() < 1e-12);
    assert!((learned_per_match(40.0, 10.0) - 45.0 / 12.0).abs() < 1e-12);
}

#[test]
fn a_drawn_day_is_played_with_any_number_of_stations() {
    let drawn = expected().draw(6, 2);
    let found = staffing(&drawn.trials, 20, &mut || true);
    assert_eq!((found.repetitions, found.planned), (6, 1));
    let numbers: Vec<usize> = found.staffed.iter().map(|one| one.stations).collect();
    assert_eq!(numbers, [1, 2, 3]);
    let worked: f64 = found.half_hours.iter().map(|one| one.busy).sum::<f64>() * 1800.0;
    let blocks = mean(drawn.trials.iter().map(|trial| trial.day.problem.jobs.len())) * found.block_s;
    assert!((worked / blocks - 1.0).abs() < 0.3, "{worked} {blocks}");
    let stopped = staffing(&drawn.trials, 20, &mut || false);
    assert_eq!(stopped.repetitions, 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    /// As told, by definition of what a desk may do with a station; as played with every station
    /// used, up to the small disorder that another order of work brings.
    #[test]
    fn more_staff_never_gives_fewer_on_time(seed in 0..10_000_u64, stations in 1..5_usize, each in 2.0..9.0_f64) {
        let mut expected = expected();
        let one = expected.stations[0].clone();
        expected.stations = vec![one; stations];
        for name in ["P1", "P2", "P3"] {
            let habit = Habit { per_match: Some(each), ..Habit::default() };
            expected.habits.insert(name.to_owned(), habit);
        }
        let found = staffing(&expected.draw(3, seed).trials, 6, &mut || true);
        for pair in found.staffed.windows(2) {
            let (fewer, more) = (&pair[0], &pair[1]);
            prop_assert!(fewer.ready_percent.mean <= more.ready_percent.mean, "{pair:?}");
            prop_assert!(more.late.mean <= fewer.late.mean, "{pair:?}");
            prop_assert!(fewer.all_used_percent <= more.all_used_percent + 6.0, "{pair:?}");
        }
    }
}
