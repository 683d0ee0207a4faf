//! The HTML door from outside: every screen as a browser without scripts meets it.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;
#[path = "../support/form_with_files.rs"]
mod form_with_files;
#[path = "../api/harness.rs"]
#[expect(dead_code, reason = "the JSON door's tests use the rest")]
mod harness;

mod both_scripts;
mod browser;
mod change_wish;
mod collect_at;
mod confidential;
mod counter;
mod court_times;
mod day;
mod devices;
mod door;
mod floor;
mod frame_record;
mod given_back;
mod hand_in_asks;
mod machine_book;
mod numbers;
mod photos;
mod setup;
mod tomorrow;
mod without_network;
mod your_match;
