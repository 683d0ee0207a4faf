use super::super::court_chain::Handover;
use super::super::day_state::{Ended, Outcome};
use super::super::format::named;
use super::super::joint_day::joint_day;
use super::super::length::Chances;
use super::super::order::{Court, DayDefaults, Entrant, Match, OrderOfPlay, Start, StartRule};
use super::super::tempo::Surface;
use super::super::venue_time::at_minute;
use super::*;
use crate::chance::Chance;
use crate::sport::Sport;

fn court(id: &str, covered: bool) -> Court {
    Court {
        id: id.to_owned(),
        label: id.to_owned(),
        surface: Surface::Hard,
        covered,
        opens: None,
        closes: None,
    }
}

fn a_match(id: &str, court: &str, seq: u16, start: &str) -> Match {
    let time = start.parse().ok();
    Match {
        id: id.to_owned(),
        court: court.to_owned(),
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
        sides: [
            vec![Entrant::Player(format!("{id}a"))],
            vec![Entrant::Player(format!("{id}b"))],
        ],
        rest_min: Some(30),
        after: Vec::new(),
        note: String::new(),
        mix: None,
        carried: None,
    }
}

fn order(matches: Vec<Match>) -> OrderOfPlay {
    OrderOfPlay {
        tournament: "demo".to_owned(),
        zone: chrono_tz::UTC,
        day: "2026-05-02".parse().unwrap(),
        version: 1,
        defaults: DayDefaults {
            handover: Handover::default(),
            rest_min: 30,
        },
        courts: vec![court("C1", false), court("C2", false), court("C3", true)],
        matches,
    }
}

fn minute(text: &str) -> i64 {
    let at: DateTime<Utc> = format!("2026-05-02T{text}:00Z").parse().unwrap();
    minute_of(at)
}

/// A court of twelve, and a final after two semi-finals on the other courts.
fn full_day() -> OrderOfPlay {
    let mut matches: Vec<Match> = (1..=12_u16)
        .map(|seq| {
            a_match(
                &format!("M{seq}"),
                "C1",
                seq,
                if seq == 1 {
                    "07:00"
                } else if seq == 4 {
                    "13:00"
                } else {
                    ""
                },
            )
        })
        .collect();
    matches.push(a_match("S1", "C2", 1, "09:00"));
    matches.push(a_match("S2", "C3", 1, "09:30"));
    let mut last = a_match("F", "C3", 2, "");
    last.sides = [
        vec![Entrant::WinnerOf("S1".to_owned())],
        vec![Entrant::WinnerOf("S2".to_owned())],
    ];
    last.rest_min = Some(60);
    matches.push(last);
    order(matches)
}

#[test]
fn the_grid_agrees_with_a_seeded_monte_carlo_over_twelve_matches() {
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(full_day(), Chances::default(), &mut lengths);
    let state = DayState::default();
    let times = forecast(&plan, &state, None, &mut lengths);
    let paths = 60_000;
    let drawn = joint_day(
        &plan,
        &state,
        None,
        &times,
        &mut lengths,
        paths,
        &mut Chance::from_seed(20_260_502),
    );
    for (place, mut walk_ons) in drawn.walk_on.into_iter().enumerate() {
        walk_ons.sort_unstable();
        for (share, alpha) in [(5, 0.05), (50, 0.5), (95, 0.95)] {
            let drawn = walk_ons[paths * share / 100 - 1];
            let computed = times[place].walk_on.quantile(alpha);
            let id = &plan.order.matches[place].id;
            assert!(
                (computed - drawn).abs() <= 1,
                "{id} at {alpha}: {computed} on the grid, {drawn} drawn"
            );
        }
    }
}

#[test]
fn a_final_after_two_matches_of_one_court_waits_for_the_later_one_alone() {
    let mut matches = vec![a_match("S1", "C1", 1, "09:00"), a_match("S2", "C1", 2, "")];
    let mut last = a_match("F", "C2", 1, "");
    last.after = vec!["S1".to_owned(), "S2".to_owned()];
    matches.push(last);
    let plan = DayPlan::new(order(matches), Chances::NONE, &mut Lengths::default());
    assert_eq!(plan.waits[2].iter().map(|wait| wait.on).collect::<Vec<_>>(), [1]);
}

