//! A day for the rehearsal: courts, and jobs whose times follow from matches.
use std::collections::BTreeMap;

use crate::dispatch::file::field::{Reader, TIMES};
use crate::dispatch::file::jobs::{MOST_JOBS, job};
use crate::dispatch::file::shape::Frame;
use crate::dispatch::problem::Problem;
use crate::loose::Loose;

/// A match as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Match {
    /// Mean length in seconds.
    pub mean_s: f64,
    /// Coefficient of variation of the length.
    pub variation: f64,
    /// It starts no sooner than this; 0 where only the match before it counts.
    pub not_before_s: f64,
}

/// A court with its matches in sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Court {
    /// When its first match starts.
    pub first_s: f64,
    /// Seconds from a match's end to the next start.
    pub gap_s: f64,
    /// Its matches.
    pub matches: Vec<Match>,
}

/// How a job's release and due time come about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// Both are known.
    Known,
    /// Due `lead` before the start of a match.
    BeforeMatch {
        /// Index of the court.
        court: usize,
        /// Index of the match.
        number: usize,
        /// When the racket comes if the match is not earlier.
        release: i64,
        /// Seconds before the start.
        lead: i64,
    },
    /// Comes from the court during a match.
    OnCourt {
        /// Index of the court.
        court: usize,
        /// Index of the match.
        number: usize,
        /// Seconds after the start, at most the length less 300.
        after: i64,
        /// Seconds from release to due.
        slack: i64,
    },
}

/// A day as planned. Times of jobs that follow from matches are not set in `problem`.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Stations, players, prices and jobs.
    pub problem: Problem,
    /// How each job's times come about.
    pub arrivals: Vec<Arrival>,
    /// The courts.
    pub courts: Vec<Court>,
    /// Coefficient of variation of stringing.
    pub duration_variation: f64,
}

pub(super) fn read(reader: &mut Reader, document: &Loose, frame: Frame) -> Day {
    let courts = courts(reader, document);
    let duration_variation = reader.number(document, "", "duration_cv", 0.0..=2.0);
    let mut seen = BTreeMap::new();
    let (mut jobs, mut arrivals) = (Vec::new(), Vec::new());
    for (index, (at, entry)) in reader
        .list(document, "", "jobs", MOST_JOBS)
        .into_iter()
        .enumerate()
    {
        let mut job = job(reader, entry, &at, index, &frame, &mut seen);
        let arrival = arrival(reader, entry, &at, &courts);
        if arrival == Arrival::Known {
            job.release = reader.whole(entry, &at, "release", TIMES);
            job.due = reader.whole(entry, &at, "due", TIMES);
        }
        jobs.push(job);
        arrivals.push(arrival);
    }
    Day {
        problem: frame.problem(jobs),
        arrivals,
        courts,
        duration_variation,
    }
}

fn arrival(reader: &mut Reader, entry: &Loose, at: &str, courts: &[Court]) -> Arrival {
    if entry.member("court").is_none() {
        return Arrival::Known;
    }
    let before = reader.faults.len();
    let court = index(reader.whole(entry, at, "court", 0..=i64::MAX));
    let number = index(reader.whole(entry, at, "match", 0..=i64::MAX));
    if reader.faults.len() == before {
        match courts.get(court) {
            None => reader.fault(format!("{at}/court"), "unknown_court", "is no index of a court"),
            Some(court) if number >= court.matches.len() => {
                reader.fault(
                    format!("{at}/match"),
                    "unknown_match",
                    "is no index of a match of that court",
                );
            }
            Some(_) => {}
        }
    }
    if entry.member("after").is_some() {
        Arrival::OnCourt {
            court,
            number,
            after: reader.whole(entry, at, "after", TIMES),
            slack: reader.whole(entry, at, "slack", TIMES),
        }
    } else {
        Arrival::BeforeMatch {
            court,
            number,
            release: reader.whole(entry, at, "release", TIMES),
            lead: reader.whole(entry, at, "lead", TIMES),
        }
    }
}

fn index(number: i64) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

fn courts(reader: &mut Reader, document: &Loose) -> Vec<Court> {
    let mut courts = Vec::new();
    for (at, entry) in reader.list(document, "", "courts", 500) {
        reader.object(entry, &at);
        let matches = reader.list(entry, &at, "matches", 500);
        courts.push(Court {
            first_s: reader.number(entry, &at, "first", 0.0..=1e7),
            gap_s: reader.number(entry, &at, "gap", 0.0..=1e6),
            matches: matches
                .into_iter()
                .map(|(at, entry)| Match {
                    mean_s: reader.number(entry, &at, "mean", 1.0..=1e6),
                    variation: reader.number(entry, &at, "cv", 0.0..=2.0),
                    not_before_s: 0.0,
                })
                .collect(),
        });
    }
    courts
}
