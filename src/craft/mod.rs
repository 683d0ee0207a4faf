//! What a good stringer and a good coordinator know: pure computing.
//!
//! Never names I/O, a clock or chance: time, randomness and data are passed in.
#![warn(missing_docs)]
pub mod choose_next;
pub mod custody;
pub mod drawing;
pub mod frame;
pub mod ids;
pub mod job;
pub mod machine;
pub mod promise;
pub mod racket_end;
pub mod roles;
pub mod search_key;
pub mod spec;
pub mod sport;
pub mod string_plan;
pub mod tag_code;
pub mod tension;
pub mod text_enum;
pub mod units;
pub mod weave_method;
