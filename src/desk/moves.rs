//! Writing a job's move down: state, time, version, event.
use serde_json::{Map, Value, json};

use crate::craft::job::{JobState, Move};
use crate::desk::Tx;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::storage::{jobs, to_record};

/// Moves a job along the table: saves the sheet's job in its new state and writes the event.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn settle(tx: &mut Tx<'_>, sheet: &mut JobSheet, to: JobState, by: &Move, more: Value) -> DeskResult<()> {
    let from = std::mem::replace(&mut sheet.job.state, to.as_str().to_owned());
    if from != sheet.job.state {
        sheet.job.state_since = tx.at();
    }
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    let mut data = Map::from_iter([
        ("from".to_owned(), json!(from)),
        ("state".to_owned(), json!(sheet.job.state)),
        ("attempt".to_owned(), json!(sheet.job.attempt)),
        ("station_id".to_owned(), json!(sheet.job.station_id)),
        ("racket_id".to_owned(), json!(sheet.job.racket_id)),
    ]);
    if let Value::Object(more) = more {
        data.extend(more);
    }
    tx.emit(by.rule.event, &sheet.job.id, &Value::Object(data))
}

/// Saves a change that leaves the state as it is.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn note(tx: &mut Tx<'_>, sheet: &mut JobSheet, by: &Move, more: Value) -> DeskResult<()> {
    let state = sheet.job.state.parse().unwrap_or(JobState::Waiting);
    settle(tx, sheet, state, by, more)
}
