//! Calls the command line; nothing else.
use clap::Parser;

fn main() -> std::process::ExitCode {
    weftdesk::cli::run(weftdesk::cli::Cli::parse())
}
