//! The story of a racket or a job: what the log says of it, who did it and when.
use crate::desk::log::{self, LogEntry};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::rackets;
use crate::storage::{Db, accounts, jobs};

/// How many of a racket's jobs its story reaches back.
const JOBS: i64 = 100;

/// An entry with the name of who made it.
#[derive(Debug, Clone)]
pub struct StoryEntry {
    /// The entry.
    pub entry: LogEntry,
    /// Who, as others see them; `None`: the service itself.
    pub who: Option<String>,
}

/// The story of a racket with all its jobs, oldest first.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn of_racket(db: &mut Db, tournament: &str, racket_id: &str) -> DeskResult<Vec<StoryEntry>> {
    rackets::find(db, tournament, racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    let mut subjects = vec![racket_id.to_owned()];
    subjects.extend(
        jobs::latest_of_racket(db, racket_id, JOBS)?
            .into_iter()
            .map(|job| job.id),
    );
    told(db, tournament, &subjects)
}

/// The story of a job, oldest first.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn of_job(db: &mut Db, tournament: &str, job_id: &str) -> DeskResult<Vec<StoryEntry>> {
    jobs::find(db, tournament, job_id)?.ok_or(DeskError::NotFound(Thing::Job))?;
    told(db, tournament, &[job_id.to_owned()])
}

fn told(db: &mut Db, tournament: &str, subjects: &[String]) -> DeskResult<Vec<StoryEntry>> {
    let people = accounts::all(db, tournament)?;
    let entries = log::entries_about(db, tournament, subjects)?;
    Ok(entries
        .into_iter()
        .map(|entry| {
            let account = people
                .iter()
                .find(|account| Some(&account.id) == entry.account_id.as_ref());
            StoryEntry {
                who: account.map(|account| account.display_name.clone()),
                entry,
            }
        })
        .collect())
}
