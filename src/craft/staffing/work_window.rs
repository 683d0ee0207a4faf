//! The stations a day cannot do without.

/// Work that may begin at `release` and must be done by `due`, all in one unit of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// When it may begin.
    pub release: f64,
    /// When it must be done.
    pub due: f64,
    /// How long it takes.
    pub work: f64,
    /// Variance of how long it takes; 0 when it is certain.
    pub variance: f64,
}

/// The most work per time that must be done inside one window: fewer stations cannot do it.
///
/// The maximum over windows of (work released in it and due in it + `z` standard deviations) / length.
#[must_use]
pub fn stations_necessary(jobs: &[Work], z: f64) -> f64 {
    let mut by_due: Vec<&Work> = jobs.iter().collect();
    by_due.sort_by(|one, other| one.due.total_cmp(&other.due));
    let mut most: f64 = 0.0;
    for from in jobs.iter().map(|job| job.release) {
        let (mut work, mut variance) = (0.0, 0.0);
        for job in by_due.iter().filter(|job| job.release >= from) {
            work += job.work;
            variance += job.variance;
            if job.due > from {
                most = most.max(z.mul_add(variance.sqrt(), work) / (job.due - from));
            }
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_job_with_half_its_time_needs_two_stations() {
        let job = Work {
            release: 0.0,
            due: 10.0,
            work: 20.0,
            variance: 0.0,
        };
        assert!((stations_necessary(&[job], 0.0) - 2.0).abs() < 1e-12);
        let unsure = Work {
            variance: 25.0,
            ..job
        };
        assert!((stations_necessary(&[unsure], 2.0) - 3.0).abs() < 1e-12);
        assert!(stations_necessary(&[], 0.0).abs() < 1e-12);
    }
}
