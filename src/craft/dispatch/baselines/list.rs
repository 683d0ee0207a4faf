//! Plays a plain rule over the whole problem.
use crate::dispatch::baselines::{Look, Rule, Scales};
use crate::dispatch::problem::Problem;
use crate::dispatch::rules::{block_length, clamps, first, hard_hold, pinned};

/// The sequences of jobs by station that a rule makes.
///
/// A job that the rule finds no room for in a window is in no sequence.
#[must_use]
pub fn list_schedule(problem: &Problem, rule: Rule, scales: Scales) -> Vec<Vec<usize>> {
    let mut play = Play::new(problem, rule, scales);
    while let Some(station) = play.first_free() {
        match play.best(station) {
            Some((job, end)) => play.take(station, job, end),
            None => play.wait(station),
        }
    }
    play.sequences
}

struct Play<'a> {
    problem: &'a Problem,
    rule: Rule,
    scales: Scales,
    sequences: Vec<Vec<usize>>,
    /// When each station is free; `None` when its windows are over.
    free: Vec<Option<i64>>,
    open: Vec<bool>,
    /// The stations that have strung for a player.
    served: Vec<Vec<usize>>,
    mean_stringing_s: f64,
    mean_set_up_s: f64,
}

impl<'a> Play<'a> {
    #[expect(clippy::cast_precision_loss, reason = "seconds are far below 2^53")]
    fn new(problem: &'a Problem, rule: Rule, scales: Scales) -> Self {
        let jobs = problem.jobs.len().max(1) as f64;
        let first = problem.jobs.first();
        let whole = first.map_or(0, |job| block_length::set_up_s(&problem.set_up, None, &job.needs));
        Self {
            problem,
            rule,
            scales,
            sequences: vec![Vec::new(); problem.stations.len()],
            free: problem
                .stations
                .iter()
                .map(|station| station.windows.first().map(|window| window.from))
                .collect(),
            open: vec![true; problem.jobs.len()],
            served: vec![Vec::new(); problem.players.len()],
            mean_stringing_s: problem.jobs.iter().map(|job| job.base as f64).sum::<f64>() / jobs,
            // about half of what can change does, from one job to the next
            mean_set_up_s: 0.5 * whole as f64,
        }
    }

    fn first_free(&self) -> Option<usize> {
        if !self.open.contains(&true) {
            return None;
        }
        (0..self.free.len())
            .filter(|station| self.free[*station].is_some())
            .min_by_key(|station| (self.free[*station], *station))
    }

    /// The job with the highest index that fits where the station stands, with its end.
    fn best(&self, station: usize) -> Option<(usize, i64)> {
        let now = self.free[station]?;
        let place = &self.problem.stations[station];
        let window = place
            .windows
            .iter()
            .find(|window| now >= window.from && now < window.to)?;
        let mut best: Option<(f64, usize, i64)> = None;
        for (index, job) in self.problem.jobs.iter().enumerate() {
            let player = &self.problem.players[job.player];
            let allowed = self.open[index]
                && job.release <= now
                && clamps::allows(job, place)
                && hard_hold::allows(player, station)
                && pinned::allows(job, station)
                && first::allows(
                    &self.problem.stations,
                    station,
                    self.sequences[station].len(),
                    index,
                );
            if !allowed {
                continue;
            }
            let set_up = self.set_up_s(station, index);
            let end = now + set_up + block_length::stringing_s(job, place);
            if end > window.to {
                continue;
            }
            let value = self
                .rule
                .index(&self.look(station, index, now, set_up), self.scales);
            if best.is_none_or(|(highest, _, _)| value > highest) {
                best = Some((value, index, end));
            }
        }
        best.map(|(_, job, end)| (job, end))
    }

    fn set_up_s(&self, station: usize, job: usize) -> i64 {
        let before = match self.sequences[station].last() {
            Some(last) => Some(&self.problem.jobs[*last].needs),
            None => self.problem.stations[station].loaded.as_ref(),
        };
        block_length::set_up_s(&self.problem.set_up, before, &self.problem.jobs[job].needs)
    }

    #[expect(clippy::cast_precision_loss, reason = "seconds are far below 2^53")]
    fn look(&self, station: usize, index: usize, now: i64, set_up: i64) -> Look {
        let job = &self.problem.jobs[index];
        let away = match self.problem.players[job.player].home {
            Some(home) => home != station,
            None => {
                let served = &self.served[job.player];
                !served.is_empty() && !served.contains(&station)
            }
        };
        Look {
            now_s: now as f64,
            release_s: job.release as f64,
            due_s: job.due as f64,
            weight: job.weight as f64,
            stringing_s: block_length::stringing_s(job, &self.problem.stations[station]) as f64,
            set_up_s: set_up as f64,
            away,
            mean_stringing_s: self.mean_stringing_s,
            mean_set_up_s: self.mean_set_up_s,
        }
    }

    fn take(&mut self, station: usize, job: usize, end: i64) {
        self.open[job] = false;
        self.sequences[station].push(job);
        self.served[self.problem.jobs[job].player].push(station);
        self.free[station] = Some(end);
    }

    /// Moves the station on to when something may be different: a release, or its next window.
    fn wait(&mut self, station: usize) {
        let Some(now) = self.free[station] else {
            return;
        };
        let waiting = self
            .problem
            .jobs
            .iter()
            .zip(&self.open)
            .filter(|(_, open)| **open);
        let release = waiting
            .map(|(job, _)| job.release)
            .filter(|release| *release > now)
            .min();
        let windows = &self.problem.stations[station].windows;
        let window = windows
            .iter()
            .map(|window| window.from)
            .filter(|from| *from > now)
            .min();
        self.free[station] = [release, window]
            .into_iter()
            .flatten()
            .min()
            .filter(|next| windows.iter().any(|window| window.to > *next));
    }
}
