//! How many stations a day takes, by playing it with the live dispatcher.
use crate::dispatch::rules::block_length;
use crate::rehearse::half_hours::{HalfHour, half_hours};
use crate::rehearse::live::Live;
use crate::rehearse::play::{Outcome, play};
use crate::rehearse::report::Spread;
use crate::rehearse::stations::with_stations;
use crate::rehearse::trial::Trial;
use crate::staffing::erlang::Steady;
use crate::staffing::work_window::{Work, stations_necessary};

/// Seconds of set-up that a racket takes on the average. Common practice, no source.
const SET_UP_S: f64 = 90.0;

/// The odds with one number of stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Staffed {
    /// Stations.
    pub stations: usize,
    /// Rackets ready when due, per cent: never less than with fewer, since a station may stay unused.
    pub ready_percent: Spread,
    /// Rackets late in a day, likewise never more.
    pub late: Spread,
    /// Rackets ready when due when every station is used, per cent: chance may put it below the one before.
    pub all_used_percent: f64,
    /// The half hour in which most rackets are late, if any are.
    pub worst: Option<WorstHalfHour>,
    /// By Erlang's formula C, P(a racket waits) on a steady day: a cross-check only.
    pub chance_of_waiting: f64,
}

/// The half hour in which most rackets are late.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstHalfHour {
    /// Its start, in seconds after 00:00.
    pub from_s: i64,
    /// Of the rackets due in it, late, per cent.
    pub late_percent: f64,
}

/// What a day takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Staffing {
    /// Repetitions that were played.
    pub repetitions: usize,
    /// The stations that are planned.
    pub planned: usize,
    /// From two fewer than planned to two more.
    pub staffed: Vec<Staffed>,
    /// The day by half hours, with the stations that are planned.
    pub half_hours: Vec<HalfHour>,
    /// The half hour in which most rackets are late, if any is.
    pub worst_half_hour_s: Option<i64>,
    /// Fewer stations than this cannot do the work between releases and due times; mean over repetitions.
    pub necessary: f64,
    /// A steady day's load in erlang.
    pub load_erlang: f64,
    /// By Erlang's formula C, P(a racket waits) with the planned stations: a cross-check only.
    pub chance_of_waiting: f64,
    /// Mean seconds of a racket on a station, set-up with it.
    pub block_s: f64,
}

/// Plays the trials with two fewer to two more stations than their days have; `rounds` of search per plan.
///
/// Stops after a repetition when `keep_going` says so; two are always played.
#[must_use]
pub fn staffing(trials: &[Trial], rounds: u64, keep_going: &mut dyn FnMut() -> bool) -> Staffing {
    let planned = trials.first().map_or(0, |trial| trial.day.problem.stations.len());
    let numbers: Vec<usize> = (planned.saturating_sub(2).max(1)..=planned + 2).collect();
    let mut played: Vec<Vec<(&Trial, Outcome)>> = vec![Vec::new(); numbers.len()];
    for (trial, repetition) in trials.iter().zip(0..) {
        if repetition >= 2 && !keep_going() {
            break;
        }
        for (&stations, outcomes) in numbers.iter().zip(&mut played) {
            let day = with_stations(&trial.day, stations);
            outcomes.push((
                trial,
                play(&day, &trial.world, &mut Live::new(rounds, repetition)),
            ));
        }
    }
    let repetitions = played.first().map_or(0, Vec::len);
    let (load_erlang, necessary, block_s) = load(&trials[..repetitions]);
    let staffed = odds(&numbers, &played, load_erlang);
    let as_planned = numbers.iter().position(|stations| *stations == planned);
    let worst = as_planned.and_then(|place| staffed[place].worst);
    Staffing {
        repetitions,
        planned,
        worst_half_hour_s: worst.map(|worst| worst.from_s),
        half_hours: as_planned.map_or_else(Vec::new, |place| half_hours(&played[place])),
        necessary,
        load_erlang,
        chance_of_waiting: as_planned.map_or(1.0, |place| staffed[place].chance_of_waiting),
        block_s,
        staffed,
    }
}

/// The half hour in which most rackets are late, if any is: a share alone would name one with hardly any work.
fn worst(played: &[(&Trial, Outcome)]) -> Option<WorstHalfHour> {
    let late = half_hours(played)
        .into_iter()
        .filter(|one| one.late_percent > 0.0);
    let rackets = |one: &HalfHour| one.late_percent * one.due.mean;
    let worst = late.max_by(|one, other| rackets(one).total_cmp(&rackets(other)))?;
    Some(WorstHalfHour {
        from_s: worst.from_s,
        late_percent: worst.late_percent,
    })
}

/// As many stations as the trials cannot do without, at least one.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between one and two hundred"
)]
pub fn stations_at_least(trials: &[Trial]) -> usize {
    let (_, necessary, _) = load(trials);
    necessary.ceil().clamp(1.0, 200.0) as usize
}

/// More stations are never worse than fewer: those who have more may leave one unused.
fn odds(numbers: &[usize], played: &[Vec<(&Trial, Outcome)>], load_erlang: f64) -> Vec<Staffed> {
    let mut staffed: Vec<Staffed> = Vec::new();
    for (&stations, played) in numbers.iter().zip(played) {
        let of = |share: fn(&Outcome) -> f64| {
            Spread::of(
                &played
                    .iter()
                    .map(|(_, outcome)| share(outcome))
                    .collect::<Vec<_>>(),
            )
        };
        let ready = of(|outcome| percent(outcome.ready, outcome.jobs));
        let own = Staffed {
            stations,
            ready_percent: ready,
            late: of(late),
            all_used_percent: ready.mean,
            worst: worst(played),
            chance_of_waiting: Steady {
                stations: u32::try_from(stations).unwrap_or(u32::MAX),
                offered_load: load_erlang,
            }
            .chance_of_waiting(),
        };
        let fewer = staffed
            .last()
            .filter(|fewer| fewer.ready_percent.mean > ready.mean);
        staffed.push(fewer.map_or(own, |fewer| Staffed {
            ready_percent: fewer.ready_percent,
            late: fewer.late,
            worst: fewer.worst,
            ..own
        }));
    }
    staffed
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn percent(part: usize, of: usize) -> f64 {
    100.0 * part as f64 / of.max(1) as f64
}

#[expect(clippy::cast_precision_loss, reason = "a count")]
fn late(outcome: &Outcome) -> f64 {
    outcome.late as f64
}

/// Means over trials: load in erlang from the first release to the last due time, the necessary
/// stations, and a racket's time on a station.
#[expect(clippy::cast_precision_loss, reason = "counts and seconds")]
fn load(trials: &[Trial]) -> (f64, f64, f64) {
    let (mut loads, mut bounds, mut blocks) = (0.0, 0.0, 0.0);
    for Trial { day, world } in trials {
        let problem = &day.problem;
        let stations = problem.stations.len().max(1) as f64;
        let work_of = |job: usize| {
            let job = &problem.jobs[job];
            let places = problem.stations.iter();
            let all: i64 = places
                .map(|station| block_length::stringing_s(job, station))
                .sum();
            all as f64 / stations + SET_UP_S
        };
        let count = problem.jobs.len();
        let total: f64 = (0..count).map(work_of).sum();
        let from = world.release.iter().min().copied().unwrap_or(0);
        let to = world.due.iter().max().copied().unwrap_or(0);
        loads += total / ((to - from).max(1) as f64);
        blocks += total / count.max(1) as f64;
        let jobs: Vec<Work> = (0..count)
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
    let count = trials.len().max(1) as f64;
    (loads / count, bounds / count, blocks / count)
}
