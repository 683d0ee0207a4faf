//! What a completion costs: certain, or in expectation.
use std::sync::LazyLock;

use crate::dispatch::problem::{Job, Problem};
use crate::dispatch::rules::{flow, lateness, promise, tardiness};

/// Added for each job behind the last window: more than any plan inside them costs.
pub(super) const BEHIND_WINDOWS: i64 = 100_000_000_000_000;

/// The price of one job by its completion.
///
/// With a spread, lateness is about normal: `E[T] = sd (phi(z) + z Phi(z))` and
/// `P(late) = Phi(z)` with `z = (completion - due) / sd`.
#[derive(Debug, Clone, Copy)]
pub(super) struct CompletionPrice {
    release: i64,
    due: i64,
    /// What the player was told; beyond every plan where nothing was.
    promised: i64,
    flow: i64,
    /// Of one second after what was told.
    promise: i64,
    /// Of one second late.
    second: i64,
    late: i64,
    spread: Option<Spread>,
}

#[derive(Debug, Clone, Copy)]
struct Spread {
    sd: f64,
    inverse: f64,
    second: f64,
    late: f64,
}

impl CompletionPrice {
    #[expect(clippy::cast_precision_loss, reason = "prices are far below 2^53")]
    pub(super) fn new(job: &Job, problem: &Problem) -> Self {
        let prices = &problem.prices;
        let second = tardiness::price(prices.tardy, job.weight, 1);
        let late = lateness::price(prices.late, 1);
        let spread = (job.spread_s >= 1.0).then(|| Spread {
            sd: job.spread_s,
            inverse: 1.0 / job.spread_s,
            second: second as f64,
            late: late as f64,
        });
        Self {
            release: job.release,
            due: due_among_arrivals(job, problem),
            promised: job.promised.unwrap_or(i64::MAX),
            flow: prices.flow,
            promise: prices.promise,
            second,
            late,
            spread,
        }
    }

    /// The price of being done at `completion`.
    #[inline]
    pub(super) fn at(&self, completion: i64) -> i64 {
        let stay = flow::price(self.flow, self.release, completion)
            + promise::price(self.promise, completion.saturating_sub(self.promised));
        let late = completion - self.due;
        match &self.spread {
            None if late > 0 => stay + self.second * late + self.late,
            None => stay,
            Some(spread) => stay + NORMAL.price(spread, late),
        }
    }
}

/// The due time a plan is held to: sooner by the share of the time until then that others will take.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "seconds of a few days"
)]
fn due_among_arrivals(job: &Job, problem: &Problem) -> i64 {
    let until = (job.due - problem.t0).max(0) as f64;
    job.due - (problem.taken_by_arrivals * until).round() as i64
}

const STEPS_PER_UNIT: f64 = 16.0;
const REACH: f64 = 4.0;
const ENTRIES: usize = 130;

static NORMAL: LazyLock<NormalTable> = LazyLock::new(NormalTable::new);

/// `Phi` and `phi + z Phi` on a grid of 1/16 from -4 to 4.
#[derive(Debug, Clone)]
struct NormalTable {
    late: [f64; ENTRIES],
    seconds: [f64; ENTRIES],
}

impl NormalTable {
    /// Integrates the density by Simpson's rule from far left: exact to about 1e-9.
    fn new() -> Self {
        let density = |z: f64| (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let mut table = Self {
            late: [0.0; ENTRIES],
            seconds: [0.0; ENTRIES],
        };
        let mut sum = 0.0;
        let mut z = -8.0;
        let step = 1.0 / STEPS_PER_UNIT;
        let mut index = 0;
        while index < ENTRIES {
            if z >= -REACH - 1e-9 {
                table.late[index] = sum;
                table.seconds[index] = z.mul_add(sum, density(z));
                index += 1;
            }
            let fine = step / 8.0;
            for part in 0..8 {
                let left = fine.mul_add(f64::from(part), z);
                sum += fine / 6.0 * (density(left) + 4.0 * density(left + fine / 2.0) + density(left + fine));
            }
            z += step;
        }
        table
    }

    #[inline]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "seconds and prices are far below 2^53; the index lies between 0 and 128"
    )]
    fn price(&self, spread: &Spread, late_s: i64) -> i64 {
        let z = late_s as f64 * spread.inverse;
        if z <= -REACH {
            return 0;
        }
        if z >= REACH {
            return (spread.second * late_s as f64 + spread.late) as i64;
        }
        let at = (z + REACH) * STEPS_PER_UNIT;
        let index = at as usize;
        let part = at - index as f64;
        let between = |grid: &[f64; ENTRIES]| grid[index] + part * (grid[index + 1] - grid[index]);
        (spread.second * spread.sd * between(&self.seconds) + spread.late * between(&self.late)) as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Phi(1) = 0.841344746, Phi(-2) = 0.022750132, and the unit normal loss
    /// function L(0) = 0.398942280, L(1) = 0.083315471: tables of the normal distribution, from memory.
    #[test]
    fn the_normal_table_agrees_with_printed_tables() {
        let table = NormalTable::new();
        let check = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-7, "{got} {wanted}");
        check(table.late[80], 0.841_344_746);
        check(table.late[32], 0.022_750_132);
        check(table.seconds[64], 0.398_942_280);
        check(table.seconds[48], 0.083_315_471);
    }
}
