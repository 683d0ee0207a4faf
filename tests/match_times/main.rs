//! The order of play as files, and `weftdesk match-times` as a referee's office runs it.
#![expect(clippy::unwrap_used, reason = "a test that cannot set up should stop")]
mod bad_input;
mod command_line;
mod forms;
mod outside_reader;

use std::process::{Command, Output, Stdio};

pub(crate) const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/api/examples");

/// A sample file's path.
pub(crate) fn sample(name: &str) -> String {
    format!("{FOLDER}/{name}")
}

/// A sample file's text.
pub(crate) fn text_of(name: &str) -> String {
    std::fs::read_to_string(sample(name)).unwrap()
}

/// Runs the program with this input.
pub(crate) fn weftdesk(arguments: &[&str], input: &str) -> Output {
    use std::io::Write;
    let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // a program that refuses its arguments does not read
    drop(child.stdin.take().unwrap().write_all(input.as_bytes()));
    child.wait_with_output().unwrap()
}

/// What was printed.
pub(crate) fn told(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}
