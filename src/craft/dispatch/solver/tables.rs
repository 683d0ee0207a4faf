//! The problem as matrices, made from the rules once per search.
use crate::dispatch::problem::{Attributes, Problem, Window};
use crate::dispatch::rules::{barred, block_length, clamps, continuity, hard_hold, pinned};
use crate::dispatch::solver::price::{BEHIND_WINDOWS, CompletionPrice};

/// Marks a station that may not do a job.
const NEVER: u32 = u32::MAX;
/// Marks a player with a home.
const HAS_HOME: u32 = u32::MAX;

/// Everything a search looks up, indexed by job and station.
#[derive(Debug, Clone)]
pub struct Tables {
    pub(super) jobs: usize,
    pub(super) stations: usize,
    /// Seconds of stringing by job and station.
    stringing: Vec<u32>,
    /// Seconds of set-up by what is before (a job, or after the jobs a station's own state) and job.
    set_up: Vec<u16>,
    /// Price of continuity by job and station, for players with a home.
    away: Vec<i64>,
    pub(super) release: Vec<i64>,
    pub(super) due: Vec<i64>,
    pub(super) weight: Vec<i64>,
    prices: Vec<CompletionPrice>,
    windows: Vec<Vec<Window>>,
    /// Number among the players without a home, by job.
    roamer: Vec<u32>,
    pub(super) roamers: usize,
    pub(super) break_price: i64,
    /// Stations that may do the job, home first.
    order: Vec<Vec<u32>>,
    pub(super) player: Vec<usize>,
    /// Jobs by player.
    jobs_of: Vec<Vec<u32>>,
    /// Jobs that a person put at the head of a station, in order.
    first: Vec<Vec<usize>>,
    /// Whether a job is one of those.
    is_first: Vec<bool>,
}

impl Tables {
    /// Makes the tables of a problem.
    #[must_use]
    pub fn new(problem: &Problem) -> Self {
        let (jobs, stations) = (problem.jobs.len(), problem.stations.len());
        let mut tables = Self {
            jobs,
            stations,
            stringing: vec![NEVER; jobs * stations],
            set_up: set_ups(problem),
            away: vec![0; jobs * stations],
            release: problem.jobs.iter().map(|job| job.release).collect(),
            due: problem.jobs.iter().map(|job| job.due).collect(),
            weight: problem.jobs.iter().map(|job| job.weight).collect(),
            prices: problem
                .jobs
                .iter()
                .map(|job| CompletionPrice::new(job, problem))
                .collect(),
            windows: problem
                .stations
                .iter()
                .map(|station| station.windows.clone())
                .collect(),
            roamer: Vec::new(),
            roamers: 0,
            break_price: problem.prices.break_,
            order: vec![Vec::new(); jobs],
            player: problem.jobs.iter().map(|job| job.player).collect(),
            jobs_of: vec![Vec::new(); problem.players.len()],
            first: vec![Vec::new(); stations],
            is_first: vec![false; jobs],
        };
        tables.number_roamers(problem);
        for job in 0..jobs {
            tables.jobs_of[problem.jobs[job].player].push(index32(job));
            tables.fill_job(problem, job);
        }
        tables.fill_heads(problem);
        tables
    }

    fn number_roamers(&mut self, problem: &Problem) {
        let mut numbers = vec![HAS_HOME; problem.players.len()];
        for job in &problem.jobs {
            if problem.players[job.player].home.is_none() && numbers[job.player] == HAS_HOME {
                numbers[job.player] = index32(self.roamers);
                self.roamers += 1;
            }
        }
        self.roamer = problem.jobs.iter().map(|job| numbers[job.player]).collect();
    }

