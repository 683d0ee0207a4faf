//! What a desk can say about the start of a match: mean and variance.
use crate::dispatch::file::{Court, Match};
use crate::normal::share_below;
use crate::rehearse::world::PlayedMatch;

/// Mean and variance of a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Forecast {
    pub(super) mean_s: f64,
    pub(super) variance: f64,
}

/// The start of match `number` as seen at `now`: the true one once begun.
pub(super) fn start(court: &Court, played: &[PlayedMatch], number: usize, now_s: f64) -> Forecast {
    if played[number].start_s <= now_s || number == 0 {
        return Forecast {
            mean_s: played[number].start_s,
            variance: 0.0,
        };
    }
    let begun = played[..number]
        .iter()
        .rposition(|played| played.start_s <= now_s);
    let (mut mean_s, mut variance, first) = match begun {
        None => (court.first_s, 0.0, 0),
        Some(running) => {
            let elapsed = now_s - played[running].start_s;
            // once it is over, all that is known is that the next has not begun
            let over = elapsed >= played[running].length_s;
            let least = if over { elapsed - court.gap_s } else { elapsed };
            let (mean, variance) = longer_than(&court.matches[running], least);
            (
                played[running].start_s + mean + court.gap_s,
                variance,
                running + 1,
            )
        }
    };
    for (planned, next) in court.matches[first..number]
        .iter()
        .zip(&court.matches[first + 1..])
    {
        mean_s += planned.mean_s + court.gap_s;
        variance += (planned.variation * planned.mean_s).powi(2);
        if mean_s < next.not_before_s {
            // what lies before that time does not show any more
            let early = (next.not_before_s - mean_s).powi(2);
            variance *= variance / (variance + early).max(1.0);
            mean_s = next.not_before_s;
        }
    }
    Forecast {
        mean_s: mean_s.max(now_s),
        variance,
    }
}

/// Mean and variance of a lognormal length, given that it is more than `least`.
fn longer_than(planned: &Match, least: f64) -> (f64, f64) {
    let plain = (planned.mean_s, (planned.variation * planned.mean_s).powi(2));
    if least <= 0.0 {
        return plain;
    }
    let square = planned.variation.mul_add(planned.variation, 1.0).ln();
    let sd = square.sqrt();
    if sd < 1e-9 {
        return (planned.mean_s.max(least), 0.0);
    }
    let centre = planned.mean_s.ln() - 0.5 * square;
    let z = (centre - least.ln()) / sd;
    let share = share_below(z);
    if share < 1e-6 {
        // far beyond what was expected: a tenth of what has passed is still to come
        return (1.1 * least, (0.1 * least).powi(2));
    }
    let mean = planned.mean_s * share_below(z + sd) / share;
    let second = planned.mean_s.powi(2) * square.exp() * share_below(2.0f64.mul_add(sd, z)) / share;
    (mean, mean.mul_add(-mean, second).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;

    /// Against draws of the same lengths.
    #[test]
    fn a_running_match_lasts_as_long_as_drawn_matches_that_are_still_running() {
        let planned = Match {
            mean_s: 5400.0,
            variation: 0.33,
            not_before_s: 0.0,
        };
        let mut chance = Chance::from_seed(5);
        let lengths: Vec<f64> = (0..200_000).map(|_| chance.lognormal(5400.0, 0.33)).collect();
        for least in [0.0, 3000.0, 6000.0, 8000.0] {
            let longer: Vec<f64> = lengths.iter().copied().filter(|length| *length > least).collect();
            #[expect(clippy::cast_precision_loss, reason = "a count")]
            let count = longer.len() as f64;
            let mean = longer.iter().sum::<f64>() / count;
            let sd = (longer.iter().map(|length| (length - mean).powi(2)).sum::<f64>() / count).sqrt();
            let (told, variance) = longer_than(&planned, least);
            assert!(
                (told - mean).abs() < 5.0 * sd / count.sqrt(),
                "{least}: {told} {mean}"
            );
            assert!(
                (variance.sqrt() / sd - 1.0).abs() < 0.03,
                "{least}: {} {sd}",
                variance.sqrt()
            );
        }
    }
}
