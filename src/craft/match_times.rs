//! When matches will start: from the order of play to walk-on times with their uncertainty.
//!
//! Points make games, games make sets, sets make matches ([`game`], [`set`],
//! [`play`]), in exact dynamic programmes that carry the distribution of points.
//! A tempo and the players' mix turn them into lengths ([`length`], [`live`]); a court's
//! matches follow one another ([`court_chain`], [`rain`]); a racket must be ready before its
//! player walks on ([`ready_by`]).
pub mod court_chain;
pub mod day_drawing;
pub mod day_plan;
pub mod day_sheet;
pub mod day_state;
pub mod distribution;
pub mod events;
pub mod forecast;
pub mod format;
pub mod game;
pub mod joint_day;
pub mod known_sets;
pub mod length;
pub mod live;
pub mod order;
pub mod order_faults;
pub mod play;
pub mod players;
pub mod rain;
pub mod rally_game;
pub mod ready_by;
pub mod replay;
pub mod score;
pub mod set;
pub mod tempo;
pub mod tie_break;
pub mod venue_time;
pub mod who_plays;
