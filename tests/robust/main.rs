//! The built program is killed in the middle of its work; what it had acknowledged is there.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;

mod killed;
mod program;
