//! `weftdesk staffing`: the stations a day takes and the odds, without a database.
mod input;
mod told;

use std::path::PathBuf;

use clap::Args;

use crate::cli::{Failure, answer};
use crate::craft::rehearse::staffing;

/// What `weftdesk staffing` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// A day, `weftdesk-dispatch-day/1`, or an order of play as JSON, CSV or iCalendar; `-` reads standard input.
    file: PathBuf,
    /// What players usually bring to a match, with an order of play: a table with the columns `player`,
    /// `rackets` and, where known, `minutes`, `mains`, `crosses`.
    #[arg(long, value_name = "CSV")]
    rackets: Option<PathBuf>,
    /// Stations that are planned. Without it those of the day, or for an order of play as many as it cannot do without.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=200))]
    stations: Option<u16>,
    /// When the desk opens, `HH:MM` of the day of play: with an order of play.
    #[arg(long, value_name = "HH:MM", default_value = "07:30")]
    opens: String,
    /// The venue's time zone (IANA name) for an order of play that does not tell it.
    #[arg(long, value_name = "TZID")]
    zone: Option<String>,
    /// Repetitions: each draws matches and stringing anew, the same for every number of stations.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u64).range(2..=10_000))]
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
    let asked = input::read(arguments)?;
    let found = staffing(&asked.trials, arguments.rounds, &mut || true);
    if arguments.json {
        return answer(&format!("{}\n", told::as_json(&asked, &found)));
    }
    answer(&told::table(&asked, &found))
}
