//! By when a racket must be ready, and how likely it will not be.
use super::distribution::Distribution;

/// What lies between the bench and the player's bag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Minutes before walk-on at which the player wants the racket; 30 is common practice, no source.
    pub lead_min: i64,
    /// Minutes to label, check and hand over; 5 is common practice, no source.
    pub handling_min: i64,
    /// How small a share of early starts the ready-by takes: an assumption of one in twenty.
    pub alpha: f64,
}

impl Default for Demand {
    fn default() -> Self {
        Self {
            lead_min: 30,
            handling_min: 5,
            alpha: 0.05,
        }
    }
}

/// The odds of one racket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Risk {
    /// P(not ready when the player wants it): completion and handling after walk-on less lead.
    pub soft: f64,
    /// P(not ready when the player walks on).
    pub hard: f64,
    /// Mean minutes by which it comes after walk-on, early ones counted as none.
    pub expected_late_min: f64,
}

/// Moves of a published time of at most so many minutes later are not worth a word: an assumption.
pub const HYSTERESIS_MIN: i64 = 5;

/// What comes after each minute: summed once, so that a pair of times costs the sum of their lengths, not the product.
struct After {
    /// The minute of the first entry, before which everything comes after.
    first: i64,
    /// By minute: P(X > minute), and the mean of X - minute where that is positive.
    by_minute: Vec<(f64, f64)>,
}

impl After {
    fn of(times: &Distribution) -> Self {
        let (mut chance, mut mean) = (0.0, 0.0);
        let mut by_minute: Vec<(f64, f64)> = Vec::new();
        let masses: Vec<f64> = times.iter().map(|(_, mass)| mass).collect();
        by_minute.push((0.0, 0.0));
        for mass in masses.into_iter().rev() {
            chance += mass;
            // the mean of (X - minute)+ is the sum of P(X > k) over all k from `minute` on
            mean += chance;
            by_minute.push((chance, mean));
        }
        by_minute.reverse();
        Self {
            first: times.first() - 1,
            by_minute,
        }
    }

    fn chance(&self, minute: i64) -> f64 {
        self.chance_and_mean(minute).0
    }

    fn chance_and_mean(&self, minute: i64) -> (f64, f64) {
        match usize::try_from(minute - self.first) {
            Ok(place) => self.by_minute.get(place).copied().unwrap_or((0.0, 0.0)),
            Err(_before) => {
                let (all, mean) = self.by_minute[0];
                (all, ((self.first - minute) as f64).mul_add(all, mean))
            }
        }
    }
}

impl Demand {
    /// The minute by which stringing must be done: the `alpha` quantile of walk-on, less lead and handling.
    #[must_use]
    pub fn due(&self, walk_on: &Distribution) -> i64 {
        walk_on.quantile(self.alpha) - self.lead_min - self.handling_min
    }

    /// The odds when stringing is done at `completion`, independent of `walk_on`.
    #[must_use]
    pub fn risk(&self, walk_on: &Distribution, completion: &Distribution) -> Risk {
        let (mut soft, mut hard, mut expected_late_min) = (0.0, 0.0, 0.0);
        let after = After::of(completion);
        for (start, mass) in walk_on.iter().filter(|(_, mass)| *mass > 0.0) {
            let in_time = start - self.handling_min;
            soft += mass * after.chance(in_time - self.lead_min);
            let (chance, late) = after.chance_and_mean(in_time);
            hard += mass * chance;
            expected_late_min += mass * late;
        }
        Risk {
            soft: soft.clamp(0.0, 1.0),
            hard: hard.clamp(0.0, 1.0),
            expected_late_min,
        }
    }

    /// P(not ready when the player wants it) when both times are normal.
    #[must_use]
    pub fn soft_risk_of_normals(&self, walk_on: (f64, f64), completion: (f64, f64)) -> f64 {
        let spread = walk_on.1.hypot(completion.1);
        let margin = completion.0 + (self.handling_min + self.lead_min) as f64 - walk_on.0;
        standard_normal(margin / spread)
    }
}

/// What a published ready-by becomes: it moves when it gets earlier, or later by more than [`HYSTERESIS_MIN`].
#[must_use]
pub const fn republished(published: i64, computed: i64) -> i64 {
    if computed < published || computed > published + HYSTERESIS_MIN {
        computed
    } else {
        published
    }
}

/// Completion by the moments of the work ahead: lognormal with this mean and variance, in minutes after `now`.
#[must_use]
pub fn completion(now: i64, mean_min: f64, variance: f64) -> Distribution {
    if mean_min <= 0.0 || variance <= 0.0 {
        return Distribution::certain(now + super::distribution::floor(mean_min.max(0.0).ceil()));
    }
    let log_variance = (variance / (mean_min * mean_min)).ln_1p();
    let (mu, sigma) = (mean_min.ln() - log_variance / 2.0, log_variance.sqrt());
    let below = |minutes: i64| {
        if minutes <= 0 {
            0.0
        } else {
            standard_normal(((minutes as f64).ln() - mu) / sigma)
        }
    };
    let mut done = Distribution::default();
    let mut minutes = 1;
    while minutes < 24 * 60 && below(minutes - 1) < 1.0 - super::length::TAIL {
        done.put(now + minutes, below(minutes) - below(minutes - 1));
        minutes += 1;
    }
    done.put(now + minutes, 1.0 - below(minutes - 1));
    done
}

