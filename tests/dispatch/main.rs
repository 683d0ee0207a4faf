//! The dispatcher from its files to its figures, against judges and values that are not its own.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is not as it should be"
)]

mod bad_input;
mod best_values;
mod command_line;
mod generated;
mod judges;
mod rehearsal;

use std::path::PathBuf;

use weftdesk::craft::dispatch::file;
use weftdesk::craft::dispatch::problem::Problem;
use weftdesk::craft::loose::Loose;

/// A file of the taken-over data.
pub(crate) fn data(name: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/dispatch")).join(name)
}

pub(crate) fn document(name: &str) -> Loose {
    serde_json::from_str(&std::fs::read_to_string(data(name)).unwrap()).unwrap()
}

pub(crate) fn instance(name: &str) -> Problem {
    file::instance(&document(name)).unwrap()
}
