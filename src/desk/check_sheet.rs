//! What is read before a strung racket is checked: earlier readings, instruments, the next slot.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::job::JobState;
use crate::craft::reading::{AgedReading, percent_of_last};
use crate::craft::shelf;
use crate::desk::check_racket::ReadingTaken;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, overview, text_member};
use crate::storage::{Db, from_record, work};

/// How many earlier readings of one racket are looked at.
const BEFORE: i64 = 20;
/// How far back instruments are looked for, readings.
const INSTRUMENTS_WITHIN: i64 = 200;

/// A job at its check.
#[derive(Debug, Clone)]
pub struct CheckSheet {
    /// The job.
    pub sheet: JobSheet,
    /// Earlier readings of this racket, newest first.
    pub before: Vec<ReadingTaken>,
    /// Instruments that were used here, with the unit each shows; the last used first.
    pub instruments: Vec<(String, String)>,
    /// The slot that comes next.
    pub free_slot: String,
    /// Minutes since the racket came off the machine.
    pub minutes_after: u32,
}

/// Reads what the check needs.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError).
pub fn check_sheet(
    db: &mut Db,
    tournament: &str,
    job_id: &str,
    now: DateTime<Utc>,
) -> DeskResult<CheckSheet> {
    let sheet = JobSheet::of(db, tournament, job_id)?;
    let mut before: Vec<ReadingTaken> = Vec::new();
    for row in work::readings_of(db, &sheet.racket.id, BEFORE)? {
        if row.job_id != job_id {
            before.push(from_record(&row.record)?);
        }
    }
    let mut instruments: Vec<(String, String)> = Vec::new();
    for row in work::latest_readings(db, tournament, INSTRUMENTS_WITHIN)? {
        let taken: ReadingTaken = from_record(&row.record)?;
        let known = (taken.instrument, taken.unit);
        if !instruments.contains(&known) {
            instruments.push(known);
        }
    }
    let ready = overview::sheets_in(db, tournament, &[JobState::Ready.as_str()])?;
    let taken: Vec<String> = ready.iter().filter_map(overview::slot_of).collect();
    let minutes = (now - sheet.job.state_since.utc()).num_minutes();
    Ok(CheckSheet {
        minutes_after: u32::try_from(minutes).unwrap_or(0),
        free_slot: shelf::first_free(taken.iter().map(String::as_str)),
        sheet,
        before,
        instruments,
    })
}

impl CheckSheet {
    /// `value` as per cent of this racket's last reading by the same instrument at a like age.
    #[must_use]
    pub fn percent_of_last(&self, instrument: &str, value: f64) -> Option<f64> {
        let same = self.before.iter().filter(|taken| taken.instrument == instrument);
        let aged = same.map(|taken| AgedReading {
            value: taken.value,
            minutes_after: taken.minutes_after.unwrap_or(0),
        });
        let now = AgedReading {
            value,
            minutes_after: self.minutes_after,
        };
        percent_of_last(now, &aged.collect::<Vec<_>>())
    }
}

/// Writes down why a racket passes whose reading is far from what was expected.
///
/// # Errors
/// [`DeskError::Invalid`](crate::desk::DeskError) without a reason.
pub fn accept_far_reading(tx: &mut Tx<'_>, job_id: &str, reason: &str) -> DeskResult<()> {
    let reason = text_member::name(reason, "/reason")?;
    tx.emit("reading.accepted", job_id, &json!({"reason": reason}))
}
