//! The JSON door from outside: one binary, one file per subject.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;

mod access;
mod changes;
mod composition;
mod contract;
mod court_times;
mod events;
mod fixture;
mod fixtures;
mod harness;
mod job_refusals;
mod jobs;
mod sessions;
mod set_up;
mod wire;
