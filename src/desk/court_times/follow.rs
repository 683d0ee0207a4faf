//! Ready-by times follow their matches.
use serde_json::json;

use crate::craft::match_times::ready_by::{Demand, republished};
use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::court_times::next_match::{Outlook, all};
use crate::desk::court_times::{JUMP, board::DayBoard};
use crate::desk::refusal::{DeskError, DeskResult, Override, Reason};
use crate::desk::{CourtMemory, Tx};
use crate::storage::{jobs, to_record};

/// What a change of match times does to one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// The job.
    pub job_id: String,
    /// Its tag code.
    pub code: String,
    /// The match.
    pub match_id: String,
    /// Its ready-by before.
    pub before: chrono::DateTime<chrono::Utc>,
    /// Its ready-by now.
    pub after: chrono::DateTime<chrono::Utc>,
    /// Whether it will probably be late now and would not have been before.
    pub becomes_late: bool,
}

/// The jobs whose ready-by differs from what the boards say now.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn moved(tx: &mut Tx<'_>, boards: Vec<DayBoard>) -> DeskResult<Vec<Moved>> {
    Ok(changes(tx, boards)?
        .into_iter()
        .map(|(_, _, moved)| moved)
        .collect())
}

type Change = (jobs::Job, crate::desk::records::JobRecord, Moved);

fn changes(tx: &mut Tx<'_>, boards: Vec<DayBoard>) -> DeskResult<Vec<Change>> {
    let tournament = tx.caller.tournament();
    let outlook = Outlook::of(tx.db, tournament, tx.now, boards)?;
    let mut changes = Vec::new();
    for (job, record, ready) in all(tx.db, tournament, &outlook)? {
        let published = minute_of(job.due_at.utc());
        let other_match = record.ready_for_match.as_deref() != Some(ready.match_id.as_str());
        let computed = minute_of(ready.ready_by);
        let due = if other_match {
            computed
        } else {
            republished(published, computed)
        };
        if due == published && !other_match {
            continue;
        }
        let needed = at_minute(due);
        let handed = ready.done_p50 + chrono::TimeDelta::minutes(Demand::default().handling_min);
        let moved = Moved {
            job_id: job.id.clone(),
            code: job.code.clone(),
            match_id: ready.match_id,
            before: job.due_at.utc(),
            after: needed,
            becomes_late: handed > needed && handed <= job.due_at.utc(),
        };
        changes.push((job, record, moved));
    }
    Ok(changes)
}

/// Moves the ready-by of every job whose match has moved, and says why.
///
/// # Errors
/// [`DeskError::Rule`] where many jobs would be late at once and nobody has confirmed it.
pub fn follow(
    tx: &mut Tx<'_>,
    boards: Vec<DayBoard>,
    cause: &str,
    confirmed: bool,
) -> DeskResult<Vec<Moved>> {
    let changes = changes(tx, boards)?;
    let late = changes.iter().filter(|(_, _, moved)| moved.becomes_late).count();
    if late >= JUMP && !confirmed {
        return Err(DeskError::Rule {
            reason: Reason::FeedJump,
            detail: format!(
                "{late} jobs would be late at once. Look at the preview, then repeat with confirm=true."
            ),
            faults: Vec::new(),
            insist: Some(Override {
                needs: vec!["confirm"],
                by_role: vec!["referee", "coordinator"],
            }),
        });
    }
    let mut done = Vec::with_capacity(changes.len());
    for (mut job, mut record, moved) in changes {
        record.ready_for_match = Some(moved.match_id.clone());
        job.record = to_record(&record)?;
        job.due_at = moved.after.into();
        jobs::save(tx.db, &mut job)?;
        if moved.before != moved.after {
            tx.emit(
                "job.due_changed",
                &job.id,
                &json!({"before": moved.before, "due_at": moved.after, "cause": cause, "match_id": moved.match_id}),
            )?;
        }
        done.push(moved);
    }
    Ok(done)
}

/// Lets every ready-by follow the time that passes: matches that go on longer, courts that wait.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn follow_time(tx: &mut Tx<'_>, memory: &CourtMemory) -> DeskResult<usize> {
    let boards = super::board::boards(tx.db, tx.caller.tournament(), tx.now, memory)?;
    if boards.is_empty() {
        return Ok(0);
    }
    Ok(follow(tx, boards, "time_passed", true)?.len())
}
