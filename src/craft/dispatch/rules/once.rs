//! Every job is scheduled, once.

/// Stable code.
pub const CODE: &str = "every_job_once";
