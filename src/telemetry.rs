//! Where log lines go: standard error, readable on a terminal, JSON otherwise.
use std::io::IsTerminal;

use tracing_subscriber::EnvFilter;

/// Starts logging; `RUST_LOG` narrows or widens it.
pub fn start() {
    let filter =
        EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info,actix_server=warn"));
    let lines = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    // a second start (tests in one process) keeps the first
    let started = if std::io::stderr().is_terminal() {
        lines.try_init()
    } else {
        lines.json().try_init()
    };
    drop(started);
}