/// The standard normal distribution function, to about 1e-7.
///
/// By the complementary error function's rational form of Abramowitz and Stegun, 7.1.26 (from memory; the tests hold it).
#[must_use]
pub fn standard_normal(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / 0.327_591_1_f64.mul_add(x, 1.0);
    let polynomial = [
        1.061_405_429,
        -1.453_152_027,
        1.421_413_741,
        -0.284_496_736,
        0.254_829_592,
    ]
    .iter()
    .fold(0.0, |sum: f64, coefficient| sum.mul_add(t, *coefficient))
        * t;
    let tail = polynomial * (-x * x).exp() / 2.0;
    if z > 0.0 { 1.0 - tail } else { tail }
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_normal_distribution_has_the_values_of_the_tables() {
        for (z, value) in [
            (0.0, 0.5),
            (1.0, 0.841_344_7),
            (1.959_964, 0.975),
            (-2.326_348, 0.01),
            (3.0, 0.998_650_1),
        ] {
            assert!(
                (standard_normal(z) - value).abs() < 2e-7,
                "{z}: {}",
                standard_normal(z)
            );
        }
    }

    #[test]
    fn a_ready_by_does_not_flicker() {
        assert_eq!(republished(700, 704), 700);
        assert_eq!(republished(700, 706), 706);
        assert_eq!(republished(700, 699), 699);
    }

    #[test]
    fn completion_has_the_mean_it_was_given() {
        let done = completion(100, 40.0, 100.0);
        // rounding up to minutes adds half a minute
        assert!((done.mean() - 140.5).abs() < 0.05, "{}", done.mean());
        assert!((done.total() - 1.0).abs() < 1e-9);
        assert_eq!(completion(100, 12.0, 0.0), Distribution::certain(112));
    }

    #[test]
    fn lateness_is_counted_in_minutes_after_walk_on() {
        let demand = Demand {
            lead_min: 20,
            handling_min: 5,
            alpha: 0.05,
        };
        let risk = demand.risk(
            &Distribution::certain(700),
            &Distribution::from_pairs(&[(690, 0.5), (705, 0.5)]),
        );
        assert!((risk.expected_late_min - 5.0).abs() < 1e-12);
        assert!((risk.hard - 0.5).abs() < 1e-12 && (risk.soft - 1.0).abs() < 1e-12);
    }

    /// The odds by their definition: over every pair of a walk-on and a completion.
    fn by_pairs(demand: Demand, walk_on: &Distribution, completion: &Distribution) -> Risk {
        let pairs = || {
            walk_on.iter().flat_map(|(start, mass)| {
                completion
                    .iter()
                    .map(move |(done, share)| (start, done, mass * share))
            })
        };
        let chance_after = |lead_min: i64| -> f64 {
            let late = pairs().filter(|(start, done, _)| done + demand.handling_min + lead_min > *start);
            late.map(|(_, _, both)| both).sum()
        };
        Risk {
            soft: chance_after(demand.lead_min),
            hard: chance_after(0),
            expected_late_min: pairs()
                .map(|(start, done, both)| (done + demand.handling_min - start).max(0) as f64 * both)
                .sum(),
        }
    }

    proptest! {
        #[test]
        fn the_odds_are_those_of_all_pairs(
            walk_on in vec((0_i64..120, 0.0_f64..1.0), 1..20),
            done in vec((0_i64..120, 0.0_f64..1.0), 0..20),
            earlier in -200_i64..200,
        ) {
            let normed = |pairs: &[(i64, f64)], shift: i64| {
                let total: f64 = pairs.iter().map(|(_, mass)| mass).sum::<f64>().max(1e-9);
                let pairs: Vec<_> = pairs.iter().map(|(at, mass)| (at + shift, mass / total)).collect();
                Distribution::from_pairs(&pairs)
            };
            let (walk_on, done) = (normed(&walk_on, 0), normed(&done, earlier));
            let (found, direct) = (Demand::default().risk(&walk_on, &done), by_pairs(Demand::default(), &walk_on, &done));
            prop_assert!((found.soft - direct.soft).abs() < 1e-9, "{found:?} {direct:?}");
            prop_assert!((found.hard - direct.hard).abs() < 1e-9, "{found:?} {direct:?}");
            prop_assert!((found.expected_late_min - direct.expected_late_min).abs() < 1e-7, "{found:?} {direct:?}");
        }
    }
}
