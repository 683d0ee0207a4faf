//! Searching for an order of work: a first one as soon as may be, the settled one after all rounds.
use std::collections::HashMap;

use super::{PlannedJob, PlannedLane, UnplannedJob, WorkPlan};
use crate::craft::dispatch::checker::check;
use crate::craft::dispatch::problem as dispatch;
use crate::craft::dispatch::rules::{block_length, promise};
use crate::craft::dispatch::solver::{Search, rounds_per_plan};
use crate::craft::normal::share_below;
use crate::desk::waiting_work::{CHECK_S, WaitingWork, spread_s};

/// The first order comes after this part of the rounds: it seldom changes any more, and whoever waits for it
/// sees it that much sooner.
pub const FIRST_PART: u64 = 4;

/// A search for the order of some work. Rounds and seed are fixed, so the same work gives the same plan.
#[derive(Debug)]
pub struct Planning {
    search: Search,
    rounds: u64,
    done: u64,
}

/// The settled plan for this work, searched from `last`.
#[must_use]
pub fn plan_of(work: &WaitingWork, last: &WorkPlan) -> WorkPlan {
    Planning::begin(work, last).settled(work)
}

impl Planning {
    /// Begins from the last plan; what is new stands where it costs least.
    #[must_use]
    pub fn begin(work: &WaitingWork, last: &WorkPlan) -> Self {
        let sheets = work.sheets.iter().enumerate();
        let index_of: HashMap<&str, usize> = sheets.map(|(index, sheet)| (&*sheet.job.id, index)).collect();
        let sequence = |station_id: &String| -> Vec<usize> {
            let lane = last.lanes.iter().find(|lane| &lane.station_id == station_id);
            let jobs = lane.into_iter().flat_map(|lane| &lane.jobs);
            jobs.filter_map(|job| index_of.get(&*job.job_id).copied())
                .collect()
        };
        let stations = work.stations.iter();
        let sequences: Vec<Vec<usize>> = stations.map(|station| sequence(&station.id)).collect();
        Self {
            search: Search::from_sequences(&work.problem, 1, &sequences),
            rounds: rounds_per_plan(work.problem.jobs.len()),
            done: 0,
        }
    }

    /// The best order after the first rounds. `work` is what the search began with.
    #[must_use]
    pub fn first(&mut self, work: &WaitingWork) -> WorkPlan {
        self.search_until(self.rounds / FIRST_PART);
        plan(work, &self.search)
    }

    /// The best order after all rounds, the same whether a first one was asked for or not.
    #[must_use]
    pub fn settled(&mut self, work: &WaitingWork) -> WorkPlan {
        self.search_until(self.rounds);
        plan(work, &self.search)
    }

    fn search_until(&mut self, round: u64) {
        self.search
            .anneal_part(self.done..round, self.rounds, &mut || true);
        self.done = round;
    }
}

/// The best plan of a search as the desk keeps it.
fn plan(work: &WaitingWork, search: &Search) -> WorkPlan {
    let best = search.best();
    let mut lanes = Vec::new();
    for (index, station) in work.stations.iter().enumerate() {
        let mut variance = work.present_spread_s[index].powi(2);
        let slots = best.lane(index);
        let in_order = drop_offs_in_order(
            work,
            index,
            slots
                .iter()
                .map(|slot| (usize::try_from(slot.job).unwrap_or(0), slot.end)),
        );
        let jobs = slots.iter().zip(in_order).map(|(slot, job)| {
            variance += spread_s(&work.sheets[job]).powi(2);
            let planned = planned(work, job, index, slot.end - slot.length, slot.end);
            PlannedJob {
                ready_spread_s: variance.sqrt().round(),
                ..planned
            }
        });
        lanes.push(PlannedLane {
            station_id: station.id.clone(),
            station_name: station.name.clone(),
            jobs: jobs.collect(),
        });
    }
    let unplanned = work.unplanned.iter().map(|job| UnplannedJob {
        job_id: job.job_id.clone(),
        why: job.why.words().to_owned(),
        code: job.why,
    });
    WorkPlan {
        lanes,
        unplanned: unplanned.collect(),
        risks: Vec::new(),
        cost: search.best_cost(),
        continuity_breaks: check(&work.problem, &best.schedule()).figures.breaks,
    }
}

/// Rackets that cost the same in each other's place go by drop-off: first the one that the station is at, then those
/// that came earlier, each in its own order. The search knows no order among equals and would mix them. `lane` are the
/// jobs and when each ends.
fn drop_offs_in_order(
    work: &WaitingWork,
    station: usize,
    lane: impl Iterator<Item = (usize, i64)>,
) -> Vec<usize> {
    let (mut lane, ends): (Vec<usize>, Vec<i64>) = lane.unzip();
    let first = &work.problem.stations[station].first;
    let alike = |one: usize, other: usize| {
        let (facts, others) = (&work.problem.jobs[one], &work.problem.jobs[other]);
        // at one station it costs the same whose racket it is
        let same_but_owner = dispatch::Job {
            id: others.id,
            player: others.player,
            promised: others.promised,
            ..facts.clone()
        };
        same_but_owner == *others && !first.contains(&one) && !first.contains(&other)
    };
    let turn = |job: usize| {
        let row = &work.sheets[job].job;
        let elsewhere = row.batch_id.is_none() || row.batch_id != work.drop_offs_there[station];
        (
            elsewhere,
            row.received_at.utc(),
            &row.batch_id,
            row.batch_place,
            &row.code,
        )
    };
    for early in 0..lane.len() {
        for late in early + 1..lane.len() {
            let (one, other) = (lane[early], lane[late]);
            let kept = || {
                let after = |job: usize, end: i64| {
                    let told = work.problem.jobs[job].promised;
                    told.map_or(0, |told| promise::price(work.problem.prices.promise, end - told))
                };
                let (sooner, later) = (ends[early], ends[late]);
                after(other, sooner) + after(one, later) <= after(one, sooner) + after(other, later)
            };
            if turn(other) < turn(one) && alike(one, other) && kept() {
                lane.swap(early, late);
            }
        }
    }
    lane
}

fn planned(work: &WaitingWork, job: usize, station: usize, start: i64, end: i64) -> PlannedJob {
    let (facts, sheet) = (&work.problem.jobs[job], &work.sheets[job]);
    let stringing_s = block_length::stringing_s(facts, &work.problem.stations[station]);
    let due_at = sheet.job.due_at.utc();
    // a rush moves the planner's due time, not the one that was asked for
    let late_s = work.at(end + CHECK_S).signed_duration_since(due_at).num_seconds();
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    let chance = share_below(late_s as f64 / facts.spread_s.max(1.0));
    let home = work.problem.players[facts.player].home;
    PlannedJob {
        job_id: sheet.job.id.clone(),
        tag_code: sheet.job.code.clone(),
        start_at: work.at(start),
        set_up_s: end - start - stringing_s,
        stringing_s,
        check_s: CHECK_S,
        ready_at: work.at(end + CHECK_S),
        ready_spread_s: 0.0,
        due_at,
        late_s: late_s.max(0),
        chance_late: (chance * 1000.0).round() / 1000.0,
        away_from_home: home.is_some_and(|home| home != station),
    }
}
