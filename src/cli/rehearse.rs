//! `weftdesk rehearse`: plays an uncertain day under the live dispatcher and under plain rules.
use std::fmt::Write;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde_json::json;

use crate::cli::schedule::refused;
use crate::cli::{Failure, answer, input_file};
use crate::craft::dispatch::baselines::Rule;
use crate::craft::dispatch::file;
use crate::craft::loose::Loose;
use crate::craft::rehearse::{Dispatcher, Live, Plain, Report, Spread, rehearse, with_stations};

/// What `weftdesk rehearse` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// A day, `weftdesk-dispatch-day/1`; `-` reads standard input.
    file: PathBuf,
    /// Who dispatches; may be given several times. All of them unless told.
    #[arg(long, value_enum)]
    rule: Vec<Way>,
    /// Repetitions: each draws matches and stringing anew, the same for all rules.
    #[arg(long, default_value_t = 20, value_parser = clap::value_parser!(u64).range(1..=10_000))]
    repeat: u64,
    /// Seed of the draws.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Rounds of search per plan of the live dispatcher; as many as the running desk searches unless told.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    rounds: Option<u64>,
    /// Rehearse with so many stations: the first ones of the file, or copies added.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=500))]
    stations: Option<u16>,
    /// Print JSON instead of a table.
    #[arg(long)]
    json: bool,
}

/// Who dispatches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Way {
    /// As the running service does: replanned by expected cost.
    Live,
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

impl Way {
    const fn name(self) -> &'static str {
        match self {
            Self::Live => "live",
            Self::Fifo => "fifo",
            Self::Edd => "edd",
            Self::Wspt => "wspt",
            Self::Atc => "atc",
            Self::Atcs => "atcs",
            Self::Atcsb => "atcsb",
        }
    }
}

/// Plays the day and prints what came of it.
///
/// # Errors
/// [`Failure::Refused`] with every fault by field and line; [`Failure::CouldNotRun`] for files out of reach.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let input = input_file::read(&arguments.file)?;
    let document: Loose = input.json()?;
    let mut day = file::day(&document).map_err(|faults| refused(&input, &faults))?;
    if let Some(count) = arguments.stations {
        day = with_stations(&day, usize::from(count));
    }
    let ways = if arguments.rule.is_empty() {
        Way::value_variants()
    } else {
        &arguments.rule
    };
    let names: Vec<&str> = ways.iter().map(|way| way.name()).collect();
    let mut fresh = |name: &str, repetition: u64| -> Box<dyn Dispatcher> {
        match Rule::ALL.iter().find(|rule| rule.name() == name) {
            Some(rule) => Box::new(Plain::new(*rule)),
            None => Box::new(match arguments.rounds {
                Some(rounds) => Live::new(rounds, repetition),
                None => Live::as_on_the_desk(repetition),
            }),
        }
    };
    let reports = rehearse(
        &day,
        &names,
        arguments.repeat,
        arguments.seed,
        &mut fresh,
        &mut || true,
    );
    let reports = reports.unwrap_or_default();
    let heading = format!(
        "{}: {} jobs, {} stations, {} repetitions, seed {}",
        day.problem.name,
        day.problem.jobs.len(),
        day.problem.stations.len(),
        arguments.repeat,
        arguments.seed
    );
    if arguments.json {
        let told = json!({
            "day": day.problem.name,
            "stations": day.problem.stations.len(),
            "repetitions": arguments.repeat,
            "seed": arguments.seed,
            "rules": reports.iter().map(as_json).collect::<Vec<_>>(),
        });
        return answer(&format!("{told}\n"));
    }
    answer(&format!("{heading}\n{}", table(&reports)))
}

fn table(reports: &[Report]) -> String {
    let mut out = String::from(
        "rule    ready %       on court %    weighted min late   late    breaks   set-up min   cost M\n",
    );
    for report in reports {
        let on_court = report
            .on_court_ready_percent
            .map_or_else(|| "-".to_owned(), |spread| within(spread, 1));
        let _ = writeln!(
            out,
            "{:<7} {:<13} {:<13} {:<19} {:<7.1} {:<8.1} {:<12.0} {}",
            report.name,
            within(report.ready_percent, 1),
            on_court,
            within(report.weighted_tardiness_min, 0),
            report.late.mean,
            report.breaks.mean,
            report.set_up_min.mean,
            within(report.cost_millions, 2),
        );
    }
    out.push_str("Each figure is the mean over repetitions, with half the width of its 95 % interval.\n");
    out
}

fn within(spread: Spread, places: usize) -> String {
    format!("{:.places$} ±{:.places$}", spread.mean, spread.half_width)
}

fn as_json(report: &Report) -> serde_json::Value {
    let spread = |spread: Spread| json!({ "mean": spread.mean, "half_width_95": spread.half_width });
    json!({
        "rule": report.name,
        "ready_percent": spread(report.ready_percent),
        "on_court_ready_percent": report.on_court_ready_percent.map(spread),
        "weighted_tardiness_min": spread(report.weighted_tardiness_min),
        "late": spread(report.late),
        "breaks": spread(report.breaks),
        "setup_min": spread(report.set_up_min),
        "max_tardiness_min": spread(report.max_tardiness_min),
        "cost_millions": spread(report.cost_millions),
    })
}
