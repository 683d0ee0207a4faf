//! A player held hard is strung at home only.
use crate::dispatch::problem::{Hold, Player};

/// Stable code.
pub const CODE: &str = "held_at_home";

/// Whether a racket of this player may be strung on the station of this index.
#[must_use]
pub fn allows(player: &Player, station: usize) -> bool {
    player.hold != Hold::Hard || player.home.is_none_or(|home| home == station)
}