    fn fill_job(&mut self, problem: &Problem, index: usize) {
        let job = &problem.jobs[index];
        let player = &problem.players[job.player];
        for (place, station) in problem.stations.iter().enumerate() {
            let cell = index * self.stations + place;
            if !clamps::allows(job, station)
                || !hard_hold::allows(player, place)
                || !pinned::allows(job, place)
                || !barred::allows(job, place)
            {
                continue;
            }
            let seconds = block_length::stringing_s(job, station);
            self.stringing[cell] = u32::try_from(seconds).unwrap_or(NEVER - 1);
            self.away[cell] = self.break_price * continuity::away_from_home(player, place);
            self.order[index].push(index32(place));
        }
        let key = |place: &u32| {
            let cell = index * self.stations + *place as usize;
            (self.away[cell], self.stringing[cell], *place)
        };
        let mut order = std::mem::take(&mut self.order[index]);
        order.sort_by_key(key);
        self.order[index] = order;
    }

    fn fill_heads(&mut self, problem: &Problem) {
        for (place, station) in problem.stations.iter().enumerate() {
            for &job in &station.first {
                if job < self.jobs && !self.is_first[job] && self.stringing(job, place).is_some() {
                    self.is_first[job] = true;
                    self.first[place].push(job);
                }
            }
        }
    }

    /// What is strung first on this station, in order.
    pub(super) fn first(&self, station: usize) -> &[usize] {
        &self.first[station]
    }

    /// Whether the job's place is not the solver's to change.
    #[inline]
    pub(super) fn is_first(&self, job: usize) -> bool {
        self.is_first[job]
    }

    /// Seconds of stringing, or `None` where the station may not do it.
    #[inline]
    pub(super) fn stringing(&self, job: usize, station: usize) -> Option<i64> {
        let seconds = self.stringing[job * self.stations + station];
        (seconds != NEVER).then(|| i64::from(seconds))
    }

    /// Seconds of stringing where the station may do it.
    #[inline]
    pub(super) fn stringing_there(&self, job: usize, station: usize) -> i64 {
        i64::from(self.stringing[job * self.stations + station])
    }

    /// What stands for the station's own state in [`Tables::set_up`].
    #[inline]
    pub(super) const fn loaded(&self, station: usize) -> usize {
        self.jobs + station
    }

    /// Seconds of set-up for `job` after `before`.
    #[inline]
    pub(super) fn set_up(&self, before: usize, job: usize) -> i64 {
        i64::from(self.set_up[before * self.jobs + job])
    }

    /// Price of a job with a home on this station.
    #[inline]
    pub(super) fn away(&self, job: usize, station: usize) -> i64 {
        self.away[job * self.stations + station]
    }

    /// The job's player among those without a home.
    #[inline]
    pub(super) fn roamer(&self, job: usize) -> Option<usize> {
        let number = self.roamer[job];
        (number != HAS_HOME).then_some(number as usize)
    }

    /// The jobs of a player.
    pub(super) fn jobs_of(&self, player: usize) -> &[u32] {
        &self.jobs_of[player]
    }

    /// Stations that may do the job: the cheapest by continuity and pace first.
    #[inline]
    pub(super) fn order(&self, job: usize) -> &[u32] {
        &self.order[job]
    }

    pub(super) fn windows(&self, station: usize) -> &[Window] {
        &self.windows[station]
    }

    /// Price of a completion in the window of this index.
    #[inline]
    pub(super) fn completion(&self, job: usize, completion: i64, inside: bool) -> i64 {
        let price = self.prices[job].at(completion);
        if inside { price } else { price + BEHIND_WINDOWS }
    }
}

fn set_ups(problem: &Problem) -> Vec<u16> {
    let jobs = &problem.jobs;
    let seconds = |before: Option<&Attributes>, next: &Attributes| {
        u16::try_from(block_length::set_up_s(&problem.set_up, before, next)).unwrap_or(u16::MAX)
    };
    let after_jobs = jobs
        .iter()
        .flat_map(|before| jobs.iter().map(|next| seconds(Some(&before.needs), &next.needs)));
    let after_nothing = problem.stations.iter().flat_map(|station| {
        jobs.iter()
            .map(|next| seconds(station.loaded.as_ref(), &next.needs))
    });
    after_jobs.chain(after_nothing).collect()
}

/// An index as the solver keeps it; problems are far smaller than 2^32.
pub(super) fn index32(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX - 1)
}
