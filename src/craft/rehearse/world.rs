//! What really happens on one repetition of a day.
use crate::chance::Chance;
use crate::dispatch::file::{Arrival, Day};

/// No match is shorter.
const SHORTEST_MATCH_S: f64 = 1800.0;
/// A racket that comes before its match comes at least so long before it is due.
const AHEAD_S: f64 = 3000.0;
/// A racket comes from the court at least so long before the match ends.
const BEFORE_END_S: f64 = 300.0;

/// A match as it is played.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlayedMatch {
    /// Its start.
    pub start_s: f64,
    /// Its length.
    pub length_s: f64,
}

/// One repetition, drawn before anybody decides anything.
#[derive(Debug, Clone, PartialEq)]
pub struct World {
    /// Matches by court.
    pub courts: Vec<Vec<PlayedMatch>>,
    /// Stringing takes so many times as long as planned, by job.
    pub factors: Vec<f64>,
    /// When each racket comes.
    pub release: Vec<i64>,
    /// When each is really due.
    pub due: Vec<i64>,
}

impl World {
    /// Draws repetition `repetition` of `seed`.
    #[must_use]
    pub fn draw(day: &Day, seed: u64, repetition: u64) -> Self {
        let mut chance = Chance::for_part(seed, repetition);
        let courts: Vec<Vec<PlayedMatch>> = day
            .courts
            .iter()
            .map(|court| {
                let mut start_s = court.first_s;
                let played = court.matches.iter().map(|planned| {
                    start_s = start_s.max(planned.not_before_s);
                    let length_s = chance
                        .lognormal(planned.mean_s, planned.variation)
                        .max(SHORTEST_MATCH_S);
                    let played = PlayedMatch { start_s, length_s };
                    start_s += length_s + court.gap_s;
                    played
                });
                played.collect()
            })
            .collect();
        Self::on_courts(day, courts, &mut chance)
    }

    /// A repetition on courts that were drawn already.
    #[must_use]
    pub fn on_courts(day: &Day, courts: Vec<Vec<PlayedMatch>>, chance: &mut Chance) -> Self {
        let factors = day
            .arrivals
            .iter()
            .map(|_| chance.lognormal(1.0, day.duration_variation))
            .collect();
        let times: Vec<(i64, i64)> = (0..day.arrivals.len())
            .map(|job| times(day, &courts, job))
            .collect();
        Self {
            courts,
            factors,
            release: times.iter().map(|(release, _)| *release).collect(),
            due: times.iter().map(|(_, due)| *due).collect(),
        }
    }
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "seconds of a day"
)]
fn times(day: &Day, courts: &[Vec<PlayedMatch>], job: usize) -> (i64, i64) {
    let stated = &day.problem.jobs[job];
    match day.arrivals[job] {
        Arrival::Known => (stated.release, stated.due),
        Arrival::BeforeMatch {
            court,
            number,
            release,
            lead,
        } => {
            let due = courts[court][number].start_s - lead as f64;
            let release = (release as f64).min(due - AHEAD_S).max(day.problem.t0 as f64);
            (release.round() as i64, due.round() as i64)
        }
        Arrival::OnCourt {
            court,
            number,
            after,
            slack,
        } => {
            let played = &courts[court][number];
            let release = played.start_s + (after as f64).min(played.length_s - BEFORE_END_S);
            let release = release.round() as i64;
            (release, release + slack)
        }
    }
}
