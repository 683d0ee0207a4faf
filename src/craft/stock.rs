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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reel_gives_whole_jobs_alone() {
        // by hand: 17 x 11.75 = 199.75, 18 x 11.75 = 211.5
        assert_eq!(jobs_per_reel(200.0, 11.7, 0.05), 17);
        assert_eq!(jobs_per_reel(11.75, 11.7, 0.05), 1);
        assert_eq!(jobs_per_reel(11.7, 11.7, 0.05), 0);
    }

    #[test]
    fn a_job_that_takes_nothing_gives_no_count() {
        assert_eq!(jobs_per_reel(200.0, 0.0, 0.0), 0);
        assert_eq!(jobs_per_reel(200.0, f64::NAN, 0.0), 0);
    }

    #[test]
    fn racket_lengths_count_rackets_laid_end_to_end() {
        // 27 in are 685.8 mm (exact inch), four and a half of them 3086.1 mm
        assert!((racket_lengths(3086.1, 685.8) - 4.5).abs() < 1e-12);
    }
}
