//! The command line: one file per command, nothing decided here.
use std::process::ExitCode;

use clap::{Parser, Subcommand};

pub mod account;
pub mod backup;
pub mod clock_option;
pub mod database;
pub mod demo;
pub mod doctor;
pub mod input_file;
pub mod match_times;
pub mod migrate;
pub mod plan;
pub mod rehearse;
pub mod schedule;
pub mod serve;
pub mod staffing;

/// Exit status of a command: input that was refused.
pub const REFUSED: u8 = 1;
/// Exit status of a command: it could not run.
pub const COULD_NOT_RUN: u8 = 2;

/// A tournament's stringing desk as a service.
#[derive(Debug, Parser)]
#[command(name = "weftdesk", version, about, disable_help_subcommand = true)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Add or list accounts, or set a password.
    Account(account::Arguments),
    /// Copy the embedded database to one file, while the service may be running.
    Backup(backup::BackupArguments),
    /// Play an invented tournament that lives by itself.
    Demo(demo::Arguments),
    /// Look at a database and say what is wrong with it.
    Doctor(doctor::Arguments),
    /// Tell when the matches of an order of play will start.
    MatchTimes(match_times::Arguments),
    /// Bring the tables up to this program.
    Migrate(migrate::Arguments),
    /// Compute how to string a frame to a wish.
    Plan(plan::Arguments),
    /// Put a backup in the place of the embedded database.
    Restore(backup::RestoreArguments),
    /// Play an uncertain day under the live dispatcher and under plain rules.
    Rehearse(rehearse::Arguments),
    /// Assign a day's jobs to stations.
    Schedule(schedule::Arguments),
    /// Run the service.
    Serve(serve::Arguments),
    /// Tell how many stations a day takes, and the odds.
    Staffing(staffing::Arguments),
}

/// Runs what the arguments ask for.
pub fn run(cli: Cli) -> ExitCode {
    let outcome = match cli.command {
        Command::Account(arguments) => account::run(arguments),
        Command::Backup(arguments) => backup::backup(&arguments),
        Command::Demo(arguments) => demo::run(arguments),
        Command::Doctor(arguments) => doctor::run(&arguments),
        Command::MatchTimes(arguments) => match_times::run(&arguments),
        Command::Migrate(arguments) => migrate::run(&arguments),
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Restore(arguments) => backup::restore(&arguments),
        Command::Rehearse(arguments) => rehearse::run(&arguments),
        Command::Schedule(arguments) => schedule::run(&arguments),
        Command::Serve(arguments) => serve::run(arguments),
        Command::Staffing(arguments) => staffing::run(&arguments),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            ExitCode::from(failure.status())
        }
    }
}

/// Why a command ended without its answer.
#[derive(Debug)]
pub enum Failure {
    /// The input is wrong: one line per fault.
    Refused(Vec<String>),
    /// A file or the output is out of reach.
    CouldNotRun(String),
}

impl Failure {
    const fn status(&self) -> u8 {
        match self {
            Self::Refused(_) => REFUSED,
            Self::CouldNotRun(_) => COULD_NOT_RUN,
        }
    }

    #[expect(clippy::print_stderr, reason = "the command line speaks on standard error")]
    fn tell(&self) {
        match self {
            Self::Refused(faults) => {
                for fault in faults {
                    eprintln!("{fault}");
                }
            }
            Self::CouldNotRun(why) => eprintln!("{why}"),
        }
    }
}

/// Writes an answer to standard output.
///
/// # Errors
/// [`Failure::CouldNotRun`] when the output is closed or full.
pub fn answer(text: &str) -> Result<(), Failure> {
    use std::io::Write;
    std::io::stdout()
        .write_all(text.as_bytes())
        .map_err(|error| Failure::CouldNotRun(format!("standard output: {error}")))
}
