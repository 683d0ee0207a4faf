//! Stopping play on courts, and letting it go on.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::desk::court_times::board::{self, StoredDay};
use crate::desk::court_times::take_events::{Taken, take_events};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{CourtMemory, Tx};

/// Who says so, when the desk itself does.
pub const SOURCE: &str = "desk";

/// Stops play. No courts named: all that are not covered.
///
/// # Errors
/// As [`take_events`].
pub fn stop_courts(
    tx: &mut Tx<'_>,
    courts: Vec<String>,
    reason: &str,
    expected: Option<DateTime<Utc>>,
    memory: &CourtMemory,
) -> DeskResult<Taken> {
    let at = tx.now;
    say(tx, courts, at, memory, |event| {
        event["type"] = json!("suspended");
        event["reason"] = json!(reason);
        event["expected_resume"] = json!(expected);
    })
}

/// Lets play go on at `at`, which may lie ahead. No courts named: all that are stopped or could be.
///
/// # Errors
/// As [`take_events`].
pub fn restart_courts(
    tx: &mut Tx<'_>,
    courts: Vec<String>,
    at: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Taken> {
    say(tx, courts, at, memory, |event| event["type"] = json!("resumed"))
}

/// A number that the desk has given to no event of this day yet.
#[must_use]
pub fn next_number(known: &StoredDay, now: DateTime<Utc>) -> u64 {
    let mut n = u64::try_from(now.timestamp_millis()).unwrap_or(0);
    while known.told.contains_key(&(SOURCE.to_owned(), n)) {
        n += 1;
    }
    n
}

fn say(
    tx: &mut Tx<'_>,
    courts: Vec<String>,
    at: DateTime<Utc>,
    memory: &CourtMemory,
    fill: impl FnOnce(&mut serde_json::Value),
) -> DeskResult<Taken> {
    let day = board::current_day(tx)?;
    let stored = board::stored(tx.db, tx.caller.tournament(), &day.to_string(), memory)?;
    let known = stored.ok_or(DeskError::NotFound(Thing::OrderOfPlay))?;
    let open = known.order.courts.iter().filter(|court| !court.covered);
    let courts = if courts.is_empty() {
        open.map(|court| court.id.clone()).collect()
    } else {
        courts
    };
    let mut event = json!({"src": SOURCE, "n": next_number(&known, tx.now), "at": at, "courts": courts});
    fill(&mut event);
    take_events(tx, day, &event.to_string(), true, memory)
}
