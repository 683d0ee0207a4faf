//! Optima and best values that are known from elsewhere; see the README beside the data.
use serde_json::Value;
use weftdesk::craft::dispatch::checker::check;
use weftdesk::craft::dispatch::problem::Problem;
use weftdesk::craft::dispatch::schedule::{Op, Schedule};
use weftdesk::craft::dispatch::solver::Search;

use crate::{data, instance};

fn best_values() -> Value {
    serde_json::from_str(&std::fs::read_to_string(data("dev/best.json")).unwrap()).unwrap()
}

fn searched(problem: &Problem, seed: u64, rounds: u64) -> i64 {
    let mut search = Search::new(problem, seed);
    search.anneal(rounds, &mut || true);
    let verdict = check(problem, &search.best().schedule());
    assert_eq!(verdict.breaches, []);
    assert_eq!(verdict.figures.cost, search.best_cost());
    search.best_cost()
}

#[test]
fn the_examples_reach_the_optimum_that_trying_all_finds() {
    for name in ["e1-four-jobs", "e3-two-stations"] {
        let problem = instance(&format!("examples/{name}.json"));
        let optimal: Value = serde_json::from_str(
            &std::fs::read_to_string(data(&format!("examples/{name}.opt.json"))).unwrap(),
        )
        .unwrap();
        let number = |op: &Value, member: &str| op[member].as_i64().unwrap();
        let ops = optimal["ops"].as_array().unwrap().iter().map(|op| Op {
            job: usize::try_from(number(op, "job")).unwrap(),
            station: usize::try_from(number(op, "station")).unwrap(),
            start: number(op, "start"),
            end: number(op, "end"),
        });
        let verdict = check(&problem, &Schedule { ops: ops.collect() });
        assert_eq!(verdict.breaches, [], "{name}");
        for seed in 1..=3 {
            assert_eq!(
                searched(&problem, seed, 1000),
                verdict.figures.cost,
                "{name} seed {seed}"
            );
        }
    }
}

#[test]
fn the_two_proved_instances_reach_their_optimum() {
    let best = best_values();
    for (name, rounds) in [("d1-small12", 50_000), ("d2-small16", 10_000)] {
        let problem = instance(&format!("dev/{name}.json"));
        for seed in 1..=3 {
            let cost = searched(&problem, seed, rounds);
            assert_eq!(Some(cost), best[name]["cost"].as_i64(), "{name} seed {seed}");
        }
    }
}

#[test]
fn live_snapshots_come_within_one_percent_and_nothing_beats_a_lower_bound() {
    let best = best_values();
    for name in ["d3-small28", "d6-midsnap", "d8-peaksnap"] {
        let problem = instance(&format!("dev/{name}.json"));
        let cost = searched(&problem, 1, 6000);
        let (known, bound) = (
            best[name]["cost"].as_i64().unwrap(),
            best[name]["lower_bound"].as_i64().unwrap(),
        );
        assert!(cost >= bound, "{name}: {cost} is below the lower bound {bound}");
        assert!(100 * cost <= 101 * known, "{name}: {cost} against {known}");
    }
}
