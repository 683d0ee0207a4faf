//! What a stop of play would do to the ready-by times, with nothing stored.
use chrono::{DateTime, Utc};

use crate::craft::match_times::events::{CourtEvent, Happened};
use crate::craft::match_times::ready_by::republished;
use crate::craft::match_times::replay::replay;
use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::CourtMemory;
use crate::desk::court_times::board::{self, board_of};
use crate::desk::court_times::next_match::{Outlook, all};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::Db;

/// Who would say so.
const SOURCE: &str = "desk";

/// The jobs whose ready-by would move, with their new times.
pub(super) fn new_times(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    courts: &[String],
    expected: Option<DateTime<Utc>>,
    memory: &CourtMemory,
) -> DeskResult<Vec<(String, DateTime<Utc>)>> {
    let today = now.with_timezone(&board::zone(db, tournament)?).date_naive();
    let mut known = board::stored(db, tournament, &today.to_string(), memory)?;
    if let (None, Some(yesterday)) = (&known, today.pred_opt()) {
        known = board::stored(db, tournament, &yesterday.to_string(), memory)?;
    }
    let known = known.ok_or(DeskError::NotFound(Thing::OrderOfPlay))?;
    let open = known.order.courts.iter().filter(|court| !court.covered);
    let courts = if courts.is_empty() {
        open.map(|court| court.id.clone()).collect()
    } else {
        courts.to_vec()
    };
    let mut events = known.events.clone();
    events.push(CourtEvent {
        src: SOURCE.to_owned(),
        n: u64::MAX,
        at: now,
        what: Happened::Suspended {
            courts,
            reason: String::new(),
            expected,
        },
    });
    let replayed = replay(&known.order, &events).map_err(|_faults| {
        DeskError::member(
            "/courts",
            "unknown_reference",
            "Name courts of today's order of play.",
        )
    })?;
    let stopped = board_of(replayed, known.order, known.version, now, memory);
    let boards = board::boards_with(db, tournament, stopped, now, memory)?;
    let outlook = Outlook::of(db, tournament, now, boards)?;
    let ready = all(db, tournament, &outlook)?;
    Ok(ready
        .into_iter()
        .filter_map(|(job, _, ready)| {
            let published = minute_of(job.due_at.utc());
            let due = republished(published, minute_of(ready.ready_by));
            (due != published).then(|| (job.id, at_minute(due)))
        })
        .collect())
}
