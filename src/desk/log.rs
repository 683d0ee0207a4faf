//! The log as listeners read it: in order, without gaps, ids and states only.
use chrono::{DateTime, Utc};
use serde_json::Value;

use crate::desk::refusal::DeskResult;
use crate::storage::{Db, events, from_record};

/// One thing that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct LogEntry {
    /// Its number in the tournament's log.
    pub sequence: i64,
    /// Its own id.
    pub id: String,
    /// What happened, such as `job.ready`.
    pub kind: String,
    /// The id of what it happened to.
    pub subject: String,
    /// When, by the desk clock.
    pub at: DateTime<Utc>,
    /// When, by the clock of the device that sent it.
    pub device_at: Option<DateTime<Utc>>,
    /// Who did it.
    pub account_id: Option<String>,
    /// On which device.
    pub device_id: Option<String>,
    /// Ids, states and times.
    pub data: Value,
}

impl LogEntry {
    /// The entry of a stored row.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError) where the stored JSON is broken.
    pub fn of(row: events::Event) -> DeskResult<Self> {
        Ok(Self {
            sequence: row.sequence,
            id: row.id,
            kind: row.kind,
            subject: row.subject,
            at: row.at.utc(),
            device_at: row.device_at.map(crate::storage::At::utc),
            account_id: row.account_id,
            device_id: row.device_id,
            data: from_record(&row.data)?,
        })
    }
}

/// At most `limit` entries after number `after`.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn entries_after(db: &mut Db, tournament: &str, after: i64, limit: i64) -> DeskResult<Vec<LogEntry>> {
    events::after(db, tournament, after, limit)?
        .into_iter()
        .map(LogEntry::of)
        .collect()
}

/// Every entry about one of `subjects`, in order.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn entries_about(db: &mut Db, tournament: &str, subjects: &[String]) -> DeskResult<Vec<LogEntry>> {
    events::about(db, tournament, subjects)?
        .into_iter()
        .map(LogEntry::of)
        .collect()
}

/// The number of the newest entry, 0 for none.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn newest(db: &mut Db, tournament: &str) -> DeskResult<i64> {
    Ok(events::newest(db, tournament)?)
}
