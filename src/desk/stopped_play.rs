//! A stop of play that lasts: one cause, and every racket that waits on it.
use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Days, Utc};

use crate::craft::match_times::day_plan::DayPlan;
use crate::craft::match_times::day_sheet::chain;
use crate::craft::match_times::day_state::{DayState, MatchPhase, Stop};
use crate::craft::match_times::length::Chances;
use crate::craft::match_times::replay::{Replayed, replay};
use crate::desk::CourtMemory;
use crate::desk::court_times::board;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::storage::{Db, events};

/// Play stands still on these courts, for one reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoppedPlay {
    /// Why.
    pub reason: String,
    /// Labels of the courts.
    pub courts: Vec<String>,
    /// Since when; the first of the courts.
    pub since: DateTime<Utc>,
    /// When play goes on, or when the referee expects it to, where it was said.
    pub expected: Option<DateTime<Utc>>,
    /// Jobs for matches on these courts, or for matches that wait for one there.
    pub job_ids: Vec<String>,
    /// Of these, the ones whose match has not begun, each with what it waits for: its own court or, where
    /// play goes on there, the nearest before it.
    pub not_begun: BTreeMap<String, StoppedCourt>,
    /// Of these, how many have had their ready-by moved since it began.
    pub moved: usize,
}

/// A court on which play stands still.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoppedCourt {
    /// Its label.
    pub label: String,
    /// When play goes on there, or when the referee expects it to, where it was said.
    pub expected: Option<DateTime<Utc>>,
}

impl StoppedPlay {
    /// "rain on Court 1, Court 2".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} on {}", self.reason, self.courts.join(", "))
    }
}

/// The stops that last now, one for each reason. Where nothing stands still this reads the day and computes nothing.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn stopped_play(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    sheets: &[JobSheet],
    memory: &CourtMemory,
) -> DeskResult<Vec<StoppedPlay>> {
    let today = now.with_timezone(&board::zone(db, tournament)?).date_naive();
    // a day of play goes on past midnight
    let days = [today.checked_sub_days(Days::new(1)), Some(today)];
    let mut found = Vec::new();
    for day in days.into_iter().flatten() {
        let Some(known) = board::stored(db, tournament, &day.to_string(), memory)? else {
            continue;
        };
        // what was stored was told without faults
        if let Ok(replayed) = replay(&known.order, &known.events) {
            found.extend(of_day(replayed, now, sheets, memory));
        }
    }
    for stop in &mut found {
        stop.moved = moved(db, tournament, stop)?;
    }
    Ok(found)
}

/// How many of the jobs that wait on a stop have had their ready-by moved by match times since it began.
fn moved(db: &mut Db, tournament: &str, stop: &StoppedPlay) -> DeskResult<usize> {
    let moves = |event: &&events::Event| {
        event.kind == "job.due_changed" && event.at.utc() >= stop.since && event.data.contains("\"cause\"")
    };
    let logged = events::about(db, tournament, &stop.job_ids)?;
    let moved: BTreeSet<&str> = logged
        .iter()
        .filter(moves)
        .map(|event| event.subject.as_str())
        .collect();
    Ok(moved.len())
}

fn of_day(
    replayed: Replayed,
    now: DateTime<Utc>,
    sheets: &[JobSheet],
    memory: &CourtMemory,
) -> Vec<StoppedPlay> {
    let Replayed { order, state, .. } = replayed;
    let mut stops: Vec<(StoppedPlay, Vec<String>)> = Vec::new();
    for court in &order.courts {
        let Some(stop) = state.stop(&court.id, now) else {
            continue;
        };
        if let Some((known, ids)) = stops.iter_mut().find(|(known, _)| known.reason == stop.reason) {
            known.courts.push(court.label.clone());
            known.expected = known.expected.max(goes_on(stop));
            known.since = known.since.min(stop.from);
            ids.push(court.id.clone());
            continue;
        }
        let first = StoppedPlay {
            reason: stop.reason.clone(),
            courts: vec![court.label.clone()],
            since: stop.from,
            expected: goes_on(stop),
            job_ids: Vec::new(),
            not_begun: BTreeMap::new(),
            moved: 0,
        };
        stops.push((first, vec![court.id.clone()]));
    }
    if stops.is_empty() {
        return Vec::new();
    }
    let plan = memory.with_lengths(|lengths| DayPlan::new(order, Chances::default(), lengths));
    for (stop, courts) in &mut stops {
        for sheet in sheets {
            let Some((place, court)) = waits_for(&plan, &state, sheet, courts) else {
                continue;
            };
            stop.job_ids.push(sheet.job.id.clone());
            let own = &plan.order.matches[place];
            let phase = state.phase(&own.id, &own.court, now);
            if matches!(phase, MatchPhase::Planned | MatchPhase::Called) {
                let waited = StoppedCourt {
                    label: plan
                        .order
                        .court(court)
                        .map_or(court, |court| &court.label)
                        .to_owned(),
                    expected: state.stop(court, now).and_then(goes_on),
                };
                stop.not_begun.insert(sheet.job.id.clone(), waited);
            }
        }
    }
    stops.into_iter().map(|(stop, _)| stop).collect()
}

/// A restart that was announced counts before what was expected of it.
fn goes_on(stop: &Stop) -> Option<DateTime<Utc>> {
    stop.until.or(stop.expected)
}

/// Whether a job is for a match on one of these courts, or for one that waits for a match there.
pub(super) fn waits_on(plan: &DayPlan, state: &DayState, sheet: &JobSheet, courts: &[String]) -> bool {
    waits_for(plan, state, sheet, courts).is_some()
}

/// The place of the match a job is for, and which of these courts it waits for: its own, else the nearest before it.
fn waits_for<'a>(
    plan: &'a DayPlan,
    state: &DayState,
    sheet: &JobSheet,
    courts: &[String],
) -> Option<(usize, &'a str)> {
    let matches = &plan.order.matches;
    let wanted = sheet.record.ready_for_match.as_ref();
    let place = matches.iter().position(|played| Some(&played.id) == wanted);
    let place = place?;
    let before = chain(plan, state, place);
    let court = std::iter::once(place)
        .chain(before)
        .map(|at| &matches[at].court)
        .find(|court| courts.contains(court))?;
    Some((place, court))
}
