//! The JSON door from outside: one binary, one file per subject.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;

mod composition;
mod contract;
#[expect(dead_code, reason = "it offers more than the first subjects ask for")]
mod harness;
mod wire;
