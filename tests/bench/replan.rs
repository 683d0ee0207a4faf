//! Replanning after an event with some 150 jobs waiting on 20 stations, from the last plan.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark prints, and stops where it cannot set up"
)]
use std::time::{Duration, Instant};

use weftdesk::craft::dispatch::file;
use weftdesk::craft::dispatch::solver::{Search, rounds_per_plan};

const SNAPSHOT: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/tests/data/dispatch/dev/d8-peaksnap.json"
);
const EVENTS: usize = 200;

fn main() {
    let text = std::fs::read_to_string(SNAPSHOT).expect("the data");
    let problem = file::instance(&serde_json::from_str(&text).expect("JSON")).expect("a sound instance");
    let rounds = rounds_per_plan(problem.jobs.len());
    let mut search = Search::new(&problem, 1);
    search.anneal(20_000, &mut || true);
    let lanes = |search: &Search| -> Vec<Vec<usize>> {
        (0..problem.stations.len())
            .map(|station| {
                let slots = search.best().lane(station).iter();
                slots
                    .map(|slot| usize::try_from(slot.job).expect("an index"))
                    .collect()
            })
            .collect()
    };
    let mut plan = lanes(&search);
    let mut times: Vec<Duration> = Vec::new();
    for event in 0..EVENTS {
        // a job falls out of the plan, as one that was put back or has just come
        let station = event % plan.len();
        if !plan[station].is_empty() {
            plan[station].remove(0);
        }
        let began = Instant::now();
        let mut again = Search::from_sequences(&problem, u64::try_from(event).expect("a count"), &plan);
        again.anneal(rounds, &mut || true);
        times.push(began.elapsed());
        plan = lanes(&again);
    }
    times.sort();
    let at = |share: usize| times[(times.len() - 1) * share / 100].as_secs_f64() * 1e3;
    println!(
        "{} jobs, {} stations, {rounds} rounds: median {:.2} ms, p90 {:.2} ms, p99 {:.2} ms",
        problem.jobs.len(),
        problem.stations.len(),
        at(50),
        at(90),
        at(99)
    );
}
