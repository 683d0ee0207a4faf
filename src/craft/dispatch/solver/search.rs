//! The search as a caller drives it.
use std::ops::Range;

use crate::chance::Chance;
use crate::dispatch::problem::Problem;
use crate::dispatch::solver::anneal::Rounds;
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;
use crate::dispatch::solver::{descent, greedy};

/// The first temperature, as a share of the cost per job, where most rackets are there.
const WARM_SHARE: f64 = 0.1;
/// The same where most are still to come: a day has groups of plans far apart, between which a cool search does not cross.
const WARM_SHARE_OF_A_DAY: f64 = 0.3;
/// The first temperature is at most this.
const WARMEST: f64 = 100_000.0;
/// The last temperature, as a share of the first.
const COLD_SHARE: f64 = 0.01;
/// The temperature is set anew after so many rounds.
const STRIDE: u64 = 8;
/// Days with more jobs begin with a descent.
const WHOLE_DAY_JOBS: usize = 200;

/// A search with the best plan so far.
#[derive(Debug, Clone)]
pub struct Search {
    tables: Tables,
    chance: Chance,
    rounds: Rounds,
    current: Plan,
    cost: i64,
    best: Plan,
    best_cost: i64,
    warm_share: f64,
    /// Of the rounds that are being done.
    first_temperature: f64,
}

impl Search {
    /// A search that starts from greedy insertion.
    #[must_use]
    pub fn new(problem: &Problem, seed: u64) -> Self {
        Self::from_sequences(problem, seed, &[])
    }

    /// A search that starts from sequences of jobs by station; what is missing is inserted greedily.
    #[must_use]
    pub fn from_sequences(problem: &Problem, seed: u64, sequences: &[Vec<usize>]) -> Self {
        let tables = Tables::new(problem);
        let mut plan = Plan::of_sequences(&tables, sequences);
        greedy::complete(&tables, &mut plan);
        let cost = plan.cost();
        Self {
            warm_share: warm_share(problem),
            first_temperature: 0.0,
            rounds: Rounds::new(&tables),
            tables,
            chance: Chance::from_seed(seed),
            best: plan.clone(),
            best_cost: cost,
            current: plan,
            cost,
        }
    }

    /// Continues from another plan if it costs less, such as one of a plain rule.
    pub fn offer(&mut self, sequences: &[Vec<usize>]) {
        let mut plan = Plan::of_sequences(&self.tables, sequences);
        greedy::complete(&self.tables, &mut plan);
        if plan.cost() < self.best_cost {
            self.current = plan;
            self.cost = self.current.cost();
            self.keep();
        }
    }

    /// Descent, on days so large that annealing alone would start too far away.
    pub fn descend_on_whole_days(&mut self, keep_going: &mut dyn FnMut() -> bool) {
        if self.tables.jobs > WHOLE_DAY_JOBS {
            descent::descend(&self.tables, &mut self.current, keep_going);
            self.cost = self.current.cost();
            if self.cost < self.best_cost {
                self.keep();
            }
        }
    }

    fn keep(&mut self) {
        self.best.clone_from(&self.current);
        self.best_cost = self.cost;
    }

    /// Anneals for so many rounds, or until the caller stops; answers the rounds done.
    ///
    /// The temperature falls over the rounds asked for: a caller with a clock takes
    /// [`Search::anneal_until_spent`].
    pub fn anneal(&mut self, rounds: u64, keep_going: &mut dyn FnMut() -> bool) -> u64 {
        self.anneal_part(0..rounds, rounds, keep_going)
    }

