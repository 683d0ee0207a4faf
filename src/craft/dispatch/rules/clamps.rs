//! A method that frees a clamp needs swivel clamps.
use crate::dispatch::problem::{Clamp, Job, Station};

/// Stable code.
pub const CODE: &str = "needs_swivel_clamps";

/// Whether the station's clamps allow the job's method.
#[must_use]
pub fn allows(job: &Job, station: &Station) -> bool {
    !job.swivel || station.clamp == Clamp::Swivel
}
