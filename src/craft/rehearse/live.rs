//! The live dispatcher: replans from its last plan at every moment that matters.
use crate::craft::dispatch::problem::{Hold, Player, Problem, Station, Window};
use crate::craft::dispatch::solver::Search;
use crate::craft::rehearse::scene::{Dispatcher, Scene};

/// A job that should have ended by plan ends this much later, again and again.
const ANY_MOMENT_S: i64 = 60;

/// Replans by expected cost.
#[derive(Debug, Clone)]
pub struct Live {
    /// Rounds of search per plan.
    pub rounds: u64,
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
            rounds,
            seed,
            plan: Vec::new(),
            plans: 0,
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
        search.anneal(self.rounds, &mut || true);
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
fn job_now(scene: &Scene<'_>, index: usize) -> crate::craft::dispatch::problem::Job {
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
