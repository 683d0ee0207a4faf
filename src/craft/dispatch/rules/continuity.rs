//! A player stays with one station; each job away is a break.
use crate::dispatch::problem::Player;

/// Stable code.
pub const CODE: &str = "continuity_break";

/// Breaks of one job of a player with a home, strung on the station of this index.
#[must_use]
pub fn away_from_home(player: &Player, station: usize) -> i64 {
    i64::from(player.home.is_some_and(|home| home != station))
}

/// Breaks of a player without a home whose jobs lie on so many stations.
#[must_use]
pub const fn scattered(stations_used: i64) -> i64 {
    if stations_used > 1 { stations_used - 1 } else { 0 }
}
