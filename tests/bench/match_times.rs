//! Match times: a whole day rebuilt, one event, a live score, each against its baseline in the same run.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark prints, and stops where it cannot measure"
)]
use std::hint::black_box;
use std::time::{Duration, Instant};

use chrono::{DateTime, TimeDelta, Utc};
use weftdesk::craft::chance::Chance;
use weftdesk::craft::match_times::day_plan::DayPlan;
use weftdesk::craft::match_times::day_state::{DayState, Ended, Outcome};
use weftdesk::craft::match_times::forecast::{forecast, update};
use weftdesk::craft::match_times::joint_day::joint_day;
use weftdesk::craft::match_times::length::{Chances, Lengths};
use weftdesk::craft::match_times::live::remaining;
use weftdesk::craft::match_times::score::LiveScore;
use weftdesk::forms::order_of_play::{Known, read};

const COURTS: usize = 20;
const MATCHES: usize = 12;
const PATHS: usize = 10_000;

/// Twenty courts of twelve matches, best of three, each after the other from ten o'clock.
fn day() -> String {
    let mut text = String::from("day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n");
    for court in 1..=COURTS {
        for seq in 1..=MATCHES {
            let start = if seq == 1 {
                "starting_at,10:00"
            } else {
                "followed_by,"
            };
            text += &format!(
                "2026-05-02,C{court},{seq},M{court}-{seq},MS,bo3_tb,{start},A{court}-{seq},B{court}-{seq}\n"
            );
        }
    }
    text
}

/// The median of many runs.
fn median(runs: usize, mut work: impl FnMut()) -> Duration {
    work();
    let mut taken: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    taken.sort_unstable();
    taken[runs / 2]
}

fn say(what: &str, taken: Duration, reach_ms: f64) {
    let ms = taken.as_secs_f64() * 1000.0;
    println!(
        "{what}: {ms:.3} ms (reach {reach_ms} ms, {:.2} of it)",
        ms / reach_ms
    );
}

fn main() {
    let known = Known {
        zone: Some(chrono_tz::UTC),
        ..Known::default()
    };
    let order = read(&day(), &known).expect("the day is sound").order;
    let mut lengths = Lengths::default();
    let start = Instant::now();
    let plan = DayPlan::new(order, Chances::default(), &mut lengths);
    println!(
        "one table of lengths, computed once and kept: {:.0} ms",
        start.elapsed().as_secs_f64() * 1000.0
    );

    let planned = DayState::default();
    let rebuild = median(30, || {
        drop(black_box(forecast(&plan, &planned, None, &mut lengths)))
    });
    say("full rebuild, 20 courts x 12 matches", rebuild, 5.0);
    let times = forecast(&plan, &planned, None, &mut lengths);
    let mut chance = Chance::from_seed(1);
    let drawn = median(5, || {
        drop(black_box(joint_day(
            &plan,
            &planned,
            None,
            &times,
            &mut lengths,
            PATHS,
            &mut chance,
        )));
    });
    println!(
        "Monte Carlo of {PATHS} paths of the same day: {:.1} ms, {:.1} times the rebuild",
        drawn.as_secs_f64() * 1000.0,
        drawn.as_secs_f64() / rebuild.as_secs_f64()
    );

    one_event(&plan, &mut lengths);
    live_score(&plan);
}

fn one_event(plan: &DayPlan, lengths: &mut Lengths) {
    let now: DateTime<Utc> = "2026-05-02T12:00:00Z".parse().expect("a time");
    let mut state = DayState::default();
    let ended = |at: DateTime<Utc>| {
        Some(Ended {
            at,
            how: Outcome::Completed,
            winner: Some(1),
            inferred: false,
        })
    };
    state.matches.entry("M1-1".to_owned()).or_default().ended = ended(now);
    let mut times = forecast(plan, &state, Some(now), lengths);
    let mut minutes = 0;
    let event = median(200, || {
        minutes = (minutes + 1) % 6;
        state.matches.entry("M1-1".to_owned()).or_default().ended = ended(now - TimeDelta::minutes(minutes));
        update(&mut times, "C1", plan, &state, Some(now), lengths);
    });
    say("one event on one court", event, 0.5);
}

fn live_score(plan: &DayPlan) {
    let kind = weftdesk::craft::match_times::length::MatchKind {
        format: weftdesk::craft::match_times::format::named("bo5_tb").expect("a named format"),
        ..plan.kinds[0]
    };
    let score = LiveScore {
        sets: vec![[6, 4]],
        games: [2, 1],
        points: [2, 0],
        server: Some(2),
        first_server: Some(1),
    };
    let live = median(50, || drop(black_box(remaining(&kind, &score, Some(2400.0)))));
    say("a live score, best of five", live, 5.0);
}
