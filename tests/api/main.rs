//! The JSON door from outside: one binary, one file per subject.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "../support/database.rs"]
mod database;
#[path = "../support/form_with_files.rs"]
mod form_with_files;

mod access;
mod bad_input;
mod calibration;
mod catch_up;
mod changes;
mod collect_at;
mod collectors;
mod composition;
mod contract;
mod court_times;
mod doubts;
mod drop_offs;
mod events;
mod fixture;
mod fixtures;
mod french;
mod half_done;
mod harness;
mod job_refusals;
mod jobs;
mod live_work;
mod photos;
mod photos_go;
mod plans;
mod promises;
mod ready_by;
mod schedule;
mod sessions;
mod set_up;
mod shift_hours;
mod steering;
mod stock;
mod stream;
mod tomorrow;
mod weave_methods;
mod whereabouts;
mod whole_life;
mod wire;
mod wishes;
mod wrong_moves;
