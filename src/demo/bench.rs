//! What happens at the demo's stations: pull, start, phase after phase, off the machine.
use chrono::TimeDelta;

use crate::craft::job::JobPhase;
use crate::craft::spec::StringFacts;
use crate::demo::counter::mark;
use crate::desk::amend_job::acknowledge_change;
use crate::desk::bench_stops::{GiveUp, resume_job, snapped};
use crate::desk::check_racket::strung;
use crate::desk::job_sheet::JobSheet;
use crate::desk::legal::busy_with;
use crate::desk::pull_job::pull_job;
use crate::desk::refusal::DeskResult;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::tap_phase::tap_phase;
use crate::desk::{DeskError, Tx};

/// How long a phase takes.
const PHASE: TimeDelta = TimeDelta::minutes(5);
/// How long somebody pauses at most.
const PAUSE: TimeDelta = TimeDelta::minutes(15);
/// Of so many jobs a string snaps in one.
const SNAPS_ONE_IN: usize = 13;

/// The stringer at this station does the next thing, if it is time.
pub(super) fn work_at(tx: &mut Tx<'_>, station: &str, place: usize) -> DeskResult<()> {
    let Some(job) = busy_with(tx.db, tx.caller.tournament(), station)? else {
        return match pull_job(tx, station) {
            // a quiet bench is nothing to tell
            Ok(_) | Err(DeskError::Conflict { .. }) => Ok(()),
            Err(error) => Err(error),
        };
    };
    let since = tx.now - job.phase_at.unwrap_or(job.state_since).utc();
    // stations do not move in step
    let due = PHASE + PHASE / 5 * i32::try_from(place).unwrap_or(0);
    if since < due || (job.paused && since < PAUSE) {
        return Ok(());
    }
    if job.spec_change_unseen {
        return acknowledge_change(tx, &job.id).map(|_| ());
    }
    if job.state == "assigned" {
        return start(tx, station, &job.id);
    }
    if job.paused {
        return resume_job(tx, &job.id).map(|_| ());
    }
    let phase: Option<JobPhase> = job.phase.as_deref().and_then(|phase| phase.parse().ok());
    let next = match phase {
        None => JobPhase::Mounted,
        Some(JobPhase::Mounted) => JobPhase::MainsStarted,
        Some(JobPhase::MainsStarted) if job.attempt == 1 && mark(&job).is_multiple_of(SNAPS_ONE_IN) => {
            let give_up = GiveUp {
                why: "main 6 at the head".to_owned(),
                wasted_mm: None,
                stay: true,
            };
            return snapped(tx, &job.id, &give_up).map(|_| ());
        }
        Some(JobPhase::MainsStarted) => JobPhase::MainsDone,
        Some(JobPhase::MainsDone) => JobPhase::CrossesDone,
        Some(JobPhase::CrossesDone | JobPhase::TiedOff) => return strung(tx, &job.id).map(|_| ()),
    };
    tap_phase(tx, &job.id, next).map(|_| ())
}

/// Scans what the job asks for, whoever handed it in.
fn start(tx: &mut Tx<'_>, station: &str, job_id: &str) -> DeskResult<()> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let scan = |string: &StringFacts| {
        let id = string.string_id.as_ref().map(|id| id.as_str().to_owned());
        id.or_else(|| string.name.clone())
    };
    let start = StartJob {
        station_id: Some(station.to_owned()),
        tag: sheet.job.code.clone(),
        mains: scan(&sheet.spec.mains.string),
        crosses: scan(&sheet.spec.crosses.string),
    };
    start_job(tx, job_id, &start).map(|_| ())
}
