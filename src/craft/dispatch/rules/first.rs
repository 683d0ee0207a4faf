//! What a person put at the head of a station is strung there first, in the order they left it.
use crate::dispatch::problem::Station;

/// Stable code.
pub const CODE: &str = "not_at_the_head";

/// Whether the job of this index may be strung on the station after `done` other jobs of this plan.
#[must_use]
pub fn allows(stations: &[Station], station: usize, done: usize, job: usize) -> bool {
    match stations[station].first.get(done) {
        Some(first) => *first == job,
        None => stations.iter().all(|other| !other.first.contains(&job)),
    }
}
