//! What a good stringer and a good coordinator know: pure computing.
//!
//! Never names I/O, a clock or chance: time, randomness and data are passed in.
#![warn(missing_docs)]
pub mod bed;
pub mod business_day;
pub mod calibration;
pub mod chance;
pub mod choose_next;
pub mod crimp;
pub mod custody;
pub mod cuts;
pub mod dispatch;
pub mod drag;
pub mod drawing;
pub mod elongation;
pub mod frame;
pub mod friction;
pub mod hoop;
pub mod ids;
pub mod job;
pub mod lengths;
pub mod limits;
pub mod machine;
pub mod match_times;
pub mod promise;
mod quadrature;
pub mod racket_end;
pub mod reading;
pub mod roles;
pub mod search_key;
pub mod shelf;
pub mod spacing;
pub mod spec;
pub mod sport;
pub mod staffing;
pub mod stock;
pub mod string_plan;
pub mod stringbed;
pub mod tag_code;
pub mod tails;
pub mod tension;
pub mod text_enum;
pub mod units;
pub mod weave_method;
pub mod weave_time;
pub mod wishes;
