//! `weftdesk staffing`: the stations a day takes and the odds, without a database.
use std::fmt::Write;
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::cli::schedule::refused;
use crate::cli::{Failure, answer, input_file};
use crate::craft::dispatch::file;
use crate::craft::loose::Loose;
use crate::craft::rehearse::{Staffing, staffing};

/// What `weftdesk staffing` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// A day, `weftdesk-dispatch-day/1`; `-` reads standard input.
    file: PathBuf,
    /// Repetitions: each draws matches and stringing anew, the same for every number of stations.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u64).range(1..=10_000))]
    repeat: u64,
    /// Seed of the draws.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Rounds of search per plan of the live dispatcher.
    #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    rounds: u64,
    /// Print JSON instead of a table.
    #[arg(long)]
    json: bool,
}

/// Plays the day with two fewer to two more stations and prints the odds.
///
/// # Errors
/// [`Failure::Refused`] with every fault by field and line; [`Failure::CouldNotRun`] for files out of reach.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let input = input_file::read(&arguments.file)?;
    let document: Loose = input.json()?;
    let day = file::day(&document).map_err(|faults| refused(&input, &faults))?;
    let found = staffing(&day, arguments.repeat, arguments.seed, arguments.rounds);
    if arguments.json {
        return answer(&format!("{}\n", as_json(&day.problem.name, &found)));
    }
    answer(&table(&day.problem.name, &found))
}

fn clock(seconds: i64) -> String {
    format!("{:02}:{:02}", seconds / 3600, seconds % 3600 / 60)
}

fn table(name: &str, found: &Staffing) -> String {
    let mut out = format!("{name}\nstations  ready when due, %\n");
    for staffed in &found.staffed {
        let spread = staffed.ready_percent;
        let _ = writeln!(
            out,
            "{:>8}  {:.1} ±{:.1}",
            staffed.stations, spread.mean, spread.half_width
        );
    }
    out.push_str("due at    rackets (1 in 10 .. 9 in 10)  late, %\n");
    for half_hour in &found.half_hours {
        let _ = writeln!(
            out,
            "{:<9} {:>6.1} ({} .. {})  {:.0}",
            clock(half_hour.from_s),
            half_hour.mean,
            half_hour.low,
            half_hour.high,
            half_hour.late_percent
        );
    }
    if let Some(worst) = found.worst_half_hour_s {
        let _ = writeln!(out, "worst half hour: {}", clock(worst));
    }
    let _ = writeln!(
        out,
        "work between releases and due times: at least {:.1} stations\n\
         cross-check by Erlang C: load {:.2} erlang, {:.1} % of rackets would wait on a steady day",
        found.necessary,
        found.load_erlang,
        100.0 * found.chance_of_waiting
    );
    out
}

fn as_json(name: &str, found: &Staffing) -> serde_json::Value {
    let staffed = found.staffed.iter().map(|staffed| {
        let spread = staffed.ready_percent;
        json!({"stations": staffed.stations, "ready_percent": {"mean": spread.mean, "half_width_95": spread.half_width}})
    });
    let half_hours = found.half_hours.iter().map(|half_hour| {
        json!({
            "from_s": half_hour.from_s, "low": half_hour.low, "mean": half_hour.mean, "high": half_hour.high,
            "late_percent": half_hour.late_percent,
        })
    });
    json!({
        "day": name,
        "stations": staffed.collect::<Vec<_>>(),
        "half_hours": half_hours.collect::<Vec<_>>(),
        "worst_half_hour_s": found.worst_half_hour_s,
        "necessary_stations": found.necessary,
        "erlang_c": {"load_erlang": found.load_erlang, "chance_of_waiting": found.chance_of_waiting},
    })
}
