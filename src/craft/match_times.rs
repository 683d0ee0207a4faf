//! When matches will start: from the order of play to walk-on times with their uncertainty.
//!
//! Points make games, games make sets, sets make matches ([`game`], [`set`],
//! [`play`]), in exact dynamic programmes that carry the distribution of points.
//! A tempo and the players' mix turn them into lengths ([`length`], [`live`]); a court's
//! matches follow one another ([`court_chain`], [`rain`]); a racket must be ready before its
//! player walks on ([`ready_by`]).
pub mod court_chain;
pub mod distribution;
pub mod format;
pub mod game;
pub mod length;
pub mod live;
pub mod play;
pub mod players;
pub mod rain;
pub mod rally_game;
pub mod ready_by;
pub mod score;
pub mod set;
pub mod tempo;
pub mod tie_break;
pub mod venue_time;
