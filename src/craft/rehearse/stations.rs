//! The same day with fewer or more stations.
use crate::dispatch::file::Day;
use crate::dispatch::problem::{Hold, Station};

/// The day with the first `count` stations, or with copies of its stations in turn added.
///
/// Players at home where nobody is any more have no home; and somebody stays until all is done.
#[must_use]
pub fn with_stations(day: &Day, count: usize) -> Day {
    let mut day = day.clone();
    let own = day.problem.stations.len();
    let highest = day.problem.stations.iter().map(|station| station.id).max();
    let first_id = highest.map_or(0, |id| id.saturating_add(1));
    for (index, id) in (own..count).zip(first_id..) {
        let copy = Station {
            id,
            ..day.problem.stations[index % own.max(1)].clone()
        };
        day.problem.stations.push(copy);
    }
    day.problem.stations.truncate(count);
    for player in &mut day.problem.players {
        if player.home.is_some_and(|home| home >= count) {
            player.home = None;
            player.hold = Hold::Soft;
        }
    }
    let horizon = day.problem.horizon;
    let ends = |station: &Station| station.windows.last().map_or(0, |window| window.to);
    let lasts = day.problem.stations.iter().map(ends).max();
    if lasts.is_some_and(|last| last < horizon)
        && let Some(latest) = day
            .problem
            .stations
            .iter_mut()
            .max_by_key(|station| ends(station))
        && let Some(window) = latest.windows.last_mut()
    {
        window.to = horizon;
    }
    day
}
