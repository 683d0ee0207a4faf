//! A day at equal stations, played out.

/// One job of the day, times in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayJob {
    /// When it comes in.
    pub release: f64,
    /// By when it is wanted, as planned.
    pub planned_due: f64,
    /// How long it takes.
    pub service: f64,
    /// Smaller goes first.
    pub priority: u8,
}

/// When each job is done: an idle station takes the waiting job with the least (priority, planned due).
///
/// Nothing is interrupted. Without stations nothing is ever done.
#[must_use]
pub fn completions(stations: usize, jobs: &[DayJob]) -> Vec<f64> {
    let mut done = vec![f64::INFINITY; jobs.len()];
    if stations == 0 {
        return done;
    }
    let mut free = vec![f64::NEG_INFINITY; stations];
    let mut waiting: Vec<usize> = (0..jobs.len()).collect();
    while !waiting.is_empty() {
        let station = least(&free);
        let first = waiting
            .iter()
            .map(|job| jobs[*job].release)
            .fold(f64::INFINITY, f64::min);
        let now = free[station].max(first);
        let next = waiting
            .iter()
            .enumerate()
            .filter(|(_, job)| jobs[**job].release <= now)
            .min_by(|(_, one), (_, other)| {
                let (one, other) = (&jobs[**one], &jobs[**other]);
                (one.priority.cmp(&other.priority))
                    .then(one.planned_due.total_cmp(&other.planned_due))
                    .then(one.release.total_cmp(&other.release))
            })
            .map(|(place, _)| place);
        let Some(place) = next else { break };
        let job = waiting.remove(place);
        free[station] = now + jobs[job].service;
        done[job] = free[station];
    }
    done
}

fn least(free: &[f64]) -> usize {
    let mut least = 0;
    for (station, at) in free.iter().enumerate() {
        if *at < free[least] {
            least = station;
        }
    }
    least
}

/// The share of jobs that are not done by `due`.
#[must_use]
pub fn share_late(completions: &[f64], due: &[f64]) -> f64 {
    if completions.is_empty() {
        return 0.0;
    }
    let late = completions
        .iter()
        .zip(due)
        .filter(|(done, due)| done > due)
        .count();
    late as f64 / completions.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(release: f64, planned_due: f64) -> DayJob {
        DayJob {
            release,
            planned_due,
            service: 10.0,
            priority: 1,
        }
    }

    #[test]
    fn the_earliest_due_of_those_that_wait_goes_first() {
        let jobs = [job(0.0, 50.0), job(1.0, 40.0), job(2.0, 30.0)];
        assert_eq!(completions(1, &jobs), [10.0, 30.0, 20.0]);
        assert!((share_late(&completions(1, &jobs), &[50.0, 25.0, 25.0]) - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_station_waits_for_work_and_nothing_happens_without_one() {
        assert_eq!(completions(3, &[job(5.0, 9.0)]), [15.0]);
        assert!(completions(0, &[job(5.0, 9.0)])[0].is_infinite());
    }
}