#[test]
fn a_match_after_its_own_players_on_the_same_court_waits_for_rest_or_turnaround_once() {
    let mut second = a_match("M2", "C1", 2, "");
    second.sides[0] = vec![Entrant::WinnerOf("M1".to_owned())];
    let plan = DayPlan::new(
        order(vec![a_match("M1", "C1", 1, "09:00"), second]),
        Chances::NONE,
        &mut Lengths::default(),
    );
    let times = forecast(&plan, &DayState::default(), None, &mut Lengths::default());
    let gap = times[1].walk_on.mean() - times[0].last_point.mean();
    assert!((gap - 30.0).abs() < 0.01, "{gap}");
}

#[test]
fn rain_moves_the_stopped_courts_and_leaves_the_covered_one() {
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(full_day(), Chances::default(), &mut lengths);
    let started = |id: &str, state: &mut DayState| {
        state.matches.entry(id.to_owned()).or_default().started_at = Some(at_minute(minute("09:40")));
    };
    let mut dry = DayState::default();
    for id in ["M1", "S1", "S2"] {
        started(id, &mut dry);
    }
    let mut wet = dry.clone();
    for court in ["C1", "C2"] {
        wet.stops.push(Stop {
            court: court.to_owned(),
            from: at_minute(minute("10:00")),
            until: None,
            expected: None,
            reason: "rain".to_owned(),
        });
    }
    let now = Some(at_minute(minute("10:10")));
    let before = forecast(&plan, &dry, now, &mut lengths);
    let after = forecast(&plan, &wet, now, &mut lengths);
    let median = |times: &MatchTimes| times.walk_on.quantile(0.5);
    let place = |id: &str| plan.order.places()[id];
    assert!(median(&after[place("M2")]) > median(&before[place("M2")]) + 40);
    assert!(
        median(&after[place("F")]) > median(&before[place("F")]),
        "the final waits for a stopped semi-final"
    );
    assert_eq!(after[place("S2")], before[place("S2")]);
    // after the restart at 10:40: forty minutes lost, five of warm-up
    for stop in &mut wet.stops {
        stop.until = Some(at_minute(minute("10:40")));
    }
    let resumed = forecast(&plan, &wet, Some(at_minute(minute("10:41"))), &mut lengths);
    let late = median(&resumed[place("M2")]) - median(&before[place("M2")]);
    assert!((44..=47).contains(&late), "{late}");
}

#[test]
fn one_event_updates_what_a_full_rebuild_gives() {
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(full_day(), Chances::default(), &mut lengths);
    let now = Some(at_minute(minute("10:30")));
    let mut state = DayState::default();
    let mut times = forecast(&plan, &state, now, &mut lengths);
    state.matches.entry("S1".to_owned()).or_default().ended = Some(Ended {
        at: at_minute(minute("10:30")),
        how: Outcome::Retired,
        winner: Some(2),
        inferred: false,
    });
    update(&mut times, "C2", &plan, &state, now, &mut lengths);
    assert_eq!(times, forecast(&plan, &state, now, &mut lengths));
}

#[test]
fn a_walkover_lets_the_next_match_begin_but_not_before_its_time() {
    let mut lengths = Lengths::default();
    let order = order(vec![
        a_match("M1", "C1", 1, "09:00"),
        a_match("M2", "C1", 2, "10:00"),
        a_match("M3", "C1", 3, ""),
    ]);
    let plan = DayPlan::new(order, Chances::NONE, &mut lengths);
    let mut state = DayState::default();
    state.matches.entry("M1".to_owned()).or_default().ended = Some(Ended {
        at: at_minute(minute("08:50")),
        how: Outcome::Walkover,
        winner: Some(1),
        inferred: false,
    });
    let times = forecast(&plan, &state, Some(at_minute(minute("09:00"))), &mut lengths);
    assert_eq!(*times[1].walk_on, Distribution::certain(minute("10:00")));
    assert!(times[2].walk_on.first() > minute("10:15"));
}
