//! Under load and under kill: nothing is given twice, nothing acknowledged is lost.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;

mod client;
mod demo;
mod killed;
#[path = "../support/program.rs"]
mod program;
mod pulls;
mod pulls_by_api;
mod replay;
#[path = "../support/workshop.rs"]
mod workshop;
