//! A job that a stringer refused, or that its player keeps from them, is strung elsewhere.
use crate::dispatch::problem::Job;

/// Stable code.
pub const CODE: &str = "barred_here";

/// Whether the job may be strung on the station of this index.
#[must_use]
pub fn allows(job: &Job, station: usize) -> bool {
    !job.barred.contains(&station)
}
