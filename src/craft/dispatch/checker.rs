//! The independent judge: whether a schedule is feasible, and what it costs.
//!
//! Written from the statement of the problem alone. It names the codes of
//! [`rules`](crate::dispatch::rules) and calls none of their functions, nor
//! any of the solver's, so that a slip there shows here.
use std::collections::{BTreeMap, BTreeSet};

use crate::dispatch::problem::{Clamp, Hold, Problem};
use crate::dispatch::rules::{
    barred, block_length, clamps, first, hard_hold, once, pinned, release, windows,
};
use crate::dispatch::schedule::{Op, Schedule};

/// A rule that a schedule breaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Breach {
    /// Stable code of the rule.
    pub code: &'static str,
    /// Id of the job, or its index where there is no such job.
    pub job: i64,
    /// What is wrong.
    pub detail: String,
}

/// The parts of the cost, and what people ask about a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Figures {
    /// The objective.
    pub cost: i64,
    /// Seconds late times weight.
    pub weighted_tardiness: i64,
    /// Rackets late.
    pub late: i64,
    /// Continuity breaks.
    pub breaks: i64,
    /// Seconds from release to completion, of all jobs.
    pub flow: i64,
    /// Seconds after what players were told, of all jobs.
    pub promise_overrun_s: i64,
    /// Seconds of set-up.
    pub set_up_s: i64,
    /// The longest lateness in seconds.
    pub max_tardiness_s: i64,
}

/// The judge's answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// All breaches; none makes a feasible schedule.
    pub breaches: Vec<Breach>,
    /// The figures, over the blocks that exist.
    pub figures: Figures,
}

/// Judges a schedule.
#[must_use]
pub fn check(problem: &Problem, schedule: &Schedule) -> Verdict {
    let mut judge = Judge {
        problem,
        breaches: Vec::new(),
        figures: Figures::default(),
        places: BTreeMap::new(),
    };
    let mut seen = vec![0_usize; problem.jobs.len()];
    let mut lanes: BTreeMap<usize, Vec<Op>> = BTreeMap::new();
    for op in &schedule.ops {
        if op.job >= problem.jobs.len() || op.station >= problem.stations.len() {
            let index = i64::try_from(op.job).unwrap_or(i64::MAX);
            judge.breach(once::CODE, index, "names a job or station that is not there");
            continue;
        }
        seen[op.job] += 1;
        lanes.entry(op.station).or_default().push(*op);
    }
    for (job, times) in problem.jobs.iter().zip(&seen) {
        if *times != 1 {
            judge.breach(once::CODE, job.id, format!("is scheduled {times} times"));
        }
    }
    for ops in lanes.values_mut() {
        ops.sort_by_key(|op| (op.start, op.end));
        judge.lane(ops);
        judge.heads(ops);
    }
    judge.finish()
}

struct Judge<'a> {
    problem: &'a Problem,
    breaches: Vec<Breach>,
    figures: Figures,
    /// Stations by player without a home.
    places: BTreeMap<usize, BTreeSet<usize>>,
}

impl Judge<'_> {
    fn breach(&mut self, code: &'static str, job: i64, detail: impl Into<String>) {
        self.breaches.push(Breach {
            code,
            job,
            detail: detail.into(),
        });
    }

    fn lane(&mut self, ops: &[Op]) {
        for (index, op) in ops.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|index| ops.get(index));
            self.feasible(op, before);
            self.count(op);
        }
    }

    /// A station's head is what a person put there, as long as any of it is in the plan.
    fn heads(&mut self, ops: &[Op]) {
        let Some(station) = ops.first().map(|op| &self.problem.stations[op.station]) else {
            return;
        };
        for (place, wanted) in station.first.iter().enumerate() {
            if ops.get(place).map(|op| op.job) != Some(*wanted) {
                let id = self.problem.jobs.get(*wanted).map_or(-1, |job| job.id);
                self.breach(
                    first::CODE,
                    id,
                    format!("is not number {} of its station", place + 1),
                );
            }
        }
    }

    fn feasible(&mut self, op: &Op, before: Option<&Op>) {
        let (problem, job) = (self.problem, &self.problem.jobs[op.job]);
        let (station, player) = (&problem.stations[op.station], &problem.players[job.player]);
        if job.swivel && station.clamp == Clamp::Glide {
            self.breach(clamps::CODE, job.id, "needs swivel clamps");
        }
        if player.hold == Hold::Hard && player.home.is_some() && player.home != Some(op.station) {
            self.breach(hard_hold::CODE, job.id, "must stay at its player's home station");
        }
        if job.pinned.is_some() && job.pinned != Some(op.station) {
            self.breach(pinned::CODE, job.id, "is pinned to another station");
        }
        if job.barred.contains(&op.station) {
            self.breach(barred::CODE, job.id, "is kept from this station");
        }
        let attributes =
            |at: &crate::dispatch::problem::Attributes| [at.main, at.cross, at.pattern, at.mount, at.tension];
        let seconds = &problem.set_up;
        let seconds = [
            seconds.main,
            seconds.cross,
            seconds.pattern,
            seconds.mount,
            seconds.tension,
        ];
        let loaded = before.map_or(station.loaded, |op| Some(problem.jobs[op.job].needs));
        let set_up: i64 = match loaded.as_ref().map(attributes) {
            None => seconds.iter().sum(),
            Some(loaded) => {
                let wanted = attributes(&job.needs);
                (0..5)
                    .filter(|i| loaded[*i] != wanted[*i])
                    .map(|i| seconds[i])
                    .sum()
            }
        };
        self.figures.set_up_s += set_up;
        // half a second up: twice the product plus one, halved
        let length = set_up + (2 * job.base * station.pace + 1000).div_euclid(2000);
        if op.end - op.start != length {
            let detail = format!("lasts {} s instead of {length} s", op.end - op.start);
            self.breach(block_length::CODE, job.id, detail);
        }
        if op.start < job.release {
            self.breach(release::CODE, job.id, "starts before its release");
        }
        if before.is_some_and(|before| before.end > op.start) {
            self.breach(
                windows::OVERLAP_CODE,
                job.id,
                "starts before the block before it ends",
            );
        }
        let inside =
            |window: &crate::dispatch::problem::Window| op.start >= window.from && op.end <= window.to;
        if !station.windows.iter().any(inside) {
            self.breach(windows::CODE, job.id, "lies in no window of its station");
        }
    }

    fn count(&mut self, op: &Op) {
        let job = &self.problem.jobs[op.job];
        let late = (op.end - job.due).max(0);
        self.figures.weighted_tardiness += job.weight * late;
        self.figures.late += i64::from(late > 0);
        self.figures.max_tardiness_s = self.figures.max_tardiness_s.max(late);
        self.figures.flow += op.end - job.release;
        self.figures.promise_overrun_s += job.promised.map_or(0, |told| (op.end - told).max(0));
        match self.problem.players[job.player].home {
            Some(home) => self.figures.breaks += i64::from(home != op.station),
            None => {
                self.places.entry(job.player).or_default().insert(op.station);
            }
        }
    }

    fn finish(mut self) -> Verdict {
        for stations in self.places.values() {
            self.figures.breaks += i64::try_from(stations.len()).unwrap_or(i64::MAX) - 1;
        }
        let (prices, figures) = (&self.problem.prices, &mut self.figures);
        figures.cost = prices.tardy * figures.weighted_tardiness
            + prices.late * figures.late
            + prices.break_ * figures.breaks
            + prices.flow * figures.flow
            + prices.promise * figures.promise_overrun_s;
        Verdict {
            breaches: self.breaches,
            figures: self.figures,
        }
    }
}
