//! String in stock: how many jobs a reel gives, and lengths told in racket lengths.

/// Whole jobs that a reel gives; 0 when a job takes nothing or is longer than the reel.
///
/// `waste_per_job_m` is what falls off at each cut beside the job's own length.
#[must_use]
pub fn jobs_per_reel(reel_m: f64, job_m: f64, waste_per_job_m: f64) -> u32 {
    let each_m = job_m + waste_per_job_m;
    if each_m.is_nan() || each_m <= 0.0 {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what fits"
    )]
    let jobs = (reel_m / each_m).floor().clamp(0.0, f64::from(u32::MAX)) as u32;
    jobs
}

/// A length in racket lengths, the bench's own measuring stick.
#[must_use]
pub fn racket_lengths(length_mm: f64, racket_mm: f64) -> f64 {
    length_mm / racket_mm
}
