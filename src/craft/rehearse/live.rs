//! The live dispatcher: replans from its last plan at every moment that matters.
//!
//! What was tried on the days mid-1 and mid-3 beyond this and is left out, since over six to twelve
//! repetitions it changed the cost by less than chance does (half of the 95 % interval is 20 to 35 %):
//! places kept free for rackets from the court, as many as running matches bring on the average in
//! the next half hour (-6 and 0 %) or quarter of an hour (-1 and 0 %); a spread of match starts of half
//! or one and a half times (+2 and +8, +4 and +3 %); twice the variance of stringing (+5 and -6 %); half more
//! for a late racket (0 and -2 %); three times the price of a racket's stay (+7 and -4 %); a cooler
//! start of the search (-10 and -4 % at 200 rounds, +2 and +7 % at 600). Over twenty repetitions likewise:
//! due times three tenths of the forecast's deviation earlier (+2 and +6 %). On small-1, over 120 repetitions,
//! rackets from the court are ready as often as with earliest due first (67.1 and 67.1 %, ±3.3; over the
//! first twenty 75.0 and 76.7 %, ±7); due times earlier as above make it 69.6 % at the same cost. There, over twenty,
//! nothing was gained by a fifth of the price of a break (+10 %), by due times of rackets from the court
//! five minutes earlier (+6 %), twice or three times the price of a late racket (0 and +4 %), nor by
//! letting an idle station begin what another was to string later (0 %). With a tenth of the time taken by
//! arrivals (`TAKEN_BY_ARRIVALS`), over sixty repetitions of mid-1 and mid-3: only for rackets with a match
//! +3 and +1 %; a break at 1.3 times its price +4 and +4 %; half the variance of match starts with due times a
//! quarter of a deviation earlier +8 and +7 %; completions that spread by a tenth of the time until due
//! +4 % on mid-3. Over twenty repetitions of mid-1, six or seven futures drawn for each decision, the due times of a
//! court's matches moved together within the forecast: to begin the job that costs least over all futures, each
//! searched anew behind it, +43 % (a plan that knows when its matches start waits for them); to begin the job that
//! most futures begin, +1 %. Even to know exactly which rackets come within half an hour is worth -26 % on mid-1, most of
//! it rackets from the court, and costs 22 % on mid-3; to know all that come later is worth no more. What the
//! plan lacks against one that knows everything is mostly when matches really start.
//!
//! Measured over the seeds 1, 2 and 3 of twenty repetitions, weighted minutes late against `atcsb`, the best plain
//! rule: mid-1 -52, -44 and -49 %, mid-3 -52, -57 and -58 %.
use crate::dispatch::problem::{Hold, Player, Problem, Station, Window};
use crate::dispatch::solver::{Search, TAKEN_BY_ARRIVALS, rounds_per_plan};
use crate::rehearse::scene::{Dispatcher, Scene};

/// A job that should have ended by plan ends this much later, again and again.
const ANY_MOMENT_S: i64 = 60;

/// Replans by expected cost.
#[derive(Debug, Clone)]
pub struct Live {
    /// Rounds of search per plan; none: as many as the running desk searches.
    pub rounds: Option<u64>,
    /// Seed of the searches.
    pub seed: u64,
    /// The last plan: jobs of the day by station.
    plan: Vec<Vec<usize>>,
    plans: u64,
}

impl Live {
    /// A dispatcher that searches `rounds` rounds per plan.
    #[must_use]
    pub const fn new(rounds: u64, seed: u64) -> Self {
        Self {
            rounds: Some(rounds),
            seed,
            plan: Vec::new(),
            plans: 0,
        }
    }

    /// A dispatcher that searches as long as the running desk does.
    #[must_use]
    pub fn as_on_the_desk(seed: u64) -> Self {
        Self {
            rounds: None,
            ..Self::new(0, seed)
        }
    }
}

impl Dispatcher for Live {
    fn decide(&mut self, scene: &Scene<'_>, free: &[usize]) -> Vec<(usize, usize)> {
        let problem = snapshot(scene);
        let index_of = |job: &usize| scene.waiting.iter().position(|waiting| waiting == job);
        let last: Vec<Vec<usize>> = self
            .plan
            .iter()
            .map(|lane| lane.iter().filter_map(index_of).collect())
            .collect();
        self.plans += 1;
        let mut search = Search::from_sequences(&problem, self.seed ^ self.plans, &last);
        let rounds = self.rounds.unwrap_or_else(|| rounds_per_plan(problem.jobs.len()));
        search.anneal(rounds, &mut || true);
        let plan = search.best();
        let lane = |station: usize| {
            plan.lane(station)
                .iter()
                .map(|slot| scene.waiting[slot.job as usize])
        };
        self.plan = (0..problem.stations.len())
            .map(|station| lane(station).collect())
            .collect();
        let first = |&station: &usize| {
            let slot = plan.lane(station).first()?;
            (slot.end - slot.length <= scene.now).then(|| (station, scene.waiting[slot.job as usize]))
        };
        free.iter().filter_map(first).collect()
    }
}

/// The problem of this moment: what waits, on stations as they stand.
fn snapshot(scene: &Scene<'_>) -> Problem {
    let day = &scene.day.problem;
    let stations = day
        .stations
        .iter()
        .zip(scene.stations)
        .map(|(station, now)| Station {
            loaded: now.loaded,
            windows: windows_from(
                station,
                if now.busy {
                    now.planned_end.max(scene.now + ANY_MOMENT_S)
                } else {
                    scene.now
                },
                day.horizon,
            ),
            ..station.clone()
        })
        .collect();
    let players = day.players.iter().enumerate().map(|(index, player)| Player {
        id: player.id,
        home: scene.home(index),
        hold: if player.home.is_some() {
            player.hold
        } else {
            Hold::Soft
        },
    });
    let jobs = scene.waiting.iter().map(|&index| job_now(scene, index)).collect();
    Problem {
        name: String::new(),
        t0: scene.now,
        horizon: day.horizon,
        taken_by_arrivals: TAKEN_BY_ARRIVALS,
        prices: day.prices,
        set_up: day.set_up,
        stations,
        players: players.collect(),
        jobs,
    }
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "seconds of a day"
)]
fn job_now(scene: &Scene<'_>, index: usize) -> crate::dispatch::problem::Job {
    let mut job = scene.day.problem.jobs[index].clone();
    let (due, variance) = scene.due(index);
    job.release = scene.release(index);
    job.due = due.round() as i64;
    let stringing = scene.day.duration_variation * job.base as f64;
    // its own stringing, and about as much of those before it
    job.spread_s = stringing.mul_add(2.0 * stringing, variance).sqrt();
    job
}

/// The windows from `from` on; who works to the horizon stays until all is done.
fn windows_from(station: &Station, from: i64, horizon: i64) -> Vec<Window> {
    station
        .windows
        .iter()
        .map(|window| Window {
            from: window.from.max(from),
            to: if window.to >= horizon {
                horizon + 400_000
            } else {
                window.to
            },
        })
        .filter(|window| window.from < window.to)
        .collect()
}
