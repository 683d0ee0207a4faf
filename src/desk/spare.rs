//! How much time a job has left, and how likely that is not enough.
use chrono::{DateTime, TimeDelta, Utc};

use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::completion::completions;
use crate::desk::job_sheet::JobSheet;
use crate::desk::minutes::{late_minutes, minutes};
use crate::desk::refusal::DeskResult;
use crate::desk::schedule::{WorkPlan, kept};
use crate::storage::Db;
use crate::storage::jobs::Job;

/// A job's margin by the kept plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// When it is expected to be ready.
    pub ready_at: DateTime<Utc>,
    /// From when it is expected to be ready to its promise or its ready-by, whichever comes first;
    /// negative when it will be late.
    pub to_promise: TimeDelta,
    /// The match it is for, if any.
    pub match_id: Option<String>,
    /// P(not ready when its player walks on), 0 to 1; nothing for a plain time.
    pub risk: Option<f64>,
}

impl Spare {
    /// Whole minutes to the promise or the ready-by, negative when it will be late.
    #[must_use]
    pub fn minutes(&self) -> i64 {
        let seconds = self.to_promise.num_seconds();
        if seconds < 0 {
            -late_minutes(-seconds)
        } else {
            minutes(seconds)
        }
    }

    /// When it is expected to be ready, to the minute: as far from what was promised as [`Self::minutes`] says, so
    /// that a time and the minutes beside it are one number.
    #[must_use]
    pub fn ready_shown(&self) -> DateTime<Utc> {
        at_minute(minute_of(self.ready_at + self.to_promise) - self.minutes())
    }
}

/// Notes the margin of every job that has a place: at a station or in the plan.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn note_spare(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    sheets: &mut [JobSheet],
) -> DeskResult<()> {
    match kept(db, tournament)? {
        Some((plan, _)) => note_spare_by(&plan, now, sheets),
        None => Ok(()),
    }
}

/// The same by this plan.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn note_spare_by(plan: &WorkPlan, now: DateTime<Utc>, sheets: &mut [JobSheet]) -> DeskResult<()> {
    let mut rows: Vec<Job> = sheets.iter().map(|sheet| sheet.job.clone()).collect();
    rows.retain(|job| ["waiting", "assigned", "on_machine", "checking"].contains(&job.state.as_str()));
    rows.sort_by_key(|job| job.due_at);
    let done = completions(&rows, Some(plan), plan.lanes.len(), now)?;
    for sheet in sheets {
        let Some(completion) = done.get(&sheet.job.id).filter(|done| done.placed) else {
            continue;
        };
        let due = sheet.job.due_at.utc();
        let promised = sheet.job.promised_at.map_or(due, |at| at.utc().min(due));
        let risk = plan.risks.iter().find(|risk| risk.job_id == sheet.job.id);
        sheet.spare = Some(Spare {
            ready_at: completion.ready_at(),
            to_promise: promised.signed_duration_since(completion.ready_at()),
            match_id: risk.map(|risk| risk.match_id.clone()),
            risk: risk.map(|risk| risk.hard),
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_time_that_is_shown_and_the_minutes_beside_it_are_one_number() {
        let ready_at: DateTime<Utc> = "2026-05-02T10:00:00Z".parse().unwrap();
        for due_s in -200..200 {
            for second in [0, 1, 29, 30, 31, 59] {
                let ready_at = ready_at + TimeDelta::seconds(second);
                let spare = Spare {
                    ready_at,
                    to_promise: TimeDelta::seconds(due_s),
                    match_id: None,
                    risk: None,
                };
                let due = ready_at + spare.to_promise;
                assert_eq!(
                    minute_of(due) - minute_of(spare.ready_shown()),
                    spare.minutes(),
                    "{due_s} {second}"
                );
                assert!((spare.ready_shown() - ready_at).num_seconds().abs() <= 90);
            }
        }
    }
}
