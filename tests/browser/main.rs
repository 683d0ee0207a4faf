//! The program in a real browser.
//!
//! Needs Chromium, its driver and a built program, so a plain `cargo test`
//! leaves this target out; `tests/run release browser` runs it.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test that cannot set up should stop; the times that people wait are printed"
)]
mod at_the_plan;
mod bars;
mod bench_goes_on;
mod bench_sizes;
mod busy_day;
mod cable;
mod catch_up;
mod chromium;
mod counter_without_network;
mod court_call;
mod court_office;
mod delegates;
mod dev_tools;
mod drafts;
mod eyes;
mod hand_out;
mod keyboard;
mod keyboard_walk;
mod keypad;
mod keys;
mod loading;
mod long_tickets;
mod main_job;
mod methods;
mod newcomer;
mod no_script;
mod page_rules;
mod paper;
mod paper_kit;
mod photos;
mod pictures;
mod player_page;
mod player_tongues;
mod player_without_scripts;
mod printed;
mod program;
mod rain;
mod screen;
mod screens;
mod slip;
mod slow_phone;
mod states;
mod steering;
mod touches;
mod tournament;
mod whole_day;
mod without_network;
