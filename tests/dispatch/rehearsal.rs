//! A whole uncertain day, the live dispatcher against the plain rules.
use weftdesk::craft::dispatch::baselines::Rule;
use weftdesk::craft::dispatch::file::{self, Day};
use weftdesk::craft::rehearse::{Dispatcher, Live, Plain, Report, World, play, rehearse, with_stations};

use crate::document;

fn day(name: &str) -> Day {
    file::day(&document(&format!("days/{name}.json"))).unwrap()
}

fn reports(day: &Day, repeat: u64, rounds: u64) -> Vec<Report> {
    let mut fresh = |name: &str, repetition: u64| -> Box<dyn Dispatcher> {
        match name {
            "edd" => Box::new(Plain::new(Rule::Edd)),
            _ => Box::new(Live::new(rounds, repetition)),
        }
    };
    rehearse(day, &["edd", "live"], repeat, 1, &mut fresh, &mut || true).unwrap()
}

#[test]
fn the_live_dispatcher_is_not_worse_than_earliest_due_first() {
    let reports = reports(&day("mid-1"), 2, 60);
    let [edd, live] = &reports[..] else {
        panic!("two reports")
    };
    assert!(
        live.weighted_tardiness_min.mean <= edd.weighted_tardiness_min.mean,
        "{reports:?}"
    );
    assert!(live.cost_millions.mean <= edd.cost_millions.mean, "{reports:?}");
}

#[test]
fn a_world_follows_from_seed_and_repetition_and_is_the_same_for_all() {
    let day = day("small-1");
    assert_eq!(World::draw(&day, 4, 2), World::draw(&day, 4, 2));
    assert_ne!(World::draw(&day, 4, 2), World::draw(&day, 4, 3));
    let world = World::draw(&day, 4, 2);
    for court in &world.courts {
        assert!(court.iter().all(|played| played.length_s >= 1800.0));
        assert!(
            court
                .windows(2)
                .all(|pair| pair[1].start_s > pair[0].start_s + pair[0].length_s)
        );
    }
    let once = play(&day, &world, &mut Live::new(20, 1));
    assert_eq!(once, play(&day, &world, &mut Live::new(20, 1)));
}

#[test]
fn every_racket_is_strung_once_after_it_came_and_stations_do_one_at_a_time() {
    let day = day("mid-3");
    let world = World::draw(&day, 9, 0);
    let outcome = play(&day, &world, &mut Plain::new(Rule::Atcs));
    let mut by_station = vec![Vec::new(); day.problem.stations.len()];
    for job in 0..outcome.jobs {
        assert!(outcome.completion[job] > world.release[job], "job {job}");
        by_station[outcome.station[job]].push((outcome.completion[job], job));
    }
    for ends in &mut by_station {
        ends.sort_unstable();
        for pair in ends.windows(2) {
            #[expect(clippy::cast_precision_loss, reason = "seconds")]
            let stringing = day.problem.jobs[pair[1].1].base as f64 * world.factors[pair[1].1] * 0.8;
            #[expect(clippy::cast_precision_loss, reason = "seconds")]
            let between = (pair[1].0 - pair[0].0) as f64;
            assert!(between > stringing * 0.9, "two at once: {pair:?}");
        }
    }
}

#[test]
fn a_day_may_be_rehearsed_with_fewer_and_with_more_stations() {
    let day = day("small-1");
    let shares: Vec<f64> = [2, 3, 5]
        .iter()
        .map(|count| {
            let staffed = with_stations(&day, *count);
            assert_eq!(staffed.problem.stations.len(), *count);
            reports(&staffed, 2, 30)[1].ready_percent.mean
        })
        .collect();
    assert!(shares[0] <= shares[1] && shares[1] <= shares[2], "{shares:?}");
}
