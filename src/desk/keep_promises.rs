//! What players were told follows the plan: told anew when it no longer holds, each time with its cause.
use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::{Value, json};

use crate::craft::promise::{Progress, told};
use crate::desk::Tx;
use crate::desk::completion::completions;
use crate::desk::refusal::DeskResult;
use crate::desk::schedule::WorkPlan;
use crate::storage::events::Event;
use crate::storage::{Db, events, jobs};

/// States in which a player still waits for what was promised.
const WAITED_FOR: [&str; 4] = ["on_machine", "checking", "assigned", "waiting"];
/// What the log holds of a changed promise.
pub const PROMISE_CHANGED: &str = "job.promise_changed";
/// The entry of a ready-by that has moved.
const DUE_CHANGED: &str = "job.due_changed";
/// Entries of the log that are looked at for causes.
const LOOK: i64 = 500;

/// What happened since the last plan, as far as it can move a promise.
#[derive(Debug, Clone, Default)]
pub struct Causes {
    of_job: BTreeMap<String, Value>,
    newest: Option<Value>,
}

#[derive(Deserialize)]
struct DueChanged {
    #[serde(default)]
    match_id: Option<String>,
}

impl Causes {
    /// Reads what was logged after `made_from`, the planner's own entries apart.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn since(db: &mut Db, tournament: &str, made_from: i64, own: &[&str]) -> DeskResult<Self> {
        let mut causes = Self::default();
        for event in events::after(db, tournament, made_from, LOOK)? {
            if own.contains(&event.kind.as_str()) {
                continue;
            }
            let cause = cause(&event);
            if event.kind == DUE_CHANGED {
                causes.of_job.insert(event.subject, cause.clone());
            }
            causes.newest = Some(cause);
        }
        Ok(causes)
    }

    /// The change of this job's own ready-by, else the newest entry that the plan was made from.
    fn of(&self, job_id: &str) -> Value {
        let cause = self.of_job.get(job_id).or(self.newest.as_ref());
        cause.cloned().unwrap_or_else(|| json!({"cause": "time_passed"}))
    }
}

fn cause(event: &Event) -> Value {
    let mut cause = json!({"cause": event.kind, "cause_sequence": event.sequence});
    let moved: Option<DueChanged> = serde_json::from_str(&event.data).ok();
    if let Some(id) = moved
        .and_then(|moved| moved.match_id)
        .filter(|_| event.kind == DUE_CHANGED)
    {
        cause["match_id"] = json!(id);
    }
    cause
}

/// Tells anew what no longer holds by this plan.
///
/// Jobs without a place in it keep what was told: nothing better is known of them.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn keep_promises(tx: &mut Tx<'_>, plan: &WorkPlan, causes: &Causes) -> DeskResult<()> {
    let rows = jobs::in_states(tx.db, tx.caller.tournament(), &WAITED_FOR)?;
    let done = completions(&rows, Some(plan), plan.lanes.len(), tx.now)?;
    for mut job in rows {
        let Some(completion) = done.get(&job.id).filter(|done| done.placed) else {
            continue;
        };
        let before = job.promised_at.map(crate::storage::At::utc);
        let progress = match job.state.as_str() {
            "waiting" => Progress::Waits,
            _ => Progress::Begun,
        };
        let safe = completion.safe_at(tx.now, progress);
        let after = safe.and_then(|safe| told(before, safe, progress));
        if after.is_none() || after == before {
            continue;
        }
        job.promised_at = after.map(crate::storage::At::from);
        jobs::save(tx.db, &mut job)?;
        let mut data = causes.of(&job.id);
        data["before"] = json!(before);
        data["promised_at"] = json!(after);
        tx.emit(PROMISE_CHANGED, &job.id, &data)?;
    }
    Ok(())
}
