//! The day by half hours: rackets that come in and are due, stations at work, and what is late.
use crate::rehearse::play::Outcome;
use crate::rehearse::trial::Trial;

/// A stretch of the day, in seconds.
pub(super) const HALF_HOUR_S: i64 = 1800;

/// How many, over repetitions: never one number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Count {
    /// One in ten repetitions has at most so many.
    pub low: usize,
    /// Half of the repetitions have at most so many.
    pub middle: usize,
    /// Nine in ten repetitions have at most so many.
    pub high: usize,
    /// The mean.
    pub mean: f64,
}

impl Count {
    /// The spread of counts; nothing for none.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "counts")]
    pub fn of(mut counts: Vec<usize>) -> Self {
        if counts.is_empty() {
            return Self::default();
        }
        counts.sort_unstable();
        // the least count that so many tenths of the repetitions do not exceed
        let rank = |tenths: usize| counts[(counts.len() * tenths).div_ceil(10).max(1) - 1];
        Self {
            low: rank(1),
            middle: rank(5),
            high: rank(9),
            mean: counts.iter().sum::<usize>() as f64 / counts.len() as f64,
        }
    }
}

/// One half hour, over repetitions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfHour {
    /// Its start, in seconds after 00:00.
    pub from_s: i64,
    /// Rackets that come in.
    pub coming: Count,
    /// Rackets that are due.
    pub due: Count,
    /// Stations at work, of those that are planned: the mean.
    pub busy: f64,
    /// Of the rackets due in it, late with the stations that are planned, per cent.
    pub late_percent: f64,
}

/// The half hours from the first racket in to the last one strung or due.
#[expect(clippy::cast_precision_loss, reason = "counts and seconds")]
pub(super) fn half_hours(played: &[(&Trial, Outcome)]) -> Vec<HalfHour> {
    let slot_of = |second: &i64| second.div_euclid(HALF_HOUR_S);
    let begins = played
        .iter()
        .flat_map(|(trial, _)| &trial.world.release)
        .map(slot_of);
    let ends = played
        .iter()
        .flat_map(|(trial, outcome)| trial.world.due.iter().chain(&outcome.completion));
    let (Some(first), Some(last)) = (begins.min(), ends.map(slot_of).max()) else {
        return Vec::new();
    };
    let count = |slot: i64, of: &dyn Fn(&Trial) -> &[i64]| {
        let inside = |trial: &Trial| of(trial).iter().filter(|second| slot_of(second) == slot).count();
        Count::of(played.iter().map(|(trial, _)| inside(trial)).collect())
    };
    let half_hour = |slot: i64| {
        let (mut due, mut late, mut worked_s) = (0_usize, 0_usize, 0_i64);
        let (from, to) = (slot * HALF_HOUR_S, (slot + 1) * HALF_HOUR_S);
        for (trial, outcome) in played {
            for job in 0..outcome.jobs {
                let (start, end) = (outcome.start[job], outcome.completion[job]);
                worked_s += (end.min(to) - start.max(from)).max(0);
                if slot_of(&trial.world.due[job]) == slot {
                    due += 1;
                    late += usize::from(end > trial.world.due[job]);
                }
            }
        }
        HalfHour {
            from_s: from,
            coming: count(slot, &|trial| &trial.world.release),
            due: count(slot, &|trial| &trial.world.due),
            busy: worked_s as f64 / HALF_HOUR_S as f64 / played.len().max(1) as f64,
            late_percent: 100.0 * late as f64 / due.max(1) as f64,
        }
    };
    (first..=last).map(half_hour).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_is_told_as_a_band_of_tenths() {
        let count = Count::of((1..=10).rev().collect());
        assert_eq!((count.low, count.middle, count.high), (1, 5, 9));
        assert!((count.mean - 5.5).abs() < 1e-12);
        assert_eq!(Count::of(vec![7]).low, 7);
        assert_eq!(Count::of(Vec::new()), Count::default());
    }
}
