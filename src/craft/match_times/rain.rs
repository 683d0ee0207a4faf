//! Play stopped by rain: when it goes on, and what that takes.
use super::distribution::Distribution;

/// Minutes after the restart before a waiting match may walk on: an assumption.
pub const DRYING_MIN: i64 = 10;
/// Median length of a stop in minutes, and the spread of its logarithm: assumptions.
const STOP_MEDIAN_MIN: f64 = 60.0;
const STOP_SIGMA: f64 = 0.8;
/// How far a referee's estimate may be off on either side, in minutes: an assumption.
const ESTIMATE_MIN: i64 = 10;
/// No stop is followed for longer: a day's play is over by then.
const LONGEST_MIN: i64 = 16 * 60;

/// Minutes of warm-up after a stop of so many minutes.
///
/// None below 15, three up to 30, five from 30 on (ITF, Duties and Procedures for Officials, 2014).
#[must_use]
pub const fn re_warm_up_min(stopped_min: i64) -> i64 {
    match stopped_min {
        ..15 => 0,
        15..30 => 3,
        _ => 5,
    }
}

/// When play goes on after a stop at `from` that lasts still at `now`, as minutes of the clock.
///
/// Without an estimate: lognormal; with the referee's: a triangle around it. A past estimate counts for nothing.
#[must_use]
pub fn resume(from: i64, now: i64, estimate: Option<i64>) -> Distribution {
    let expected = estimate.filter(|estimate| *estimate + ESTIMATE_MIN > now);
    let unconditioned = expected.map_or_else(|| lognormal_stop().shifted(from), triangle);
    unconditioned
        .given_above(now)
        .unwrap_or_else(|| Distribution::certain(now + 1))
}

fn triangle(around: i64) -> Distribution {
    let mut stop = Distribution::default();
    for off in -ESTIMATE_MIN..=ESTIMATE_MIN {
        stop.put(around + off, (ESTIMATE_MIN + 1 - off.abs()) as f64);
    }
    let total = stop.total();
    stop.scaled(1.0 / total)
}

/// Minutes of a stop, rounded up: P(k - 1 < stop <= k) at k.
fn lognormal_stop() -> Distribution {
    let below = |minutes: i64| {
        if minutes <= 0 {
            return 0.0;
        }
        let z = ((minutes as f64) / STOP_MEDIAN_MIN).ln() / STOP_SIGMA;
        super::ready_by::standard_normal(z)
    };
    let mut stop = Distribution::default();
    for minutes in 1..=LONGEST_MIN {
        stop.put(minutes, below(minutes) - below(minutes - 1));
    }
    stop.put(LONGEST_MIN, 1.0 - below(LONGEST_MIN));
    stop
}

/// When a stopped match is over: it goes on at `resume`, after a new warm-up, with `remaining` minutes to play.
#[must_use]
pub fn last_point(resume: &Distribution, stopped_at: i64, remaining: &Distribution) -> Distribution {
    let mut play_goes_on = Distribution::default();
    for (at, mass) in resume.iter() {
        play_goes_on.put(at + re_warm_up_min(at - stopped_at), mass);
    }
    play_goes_on.plus(remaining)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_of_all_stops_are_over_after_an_hour() {
        let resume = resume(1000, 1000, None);
        assert!((resume.at_most(1060) - 0.5).abs() < 1e-6);
        assert!((resume.total() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_stop_that_lasts_is_a_long_one() {
        let later = resume(1000, 1120, None);
        assert!(later.first() > 1120);
        assert!(later.quantile(0.5) > 1150);
    }

    #[test]
    fn the_referee_knows_within_ten_minutes_until_the_estimate_has_passed() {
        let told = resume(1000, 1010, Some(1060));
        assert_eq!(
            (told.first(), told.quantile(0.5), told.last()),
            (1050, 1060, 1070)
        );
        assert!(resume(1000, 1080, Some(1060)).last() > 1200);
    }

    #[test]
    fn a_stopped_match_warms_up_again() {
        let end = last_point(
            &Distribution::from_pairs(&[(1010, 0.5), (1040, 0.5)]),
            1000,
            &Distribution::certain(20),
        );
        assert!((end.at(1030) - 0.5).abs() < 1e-12 && (end.at(1065) - 0.5).abs() < 1e-12);
    }
}
