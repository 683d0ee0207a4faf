//! What a stop of play would do to the ready-by times, with nothing stored.
use chrono::{DateTime, Utc};

use crate::craft::match_times::events::{CourtEvent, Happened};
use crate::craft::match_times::ready_by::republished;
use crate::craft::match_times::replay::replay;
use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::CourtMemory;
use crate::desk::court_times::board::{self, StoredDay, board_of};
use crate::desk::court_times::next_match::{Outlook, all};
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::stopped_play::waits_on;
use crate::storage::Db;

/// Who would say so.
const SOURCE: &str = "desk";

/// What a stop would do.
pub(super) struct Stopped {
    /// The jobs whose ready-by would move, with their new times.
    pub new_times: Vec<(String, DateTime<Utc>)>,
    /// Which courts, how many rackets wait on them, how many ready-bys move.
    pub sentences: Vec<String>,
}

/// What a stop on these courts would do; none named: on all that are not covered.
pub(super) fn stopped(
    db: &mut Db,
    (tournament, sheets): (&str, &[JobSheet]),
    now: DateTime<Utc>,
    courts: &[String],
    expected: Option<DateTime<Utc>>,
    memory: &CourtMemory,
) -> DeskResult<Stopped> {
    let known = known_day(db, tournament, now, memory)?;
    let open = known.order.courts.iter().filter(|court| !court.covered);
    let courts = if courts.is_empty() {
        open.map(|court| court.id.clone()).collect()
    } else {
        courts.to_vec()
    };
    let labels = known
        .order
        .courts
        .iter()
        .filter(|court| courts.contains(&court.id));
    let labels: Vec<&str> = labels.map(|court| court.label.as_str()).collect();
    let mut sentences = vec![format!("Play stops on {}.", labels.join(", "))];
    let stopped_courts = courts.clone();
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
    let waits = |sheet: &&JobSheet| waits_on(&stopped.plan, &stopped.state, sheet, &stopped_courts);
    sentences.push(waiting(sheets.iter().filter(waits).count()));
    let boards = board::boards_with(db, tournament, stopped, now, memory)?;
    let outlook = Outlook::of(db, tournament, now, boards)?;
    let ready = all(db, tournament, &outlook)?;
    let new_times: Vec<_> = ready
        .into_iter()
        .filter_map(|(job, _, ready)| {
            let published = minute_of(job.due_at.utc());
            let due = republished(published, minute_of(ready.ready_by));
            (due != published).then(|| (job.id, at_minute(due)))
        })
        .collect();
    sentences.push(moving(new_times.len()));
    Ok(Stopped { new_times, sentences })
}

/// The day of play that is on: today's, else yesterday's that goes on past midnight.
fn known_day(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<StoredDay> {
    let today = now.with_timezone(&board::zone(db, tournament)?).date_naive();
    let mut known = board::stored(db, tournament, &today.to_string(), memory)?;
    if let (None, Some(yesterday)) = (&known, today.pred_opt()) {
        known = board::stored(db, tournament, &yesterday.to_string(), memory)?;
    }
    known.ok_or(DeskError::NotFound(Thing::OrderOfPlay))
}

fn waiting(rackets: usize) -> String {
    match rackets {
        0 => "No racket waits on it.".to_owned(),
        1 => "1 racket waits on it.".to_owned(),
        many => format!("{many} rackets wait on it."),
    }
}

fn moving(jobs: usize) -> String {
    match jobs {
        0 => "No ready-by moves.".to_owned(),
        1 => "The ready-by of 1 job moves.".to_owned(),
        many => format!("The ready-bys of {many} jobs move."),
    }
}
