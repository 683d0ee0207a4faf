//! Plays one repetition under one dispatcher.
use std::collections::BTreeMap;

use crate::dispatch::file::Day;
use crate::rehearse::scene::{Dispatcher, Scene, StationNow, open_until};
use crate::rehearse::world::World;

/// What came of one repetition.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// Jobs.
    pub jobs: usize,
    /// Jobs done by when they were due.
    pub ready: usize,
    /// Jobs brought from the court.
    pub on_court: usize,
    /// Of these, done by when they were due.
    pub on_court_ready: usize,
    /// Jobs done later.
    pub late: i64,
    /// Seconds late times weight.
    pub weighted_tardiness: i64,
    /// The longest lateness in seconds.
    pub max_tardiness_s: i64,
    /// Continuity breaks.
    pub breaks: i64,
    /// Seconds of set-up.
    pub set_up_s: i64,
    /// The objective.
    pub cost: i64,
    /// Start of the set-up by job.
    pub start: Vec<i64>,
    /// Completion by job.
    pub completion: Vec<i64>,
    /// Station by job.
    pub station: Vec<usize>,
}

struct Stage<'a> {
    day: &'a Day,
    world: &'a World,
    now: i64,
    waiting: Vec<usize>,
    stations: Vec<StationNow>,
    ends: Vec<Option<i64>>,
    served: Vec<Vec<usize>>,
    start: Vec<i64>,
    completion: Vec<i64>,
    station: Vec<usize>,
    set_up_s: i64,
}

/// Plays the repetition to its end.
pub fn play(day: &Day, world: &World, dispatcher: &mut dyn Dispatcher) -> Outcome {
    let jobs = day.problem.jobs.len();
    let stations = &day.problem.stations;
    let mut order: Vec<usize> = (0..jobs).collect();
    order.sort_by_key(|job| (world.release[*job], *job));
    let mut coming = order.into_iter().peekable();
    let mut stage = Stage {
        day,
        world,
        now: day.problem.t0,
        waiting: Vec::new(),
        stations: stations
            .iter()
            .map(|station| StationNow {
                loaded: station.loaded,
                planned_end: i64::MIN / 4,
                busy: false,
            })
            .collect(),
        ends: vec![None; stations.len()],
        served: vec![Vec::new(); day.problem.players.len()],
        start: vec![0; jobs],
        completion: vec![0; jobs],
        station: vec![0; jobs],
        set_up_s: 0,
    };
    loop {
        while let Some(job) = coming.next_if(|job| world.release[*job] <= stage.now) {
            stage.waiting.push(job);
        }
        stage.free_up();
        stage.dispatch(dispatcher);
        let next = coming.peek().map(|job| world.release[*job]);
        let Some(next) = stage.next_moment(next) else {
            break;
        };
        stage.now = next;
    }
    stage.outcome()
}

impl Stage<'_> {
    fn free_up(&mut self) {
        for (station, end) in self.stations.iter_mut().zip(&mut self.ends) {
            if end.is_some_and(|end| end <= self.now) {
                *end = None;
                station.busy = false;
            }
        }
    }

    fn dispatch(&mut self, dispatcher: &mut dyn Dispatcher) {
        let free: Vec<usize> = (0..self.stations.len())
            .filter(|station| {
                !self.stations[*station].busy && open_until(self.day, *station, self.now).is_some()
            })
            .collect();
        if free.is_empty() || self.waiting.is_empty() {
            return;
        }
        let scene = Scene {
            day: self.day,
            now: self.now,
            waiting: &self.waiting,
            stations: &self.stations,
            served: &self.served,
            world: self.world,
        };
        for (station, job) in dispatcher.decide(&scene, &free) {
            self.begin(station, job);
        }
    }

    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "seconds of a day"
    )]
    fn begin(&mut self, station: usize, job: usize) {
        let Some(index) = self.waiting.iter().position(|waiting| *waiting == job) else {
            return;
        };
        let problem = &self.day.problem;
        let (place, facts) = (&problem.stations[station], &problem.jobs[job]);
        let set_up = crate::dispatch::rules::block_length::set_up_s(
            &problem.set_up,
            self.stations[station].loaded.as_ref(),
            &facts.needs,
        );
        let stringing = crate::dispatch::rules::block_length::stringing_s(facts, place);
        let really = (stringing as f64 * self.world.factors[job]).round() as i64;
        self.waiting.remove(index);
        self.stations[station] = StationNow {
            loaded: Some(facts.needs),
            planned_end: self.now + set_up + stringing,
            busy: true,
        };
        let end = self.now + set_up + really.max(1);
        self.ends[station] = Some(end);
        self.served[facts.player].push(station);
        self.start[job] = self.now;
        self.completion[job] = end;
        self.station[job] = station;
        self.set_up_s += set_up;
    }

    /// The next arrival, completion or opening; none when all is done.
    fn next_moment(&self, arrival: Option<i64>) -> Option<i64> {
        let ends = self.ends.iter().flatten().copied();
        let openings = self.day.problem.stations.iter().flat_map(|station| {
            station
                .windows
                .iter()
                .map(|window| window.from)
                .filter(|from| *from > self.now && !self.waiting.is_empty())
        });
        ends.chain(openings).chain(arrival).min()
    }

    fn outcome(self) -> Outcome {
        let problem = &self.day.problem;
        let mut outcome = Outcome {
            jobs: problem.jobs.len(),
            set_up_s: self.set_up_s,
            ..Outcome::default()
        };
        let mut places: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut flow = 0;
        for (index, job) in problem.jobs.iter().enumerate() {
            let end = if self.completion[index] == 0 {
                problem.horizon // nobody could do it: as late as can be
            } else {
                self.completion[index]
            };
            let late = (end - self.world.due[index]).max(0);
            outcome.weighted_tardiness += job.weight * late;
            outcome.late += i64::from(late > 0);
            outcome.ready += usize::from(late == 0);
            if job.class == "oncourt" {
                outcome.on_court += 1;
                outcome.on_court_ready += usize::from(late == 0);
            }
            outcome.max_tardiness_s = outcome.max_tardiness_s.max(late);
            flow += end - self.world.release[index];
            match problem.players[job.player].home {
                Some(home) => outcome.breaks += i64::from(home != self.station[index]),
                None => places.entry(job.player).or_default().push(self.station[index]),
            }
        }
        for stations in places.values_mut() {
            stations.sort_unstable();
            stations.dedup();
            outcome.breaks += i64::try_from(stations.len()).unwrap_or(i64::MAX) - 1;
        }
        let prices = &problem.prices;
        outcome.cost = prices.tardy * outcome.weighted_tardiness
            + prices.late * outcome.late
            + prices.break_ * outcome.breaks
            + prices.flow * flow;
        outcome.start = self.start;
        outcome.completion = self.completion;
        outcome.station = self.station;
        outcome
    }
}
