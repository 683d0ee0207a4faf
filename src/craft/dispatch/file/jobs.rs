//! Jobs of a file, and whether any station may do each.
use std::collections::BTreeMap;

use crate::dispatch::file::field::{Reader, TIMES};
use crate::dispatch::file::shape::Frame;
use crate::dispatch::file::stations::attributes;
use crate::dispatch::problem::{Job, Problem};
use crate::dispatch::rules::{block_length, clamps, hard_hold, windows};
use crate::loose::Loose;

/// At most so many jobs.
pub(super) const MOST_JOBS: usize = 5000;
/// A plan may cost at most this much at its worst; far below what 64 bits hold.
const MOST_COST: i128 = 100_000_000_000_000;

pub(super) fn read(reader: &mut Reader, document: &Loose, frame: &Frame) -> Vec<Job> {
    let mut seen = BTreeMap::new();
    let mut jobs = Vec::new();
    for (index, (at, entry)) in reader
        .list(document, "", "jobs", MOST_JOBS)
        .into_iter()
        .enumerate()
    {
        let mut job = job(reader, entry, &at, index, frame, &mut seen);
        job.release = reader.whole(entry, &at, "release", TIMES);
        job.due = reader.whole(entry, &at, "due", TIMES);
        jobs.push(job);
    }
    jobs
}

/// A job without its times.
pub(super) fn job(
    reader: &mut Reader,
    entry: &Loose,
    at: &str,
    index: usize,
    frame: &Frame,
    seen: &mut BTreeMap<i64, usize>,
) -> Job {
    reader.object(entry, at);
    let before = reader.faults.len();
    let player = reader.whole(entry, at, "player", 0..=i64::MAX);
    let known = frame.player_of.get(&player).copied();
    if known.is_none() && reader.faults.len() == before {
        let detail = format!("is {player}; no player has that id");
        reader.fault(format!("{at}/player"), "unknown_player", detail);
    }
    Job {
        id: reader.id(entry, at, index, seen),
        player: known.unwrap_or(0),
        class: reader.text(entry, at, "class").to_owned(),
        release: 0,
        due: 0,
        promised: None, // a day in a file is planned before anybody was told anything
        weight: reader.whole(entry, at, "weight", 0..=1_000_000),
        base: reader.whole(entry, at, "base", 1..=1_000_000),
        swivel: reader.truth(entry, at, "swivel"),
        needs: attributes(reader, entry, at),
        spread_s: 0.0,
        pinned: None,
        barred: Vec::new(),
    }
}

/// Names each job that no station may do, with why; and refuses sums that would overflow.
pub(super) fn judge(reader: &mut Reader, problem: &Problem) {
    let mut worst = 0_i128;
    for (index, job) in problem.jobs.iter().enumerate() {
        let reasons: Vec<String> = problem
            .stations
            .iter()
            .enumerate()
            .map_while(|(place, station)| {
                let player = &problem.players[job.player];
                let reason = if !clamps::allows(job, station) {
                    "has no swivel clamps"
                } else if !hard_hold::allows(player, place) {
                    "is not the station its player is held at"
                } else {
                    let length = block_length::stringing_s(job, station);
                    let (_, window) = windows::place(&station.windows, 0, job.release, length);
                    if window < station.windows.len() {
                        return None;
                    }
                    "has no window that is long enough after its release"
                };
                Some(format!("station {} {reason}", station.id))
            })
            .collect();
        if reasons.len() == problem.stations.len() {
            let detail = format!("no station may do job {}: {}", job.id, reasons.join("; "));
            reader.fault(format!("/jobs/{index}"), "no_station_may", detail);
        }
        let seconds = i128::from(problem.horizon);
        worst += i128::from(problem.prices.tardy) * i128::from(job.weight) * seconds
            + i128::from(problem.prices.late)
            + i128::from(problem.prices.break_)
            + i128::from(problem.prices.flow) * seconds;
    }
    if worst > MOST_COST {
        let detail =
            format!("with these weights a plan may cost {worst}; give prices that keep it below {MOST_COST}");
        reader.fault("/cost", "cost_overflow", detail);
    }
}
