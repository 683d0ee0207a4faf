//! One match after another on a court, in minutes.
//!
//! Walk-on W is the latest of: not before, the court being free, now, and every
//! player's arrival; the last point E comes warm-up and length later; the court
//! is free F a turnaround after that.
use std::borrow::Borrow;

use super::distribution::Distribution;

/// Tails below this share are folded together; more would move the 95 % point of a late match.
const TAIL: f64 = 1e-5;

/// What a court needs before and after play, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Handover {
    /// From walk-on to the first point, toss included.
    pub warm_up_min: i64,
    /// From the last point until the next walk-on.
    pub turnaround_min: i64,
}

impl Default for Handover {
    /// Common practice, no source; the rules allow five minutes of warm-up.
    fn default() -> Self {
        Self {
            warm_up_min: 8,
            turnaround_min: 7,
        }
    }
}

/// When a match begins: the latest of the times that are known and those that are not.
///
/// The uncertain ones are taken as independent; pass those alone that do not follow from another.
#[must_use]
pub fn walk_on(floor: i64, others: &[impl Borrow<Distribution>]) -> Distribution {
    let Some((one, more)) = others.split_first() else {
        return Distribution::certain(floor);
    };
    let mut latest = one.borrow().clone();
    for other in more {
        latest = latest.later_of(other.borrow());
    }
    latest.not_before(floor).trimmed(TAIL)
}

/// When the last point is played.
#[must_use]
pub fn last_point(walk_on: &Distribution, warm_up_min: i64, length: &Distribution) -> Distribution {
    walk_on.plus(length).shifted(warm_up_min).trimmed(TAIL)
}

/// When the court is free: `lag_min` after the last point or, if nobody walks on, as soon as it was free before.
#[must_use]
pub fn court_free(
    last_point: &Distribution,
    lag_min: i64,
    walkover: f64,
    free_before: &Distribution,
) -> Distribution {
    if walkover <= 0.0 {
        return last_point.clone().shifted(lag_min);
    }
    let played = (last_point, lag_min, 1.0 - walkover);
    Distribution::mixed(played, (free_before, 0, walkover)).trimmed(TAIL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_known_floor_holds_when_nothing_is_uncertain() {
        let nothing: [Distribution; 0] = [];
        assert_eq!(walk_on(600, &nothing), Distribution::certain(600));
    }

    #[test]
    fn a_walkover_frees_the_court_when_it_was_free_before() {
        let end = Distribution::certain(700);
        let free = court_free(&end, 7, 0.25, &Distribution::certain(600));
        assert!((free.at(600) - 0.25).abs() < 1e-12 && (free.at(707) - 0.75).abs() < 1e-12);
    }
}
