//! What a dispatcher sees at one moment of the day.
use crate::dispatch::file::{Arrival, Day};
use crate::dispatch::problem::Attributes;
use crate::dispatch::rules::{block_length, clamps, hard_hold};
use crate::rehearse::forecast;
use crate::rehearse::world::World;

/// A station at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct StationNow {
    /// What it is set up for.
    pub loaded: Option<Attributes>,
    /// When its present job should end by plan; in the past when it has none.
    pub planned_end: i64,
    /// When its present job began; no sooner than this is it free.
    pub busy: bool,
}

/// One moment: what has come, what waits, who works.
#[derive(Debug)]
pub struct Scene<'a> {
    /// The day as planned.
    pub day: &'a Day,
    /// Now.
    pub now: i64,
    /// Jobs that have come and are not begun, by index.
    pub waiting: &'a [usize],
    /// The stations.
    pub stations: &'a [StationNow],
    /// Stations that strung for each player, in order.
    pub served: &'a [Vec<usize>],
    /// The repetition, of which only the past and the present may be told.
    pub(super) world: &'a World,
}

/// A way to dispatch.
pub trait Dispatcher {
    /// Names a job for each free station that should begin one now.
    fn decide(&mut self, scene: &Scene<'_>, free: &[usize]) -> Vec<(usize, usize)>;
}

impl Scene<'_> {
    /// When a waiting job is due as far as can be told: mean, and variance in seconds squared.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    pub fn due(&self, job: usize) -> (f64, f64) {
        match self.day.arrivals[job] {
            Arrival::BeforeMatch {
                court, number, lead, ..
            } => {
                let start = forecast::start(
                    &self.day.courts[court],
                    &self.world.courts[court],
                    number,
                    self.now as f64,
                );
                (start.mean_s - lead as f64, start.variance)
            }
            Arrival::Known | Arrival::OnCourt { .. } => (self.world.due[job] as f64, 0.0),
        }
    }

    /// Matches that run now, by court and number.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    pub fn running(&self) -> Vec<(usize, usize)> {
        let now = self.now as f64;
        let runs = |(court, matches): (usize, &Vec<super::world::PlayedMatch>)| {
            let number = matches
                .iter()
                .position(|played| played.start_s <= now && now < played.start_s + played.length_s)?;
            Some((court, number))
        };
        self.world.courts.iter().enumerate().filter_map(runs).collect()
    }

    /// When a racket came.
    #[must_use]
    pub fn release(&self, job: usize) -> i64 {
        self.world.release[job]
    }

    /// Whether the station may do the job at all.
    #[must_use]
    pub fn allowed(&self, job: usize, station: usize) -> bool {
        let problem = &self.day.problem;
        let job = &problem.jobs[job];
        clamps::allows(job, &problem.stations[station])
            && hard_hold::allows(&problem.players[job.player], station)
    }

    /// Seconds of set-up and of stringing, as planned.
    #[must_use]
    pub fn planned(&self, job: usize, station: usize) -> (i64, i64) {
        let problem = &self.day.problem;
        let (job, place) = (&problem.jobs[job], &problem.stations[station]);
        let set_up = block_length::set_up_s(
            &problem.set_up,
            self.stations[station].loaded.as_ref(),
            &job.needs,
        );
        (set_up, block_length::stringing_s(job, place))
    }

    /// The end of the station's present window, if it is open.
    #[must_use]
    pub fn open_until(&self, station: usize) -> Option<i64> {
        open_until(self.day, station, self.now)
    }

    /// The player's station: their own, or where they were served last.
    #[must_use]
    pub fn home(&self, player: usize) -> Option<usize> {
        self.day.problem.players[player]
            .home
            .or_else(|| self.served[player].last().copied())
    }
}

/// The end of the window that holds `now`; who works to the horizon stays until all is done.
pub(super) fn open_until(day: &Day, station: usize, now: i64) -> Option<i64> {
    let windows = &day.problem.stations[station].windows;
    let window = windows.iter().rfind(|window| window.from <= now)?;
    if window.to >= day.problem.horizon {
        return Some(i64::MAX);
    }
    (now < window.to).then_some(window.to)
}
