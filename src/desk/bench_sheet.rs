//! What is read beside the plan while a racket is on the machine: who taps, when, what changed.
use chrono::{DateTime, Utc};

use crate::craft::job::{JobPhase, JobState};
use crate::desk::decide_snag::SnagRecord;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::desk::{log, overview};
use crate::storage::{Db, from_record, work};

/// What the log calls a change of the spec.
const CHANGE: &str = "job.amended";
/// And a pause.
const PAUSE: &str = "job.paused";
/// How a call for help is kept.
pub const HELP_CALLED: &str = "help_called";

/// A job at the bench.
#[derive(Debug, Clone)]
pub struct BenchSheet {
    /// The job.
    pub sheet: JobSheet,
    /// The taps of this attempt that stand, in order.
    pub taps: Vec<(JobPhase, DateTime<Utc>)>,
    /// Who changed the spec last, and when.
    pub changed: Option<(String, DateTime<Utc>)>,
    /// What shall happen to the strings that are in, as the change said it.
    pub if_started: Option<String>,
    /// Since when it is paused, while it is.
    pub paused_at: Option<DateTime<Utc>>,
    /// What help was called for and when, until somebody has decided it.
    pub called: Vec<(String, DateTime<Utc>)>,
}

/// Reads it.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError).
pub fn bench_sheet(db: &mut Db, tournament: &str, job_id: &str) -> DeskResult<BenchSheet> {
    let sheet = JobSheet::of(db, tournament, job_id)?;
    let stands = work::phases_of(db, job_id)?
        .into_iter()
        .filter(|tap| tap.attempt == sheet.job.attempt && tap.undone_at.is_none() && !tap.filled);
    let taps = stands
        .filter_map(|tap| Some((tap.phase.parse().ok()?, tap.at.utc())))
        .collect();
    let mut bench = BenchSheet {
        taps,
        changed: None,
        if_started: None,
        paused_at: None,
        called: called(db, tournament, job_id)?,
        sheet,
    };
    if bench.sheet.job.spec_change_unseen || bench.sheet.job.paused {
        let entries = log::entries_about(db, tournament, &[job_id.to_owned()])?;
        let newest = |kind: &str| entries.iter().rev().find(|entry| entry.kind == kind);
        if bench.sheet.job.paused {
            bench.paused_at = newest(PAUSE).map(|entry| entry.at);
        }
        if let Some(entry) = newest(CHANGE).filter(|_| bench.sheet.job.spec_change_unseen) {
            let account = match &entry.account_id {
                Some(id) => overview::account(db, tournament, id)?.display_name,
                None => "the desk".to_owned(),
            };
            bench.changed = Some((account, entry.at));
            bench.if_started = entry.data["if_started"].as_str().map(str::to_owned);
        }
    }
    Ok(bench)
}

/// The calls for help that are open, oldest first.
fn called(db: &mut Db, tournament: &str, job_id: &str) -> DeskResult<Vec<(String, DateTime<Utc>)>> {
    let mut calls = Vec::new();
    for snag in work::waiting_decisions::open(db, tournament)? {
        if snag.kind == HELP_CALLED && snag.job_id.as_deref() == Some(job_id) {
            let record: SnagRecord = from_record(&snag.record)?;
            calls.push((record.what, snag.opened_at.utc()));
        }
    }
    Ok(calls)
}

/// The rackets that came off a station's machine and wait for their check, the oldest first.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn in_check_at(db: &mut Db, tournament: &str, station: &str) -> DeskResult<Vec<JobSheet>> {
    let mut found = overview::sheets_in(db, tournament, &[JobState::Checking.as_str()])?;
    found.retain(|sheet| sheet.job.station_id.as_deref() == Some(station));
    found.sort_by_key(|sheet| sheet.job.state_since);
    Ok(found)
}

/// Where a racket stands in its drop-off, which is strung back to back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InBatch {
    /// From 1.
    pub number: usize,
    /// How many rackets there are.
    pub of: usize,
    /// Its strings were scanned for an earlier racket of the drop-off at the same station.
    pub strings_scanned: bool,
}

/// Finds it.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError).
pub fn in_batch(db: &mut Db, tournament: &str, sheet: &JobSheet) -> DeskResult<InBatch> {
    let all = overview::drop_off_of(db, tournament, &sheet.job.id)?;
    let place = all.iter().position(|one| one.job.id == sheet.job.id);
    let mut strings_scanned = false;
    for one in all.iter().filter(|one| one.job.id != sheet.job.id) {
        let same = one.spec.mains.string == sheet.spec.mains.string
            && one.spec.crosses.string == sheet.spec.crosses.string;
        let attempts = work::attempts_of(db, &one.job.id)?;
        let here = attempts
            .iter()
            .any(|attempt| attempt.station_id.is_some() && attempt.station_id == sheet.job.station_id);
        strings_scanned |= same && here;
    }
    Ok(InBatch {
        number: place.map_or(1, |place| place + 1),
        of: all.len(),
        strings_scanned,
    })
}
