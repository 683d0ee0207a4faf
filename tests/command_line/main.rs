//! The built program from a shell: what each command does, says, and leaves alone; its exit status.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;
#[path = "../support/program.rs"]
mod program;

mod accounts;
mod backups;
mod check_up;
mod first_start;
mod https;
mod shell;
