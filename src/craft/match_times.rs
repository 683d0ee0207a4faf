//! When matches will start: from the order of play to walk-on times with their uncertainty.
//!
//! Points make games, games make sets, sets make matches ([`game`], [`set`],
//! [`play`]), in exact dynamic programmes that carry the distribution of points.
//! A tempo and the players' mix turn them into lengths; a court's matches follow one another.
pub mod distribution;
pub mod format;
pub mod game;
pub mod play;
pub mod rally_game;
pub mod set;
pub mod tie_break;
