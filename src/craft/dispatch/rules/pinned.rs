//! A job that a person moved to a station is strung there.
use crate::dispatch::problem::Job;

/// Stable code.
pub const CODE: &str = "pinned_elsewhere";

/// Whether the job may be strung on the station of this index.
#[must_use]
pub fn allows(job: &Job, station: usize) -> bool {
    job.pinned.is_none_or(|pinned| pinned == station)
}
