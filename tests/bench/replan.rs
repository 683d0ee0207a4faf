//! Replanning after an event with some 150 jobs waiting on 20 stations, from the last plan.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark prints, and stops where it cannot set up"
)]
use std::time::{Duration, Instant};

use weftdesk::craft::dispatch::file;
use weftdesk::craft::dispatch::solver::{Search, rounds_per_plan};
use weftdesk::desk::schedule::FIRST_PART;

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
    let (mut times, mut first_times): (Vec<Duration>, Vec<Duration>) = (Vec::new(), Vec::new());
    let mut first_is_dearer = 0.0;
    for event in 0..EVENTS {
        // a job falls out of the plan, as one that was put back or has just come
        let station = event % plan.len();
        if !plan[station].is_empty() {
            plan[station].remove(0);
        }
        let began = Instant::now();
        let mut again = Search::from_sequences(&problem, u64::try_from(event).expect("a count"), &plan);
        let first = rounds / FIRST_PART;
        again.anneal_part(0..first, rounds, &mut || true);
        first_times.push(began.elapsed());
        let first_cost = again.best_cost();
        again.anneal_part(first..rounds, rounds, &mut || true);
        times.push(began.elapsed());
        first_is_dearer += first_cost as f64 / again.best_cost() as f64 - 1.0;
        plan = lanes(&again);
    }
    println!(
        "{} jobs, {} stations, {EVENTS} events",
        problem.jobs.len(),
        problem.stations.len()
    );
    say(
        &format!("the first order, {} rounds", rounds / FIRST_PART),
        &mut first_times,
    );
    println!(
        "  {:.2} % dearer than the settled one",
        100.0 * first_is_dearer / EVENTS as f64
    );
    say(&format!("the settled order, {rounds} rounds"), &mut times);
}

fn say(what: &str, times: &mut [Duration]) {
    times.sort();
    let at = |share: usize| times[(times.len() - 1) * share / 100].as_secs_f64() * 1e3;
    println!(
        "{what}: median {:.2} ms, p90 {:.2} ms, p99 {:.2} ms",
        at(50),
        at(90),
        at(99)
    );
}
