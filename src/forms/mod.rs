//! Forms of data as text: what a file says, where in it a fault stands, and the way back.
//!
//! Reads texts, never files; decides nothing that `craft` knows.
pub mod calendar;
pub mod court_events;
pub mod csv;
pub mod json_place;
pub mod order_of_play;
pub mod place;
pub mod racket_habits;
pub mod ready_by_calendar;
