//! How a racket, or another of the same model and player, was strung last time.
use crate::craft::job::JobState;
use crate::craft::spec::Spec;
use crate::craft::weave_method::WeaveMethod;
use crate::desk::records::JobRecord;
use crate::desk::refusal::DeskResult;
use crate::storage::jobs::{self, Job};
use crate::storage::rackets::{self, Racket};
use crate::storage::{Db, from_record};

/// How many jobs are looked back at; cancelled ones do not count as a last time.
const LOOK_BACK: i64 = 8;

/// The whole wish of last time, to be strung the same again.
///
/// Strings, tensions, pre-stretch, extras and all. What was said only of that day is left out:
/// the words, and until when the old strings had to stay in.
///
/// This racket's own last job counts; a racket that was never here takes the player's last
/// one of the same frame model. `None` where there is neither.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn spec(db: &mut Db, racket: &Racket) -> DeskResult<Option<Spec>> {
    spec_of(jobs_before(db, racket, None)?)
}

/// As [`spec`], of the stringing before the job that is asked about.
///
/// # Errors
/// As [`spec`].
pub fn spec_before(db: &mut Db, racket: &Racket, own_job: &str) -> DeskResult<Option<Spec>> {
    spec_of(jobs_before(db, racket, Some(own_job))?)
}

fn spec_of(jobs: Vec<Job>) -> DeskResult<Option<Spec>> {
    let Some(job) = jobs.into_iter().next() else {
        return Ok(None);
    };
    let record: JobRecord = from_record(&job.record)?;
    // a change that came too late for that racket counts from now on
    let mut spec: Spec = match record.spec_next_time {
        Some(spec) => spec,
        None => from_record(&job.spec)?,
    };
    spec.as_said = None;
    spec.cut_out_not_before_at = None;
    Ok(Some(spec))
}

/// The weave method it was begun with last time; `own_job` is the job that is asked about.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn method(db: &mut Db, racket: &Racket, own_job: Option<&str>) -> DeskResult<Option<WeaveMethod>> {
    for job in jobs_before(db, racket, own_job)? {
        let record: JobRecord = from_record(&job.record)?;
        if record.method.is_some() {
            return Ok(record.method);
        }
    }
    Ok(None)
}

/// The racket's own jobs, newest first, then those of its sisters of the same model.
fn jobs_before(db: &mut Db, racket: &Racket, own_job: Option<&str>) -> DeskResult<Vec<Job>> {
    let mut found = jobs::latest_of_racket(db, &racket.id, LOOK_BACK)?;
    if found.iter().all(|job| !counts(job, own_job)) {
        let sisters: Vec<String> = rackets::of_player(db, &racket.tournament_id, &racket.player_id)?
            .into_iter()
            .filter(|other| other.frame_id == racket.frame_id && other.id != racket.id)
            .map(|other| other.id)
            .collect();
        found = jobs::latest_of_rackets(db, &sisters, LOOK_BACK)?;
    }
    found.retain(|job| counts(job, own_job));
    Ok(found)
}

fn counts(job: &Job, own_job: Option<&str>) -> bool {
    job.state != JobState::Cancelled.as_str() && Some(job.id.as_str()) != own_job
}
