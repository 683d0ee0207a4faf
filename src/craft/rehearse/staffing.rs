//! How many stations a day takes, by playing it with the live dispatcher.
use crate::craft::dispatch::file::Day;
use crate::craft::dispatch::rules::block_length;
use crate::craft::rehearse::live::Live;
use crate::craft::rehearse::play::play;
use crate::craft::rehearse::report::Spread;
use crate::craft::rehearse::stations::with_stations;
use crate::craft::rehearse::world::World;
use crate::craft::staffing::erlang::Steady;
use crate::craft::staffing::work_window::{Work, stations_necessary};

/// A stretch of the day, in seconds.
const HALF_HOUR_S: i64 = 1800;
/// Seconds of set-up that a racket takes on the average. Common practice, no source.
const SET_UP_S: f64 = 90.0;

/// Rackets due in one half hour, over repetitions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfHour {
    /// Its start, in seconds after 00:00.
    pub from_s: i64,
    /// One in ten repetitions has at most so many.
    pub low: usize,
    /// The mean.
    pub mean: f64,
    /// Nine in ten repetitions have at most so many.
    pub high: usize,
    /// Of those due in it, late with the stations of the file, per cent.
    pub late_percent: f64,
}

/// The odds with one number of stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Staffed {
    /// Stations.
    pub stations: usize,
    /// Rackets ready when due, per cent: never less than with fewer, since a station may stay unused.
    pub ready_percent: Spread,
}

/// What a day takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Staffing {
    /// From two fewer than the file has to two more.
    pub staffed: Vec<Staffed>,
    /// Half hours in which rackets are due.
    pub half_hours: Vec<HalfHour>,
    /// The half hour with the largest share late, if any is.
    pub worst_half_hour_s: Option<i64>,
    /// Fewer stations than this cannot do the work between releases and due times; mean over repetitions.
    pub necessary: f64,
    /// A steady day's load in erlang.
    pub load_erlang: f64,
    /// By Erlang's formula C, P(a racket waits) with the stations of the file: a cross-check only.
    pub chance_of_waiting: f64,
}

/// Plays the day with two fewer to two more stations than it has.
#[must_use]
pub fn staffing(day: &Day, repeat: u64, seed: u64, rounds: u64) -> Staffing {
    let own = day.problem.stations.len();
    let worlds: Vec<World> = (0..repeat)
        .map(|repetition| World::draw(day, seed, repetition))
        .collect();
    let mut staffed: Vec<Staffed> = Vec::new();
    let mut late = Vec::new();
    for stations in own.saturating_sub(2).max(1)..=own + 2 {
        let day = with_stations(day, stations);
        let mut shares = Vec::new();
        for (world, repetition) in worlds.iter().zip(0..) {
            let outcome = play(&day, world, &mut Live::new(rounds, repetition));
            shares.push(percent(outcome.ready, outcome.jobs));
            if stations == own {
                late.push(
                    (0..outcome.jobs)
                        .map(|job| outcome.completion[job] > world.due[job])
                        .collect(),
                );
            }
        }
        let mut ready_percent = Spread::of(&shares);
        if let Some(fewer) = staffed.last()
            && fewer.ready_percent.mean > ready_percent.mean
        {
            ready_percent = fewer.ready_percent;
        }
        staffed.push(Staffed {
            stations,
            ready_percent,
        });
    }
    let half_hours = half_hours(&worlds, &late);
    let worst = half_hours
        .iter()
        .filter(|half_hour| half_hour.late_percent > 0.0)
        .max_by(|one, other| one.late_percent.total_cmp(&other.late_percent));
    let (load_erlang, necessary) = load(day, &worlds);
    let steady = Steady {
        stations: u32::try_from(own).unwrap_or(u32::MAX),
        offered_load: load_erlang,
    };
    Staffing {
        staffed,
        worst_half_hour_s: worst.map(|half_hour| half_hour.from_s),
        half_hours,
        necessary,
        load_erlang,
        chance_of_waiting: steady.chance_of_waiting(),
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn percent(part: usize, of: usize) -> f64 {
    100.0 * part as f64 / of.max(1) as f64
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn half_hours(worlds: &[World], late: &[Vec<bool>]) -> Vec<HalfHour> {
    let dues = || worlds.iter().flat_map(|world| &world.due);
    let (Some(first), Some(last)) = (dues().min(), dues().max()) else {
        return Vec::new();
    };
    let slots = first.div_euclid(HALF_HOUR_S)..=last.div_euclid(HALF_HOUR_S);
    let half_hour = |slot: i64| {
        let inside = |due: &i64| due.div_euclid(HALF_HOUR_S) == slot;
        let mut counts: Vec<usize> = worlds
            .iter()
            .map(|world| world.due.iter().filter(|due| inside(due)).count())
            .collect();
        counts.sort_unstable();
        let all: usize = counts.iter().sum();
        let is_late = worlds.iter().zip(late).map(|(world, late)| {
            let late_here = world
                .due
                .iter()
                .zip(late)
                .filter(|(due, late)| **late && inside(due));
            late_here.count()
        });
        let rank = |tenths: usize| counts[(counts.len() - 1) * tenths / 10];
        HalfHour {
            from_s: slot * HALF_HOUR_S,
            low: rank(1),
            mean: all as f64 / counts.len() as f64,
            high: rank(9),
            late_percent: percent(is_late.sum(), all),
        }
    };
    slots
        .map(half_hour)
        .filter(|half_hour| half_hour.mean > 0.0)
        .collect()
}

/// Load in erlang over the time from the first release to the last due time; and the necessary stations.
#[expect(clippy::cast_precision_loss, reason = "counts and seconds")]
fn load(day: &Day, worlds: &[World]) -> (f64, f64) {
    let problem = &day.problem;
    let stations = problem.stations.len().max(1) as f64;
    let work_of = |job: usize| {
        let job = &problem.jobs[job];
        let all: i64 = problem
            .stations
            .iter()
            .map(|station| block_length::stringing_s(job, station))
            .sum();
        all as f64 / stations + SET_UP_S
    };
    let total: f64 = (0..problem.jobs.len()).map(work_of).sum();
    let (mut loads, mut bounds) = (0.0, 0.0);
    for world in worlds {
        let from = world.release.iter().min().copied().unwrap_or(0);
        let to = world.due.iter().max().copied().unwrap_or(0);
        loads += total / ((to - from).max(1) as f64);
        let jobs: Vec<Work> = (0..problem.jobs.len())
            .map(|job| Work {
                release: world.release[job] as f64,
                due: world.due[job] as f64,
                work: work_of(job),
                variance: (day.duration_variation * work_of(job)).powi(2),
            })
            // what is due sooner than it can be strung is late with any staff
            .filter(|job| job.due - job.release > job.work)
            .collect();
        bounds += stations_necessary(&jobs, 0.0);
    }
    let count = worlds.len().max(1) as f64;
    (loads / count, bounds / count)
}
