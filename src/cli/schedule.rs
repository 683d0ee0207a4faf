//! `weftdesk schedule`: assigns a day's jobs to stations, without a database.
use std::path::PathBuf;
use std::time::{Duration, Instant};

use clap::{Args, ValueEnum};
use serde_json::json;

use crate::cli::input_file::InputFile;
use crate::cli::{Failure, answer, input_file};
use crate::craft::dispatch::baselines::{Rule, SCALES_TO_TRY, list_schedule};
use crate::craft::dispatch::file::{self, Fault};
use crate::craft::dispatch::problem::Problem;
use crate::craft::dispatch::solver::Search;
use crate::craft::dispatch::{checker, drawing};
use crate::craft::loose::Loose;

/// Rounds of search when nothing else is asked for: the same plan on every machine.
const ROUNDS: u64 = 20_000;

/// What `weftdesk schedule` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// An instance, `weftdesk-dispatch-instance/1`; `-` reads standard input.
    file: PathBuf,
    /// Search for so many milliseconds.
    #[arg(long, value_name = "N", conflicts_with = "iterations")]
    budget_ms: Option<u64>,
    /// Search so many rounds; the same seed and rounds give the same plan. 20000 unless told.
    #[arg(long, value_name = "N")]
    iterations: Option<u64>,
    /// Seed of the search.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How to plan: `search`, or a plain rule.
    #[arg(long, value_enum, default_value_t = Method::Search)]
    rule: Method,
    /// Also draw the schedule to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
}

/// How to plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Method {
    /// Greedy insertion, then ruin and recreate.
    Search,
    /// Greedy insertion alone.
    Greedy,
    /// First come, first served.
    Fifo,
    /// Earliest due first.
    Edd,
    /// Shortest work by weight first.
    Wspt,
    /// Apparent tardiness cost.
    Atc,
    /// ATC with set-ups.
    Atcs,
    /// ATCS with home factor.
    Atcsb,
}

/// Plans and prints.
///
/// # Errors
/// [`Failure::Refused`] with every fault by field and line; [`Failure::CouldNotRun`] for files out of reach.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let input = input_file::read(&arguments.file)?;
    let document: Loose = input.json()?;
    let problem = file::instance(&document).map_err(|faults| refused(&input, &faults))?;
    let search = plan(&problem, arguments);
    if !search.is_complete() {
        let detail =
            "is too short: no plan was found in which every job ends inside a window; give later windows";
        return Err(Failure::Refused(vec![input.fault_at("/horizon", detail)]));
    }
    let schedule = search.best().schedule();
    let verdict = checker::check(&problem, &schedule);
    if let Some(breach) = verdict.breaches.first() {
        let told = format!(
            "the plan breaks {} at job {}: {}",
            breach.code, breach.job, breach.detail
        );
        return Err(Failure::CouldNotRun(told));
    }
    if let Some(out) = &arguments.svg {
        std::fs::write(out, drawing::svg(&problem, &schedule))
            .map_err(|error| Failure::CouldNotRun(format!("{}: {error}", out.display())))?;
    }
    let ops: Vec<_> = schedule
        .ops
        .iter()
        .map(|op| {
            json!({
                "job": problem.jobs[op.job].id,
                "station": problem.stations[op.station].id,
                "start": op.start,
                "end": op.end,
            })
        })
        .collect();
    let figures = verdict.figures;
    let told = json!({
        "format": file::SCHEDULE,
        "instance": problem.name,
        "ops": ops,
        "figures": {
            "cost": figures.cost,
            "weighted_tardiness": figures.weighted_tardiness,
            "late": figures.late,
            "breaks": figures.breaks,
            "flow": figures.flow,
            "setup_s": figures.set_up_s,
            "max_tardiness_s": figures.max_tardiness_s,
        },
    });
    answer(&format!("{told}\n"))
}

/// The faults of a file, each by field and line.
pub(super) fn refused(input: &InputFile, faults: &[Fault]) -> Failure {
    let told = faults
        .iter()
        .map(|fault| input.fault_at(&fault.pointer, &fault.detail))
        .collect();
    Failure::Refused(told)
}

fn plan(problem: &Problem, arguments: &Arguments) -> Search {
    let seed = arguments.seed;
    let rule = match arguments.rule {
        Method::Search => {
            let mut search = Search::new(problem, seed);
            match arguments.budget_ms {
                Some(budget) => within(&mut search, Duration::from_millis(budget)),
                None => {
                    search.descend_on_whole_days(&mut || true);
                    search.anneal(arguments.iterations.unwrap_or(ROUNDS), &mut || true);
                }
            }
            return search;
        }
        Method::Greedy => return Search::new(problem, seed),
        Method::Fifo => Rule::Fifo,
        Method::Edd => Rule::Edd,
        Method::Wspt => Rule::Wspt,
        Method::Atc => Rule::Atc,
        Method::Atcs => Rule::Atcs,
        Method::Atcsb => Rule::Atcsb,
    };
    let plans = SCALES_TO_TRY.iter().map(|scales| {
        let sequences = list_schedule(problem, rule, *scales);
        Search::from_sequences(problem, seed, &sequences)
    });
    plans
        .min_by_key(Search::best_cost)
        .unwrap_or_else(|| Search::new(problem, seed))
}

/// Searches for about `budget`, and is cold when it ends.
pub(super) fn within(search: &mut Search, budget: Duration) {
    let began = Instant::now();
    search.descend_on_whole_days(&mut || began.elapsed() < budget);
    let before = began.elapsed();
    let left = budget.saturating_sub(before).as_secs_f64();
    search.anneal_until_spent(&mut || (began.elapsed() - before).as_secs_f64() / left);
}
