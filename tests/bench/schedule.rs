//! Search against the best values known and against earliest-due-first: gaps in one run, one thread.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark prints, and stops where it cannot set up"
)]
use std::time::{Duration, Instant};

use weftdesk::craft::dispatch::baselines::{Rule, Scales, list_schedule};
use weftdesk::craft::dispatch::checker::check;
use weftdesk::craft::dispatch::file;
use weftdesk::craft::dispatch::problem::Problem;
use weftdesk::craft::dispatch::solver::Search;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/dispatch/dev");
const SEEDS: u64 = 3;
const BUDGETS_MS: [u64; 6] = [5, 10, 20, 50, 100, 1000];

fn main() {
    let best: serde_json::Value = read("best.json");
    println!("gap to the best cost known in per cent, mean of {SEEDS} seeds; rounds in brackets");
    for name in [
        "d1-small12",
        "d2-small16",
        "d3-small28",
        "d4-smallday",
        "d5-shopday",
        "d6-midsnap",
        "d8-peaksnap",
    ] {
        let document = read(&format!("{name}.json"));
        let problem = file::instance(&document).expect("a sound instance");
        let known = best[name]["cost"].as_i64().expect("a best value");
        let edd = list_schedule(&problem, Rule::Edd, Scales::default());
        let edd = Search::from_sequences(&problem, 1, &edd).best_cost();
        print!("{name:<12} edd {:+.1}", gap(edd, known));
        for budget in BUDGETS_MS {
            let mut sum = 0.0;
            let mut rounds = 0;
            for seed in 1..=SEEDS {
                let (cost, done) = within(&problem, seed, Duration::from_millis(budget));
                sum += gap(cost, known);
                rounds += done;
            }
            print!("  {budget} ms {:+.2} ({})", sum / SEEDS as f64, rounds / SEEDS);
        }
        println!();
    }
}

fn read<T: serde::de::DeserializeOwned>(name: &str) -> T {
    let text = std::fs::read_to_string(format!("{DATA}/{name}")).expect("the data");
    serde_json::from_str(&text).expect("JSON")
}

fn gap(cost: i64, known: i64) -> f64 {
    100.0 * (cost as f64 / known as f64 - 1.0)
}

/// As `weftdesk schedule --budget-ms`: cools down over the time there is.
fn within(problem: &Problem, seed: u64, budget: Duration) -> (i64, u64) {
    let began = Instant::now();
    let mut search = Search::new(problem, seed);
    let before = began.elapsed();
    let left = budget.saturating_sub(before).as_secs_f64();
    let done = search.anneal_until_spent(&mut || (began.elapsed() - before).as_secs_f64() / left);
    let verdict = check(problem, &search.best().schedule());
    assert!(verdict.breaches.is_empty(), "the plan is not feasible");
    assert_eq!(verdict.figures.cost, search.best_cost());
    (search.best_cost(), done)
}