    /// The part of [`Search::anneal`] with `rounds` that is these ones of them. Parts one behind the other,
    /// each begun where the last one ended, come to what all rounds at once come to.
    #[expect(clippy::cast_precision_loss, reason = "rounds are far below 2^53")]
    pub fn anneal_part(
        &mut self,
        part: Range<u64>,
        rounds: u64,
        keep_going: &mut dyn FnMut() -> bool,
    ) -> u64 {
        if self.tables.jobs == 0 {
            return 0;
        }
        if part.start == 0 {
            self.first_temperature = self.warm();
        }
        let warm = self.first_temperature;
        let temperature_at = |round: u64| {
            let steps = round - round % STRIDE;
            warm * COLD_SHARE.powf(steps as f64 / rounds as f64)
        };
        let mut temperature = temperature_at(part.start);
        for round in part.clone() {
            if round % STRIDE == 0 {
                temperature = temperature_at(round);
            }
            if !keep_going() {
                return round - part.start;
            }
            self.round(temperature);
        }
        part.end.saturating_sub(part.start)
    }

    /// Anneals until the caller's budget is spent, whatever it counts; answers the rounds done.
    ///
    /// `spent` tells the share of the budget that is gone; at 1 the search ends. So it is cold just in
    /// time, however long rounds take: what a short probe at the start foretells is wrong as soon as the
    /// machine has other work too.
    pub fn anneal_until_spent(&mut self, spent: &mut dyn FnMut() -> f64) -> u64 {
        if self.tables.jobs == 0 {
            return 0;
        }
        let warm = self.warm();
        let mut temperature = warm;
        let mut rounds = 0;
        loop {
            if rounds % STRIDE == 0 {
                let share = spent();
                if share.is_nan() || share >= 1.0 {
                    return rounds;
                }
                temperature = warm * COLD_SHARE.powf(share);
            }
            self.round(temperature);
            rounds += 1;
        }
    }

    /// The first temperature.
    #[expect(clippy::cast_precision_loss, reason = "costs of plans are far below 2^53")]
    fn warm(&self) -> f64 {
        (self.warm_share * self.best_cost as f64 / self.tables.jobs as f64).clamp(1.0, WARMEST)
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "temperatures are about a job's price"
    )]
    fn round(&mut self, temperature: f64) {
        let worse = -temperature * (1.0 - self.chance.unit()).ln();
        let accept = 1 + worse.min(1e15) as i64;
        let change = self
            .rounds
            .round(&self.tables, &mut self.current, &mut self.chance, accept);
        self.cost += change;
        if self.cost < self.best_cost {
            self.keep();
        }
    }

    /// The best plan so far.
    #[must_use]
    pub const fn best(&self) -> &Plan {
        &self.best
    }

    /// Its cost.
    #[must_use]
    pub const fn best_cost(&self) -> i64 {
        self.best_cost
    }

    /// Whether the best plan has every job inside a window.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.best.is_complete(&self.tables)
    }

    /// The tables of the problem.
    #[must_use]
    pub const fn tables(&self) -> &Tables {
        &self.tables
    }
}

fn warm_share(problem: &Problem) -> f64 {
    let opens = problem.stations.iter().flat_map(|station| &station.windows);
    let opens = opens.map(|window| window.from).min().unwrap_or(0);
    let to_come = problem.jobs.iter().filter(|job| job.release > opens).count();
    if 2 * to_come > problem.jobs.len() {
        WARM_SHARE_OF_A_DAY
    } else {
        WARM_SHARE
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dispatch::invented::day;

    #[test]
    fn rounds_in_parts_come_to_what_they_come_to_at_once() {
        for seed in 0..5 {
            let problem = day(seed, 30, 3);
            let mut at_once = Search::new(&problem, seed);
            assert_eq!(at_once.anneal(100, &mut || true), 100);
            let mut in_parts = Search::new(&problem, seed);
            // parts that end where the temperature is set anew and where it is not
            for part in [0..13, 13..64, 64..100] {
                let rounds = part.end - part.start;
                assert_eq!(in_parts.anneal_part(part, 100, &mut || true), rounds);
            }
            assert_eq!(in_parts.best_cost(), at_once.best_cost(), "seed {seed}");
            assert_eq!(
                in_parts.best().schedule(),
                at_once.best().schedule(),
                "seed {seed}"
            );
        }
    }
}
