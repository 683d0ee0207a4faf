//! Taking in what happens on the courts: all lines or none.
use chrono::NaiveDate;
use serde_json::json;

use crate::craft::match_times::day_state::{DayState, Outcome};
use crate::craft::match_times::events::{CourtEvent, Happened, MatchEvent};
use crate::craft::match_times::order_faults::Remark;
use crate::craft::match_times::replay::{Replayed, replay};
use crate::desk::court_times::board::{self, DayBoard, StoredDay, board_of};
use crate::desk::court_times::change_order::{apply, may_change};
use crate::desk::court_times::follow::{Moved, moved};
use crate::desk::court_times::member_faults;
use crate::desk::court_times::next_match::OPEN;
use crate::desk::records::JobRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{CourtMemory, Tx, match_not_played};
use crate::forms::court_events::{self, EventLines};
use crate::storage::court_times::{self, StoredEvent};
use crate::storage::{from_record, jobs};

/// What taking events in did.
#[derive(Debug, Clone)]
pub struct Taken {
    /// The day as it stands now.
    pub board: DayBoard,
    /// How many events were new, or corrected an earlier one.
    pub taken: usize,
    /// How many had been taken before.
    pub repeated: usize,
    /// What is worth a word: line and text.
    pub remarks: Vec<(usize, Remark, String)>,
    /// The jobs they moved.
    pub moved: Vec<Moved>,
}

/// Takes JSON lines in, for one day of play.
///
/// # Errors
/// [`DeskError::NotFound`] without an order of play, [`DeskError::NotAllowed`], [`DeskError::Invalid`] with
/// every fault by line, [`DeskError::Rule`] where many jobs would be late at once.
pub fn take_events(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    text: &str,
    confirmed: bool,
    memory: &CourtMemory,
) -> DeskResult<Taken> {
    let heard = hear(tx, day, text)?;
    for place in &heard.fresh {
        keep(tx, day, &heard.lines, *place)?;
        tell(tx, &heard.lines.events[*place])?;
    }
    ask_about_matches_not_played(tx, &heard.before, &heard.replayed.state)?;
    let some = !heard.fresh.is_empty();
    let mut taken = heard.taken(tx, memory);
    if some {
        taken.moved = apply(tx, taken.board.clone(), "court_event", confirmed, memory)?;
    }
    Ok(taken)
}

/// What these lines would do; nothing changes.
///
/// # Errors
/// As [`take_events`], without the guard against jumps.
pub fn preview_events(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    text: &str,
    memory: &CourtMemory,
) -> DeskResult<Taken> {
    let mut taken = hear(tx, day, text)?.taken(tx, memory);
    let board = taken.board.clone();
    let boards = board::boards_with(tx.db, tx.caller.tournament(), board, tx.now, memory)?;
    taken.moved = moved(tx, boards)?;
    Ok(taken)
}

/// Lines that fit the day, with what stood before them.
struct Heard {
    known: StoredDay,
    lines: EventLines,
    /// Places of the lines that are not stored yet.
    fresh: Vec<usize>,
    before: DayState,
    replayed: Replayed,
    remarks: Vec<(usize, Remark, String)>,
}

impl Heard {
    fn taken(self, tx: &Tx<'_>, memory: &CourtMemory) -> Taken {
        let Self {
            known,
            lines,
            fresh,
            replayed,
            remarks,
            ..
        } = self;
        Taken {
            board: board_of(replayed, known.order, known.version, tx.now, memory),
            taken: fresh.len(),
            repeated: lines.events.len() - fresh.len(),
            remarks,
            moved: Vec::new(),
        }
    }
}

/// Reads the lines and replays the day with them.
fn hear(tx: &mut Tx<'_>, day: NaiveDate, text: &str) -> DeskResult<Heard> {
    let tournament = tx.caller.tournament();
    let known = board::stored(tx.db, tournament, &day.to_string(), &tx.memory)?
        .ok_or(DeskError::NotFound(Thing::OrderOfPlay))?;
    may_change(tx)?;
    let lines = court_events::read(text).map_err(|faults| DeskError::Invalid(member_faults(&faults)))?;
    let before = replay(&known.order, &known.events)
        .map(|day| day.state)
        .unwrap_or_default();
    let stored = known.events.len();
    // changes of order that are part of the stored order by now are still known by their key
    let fresh: Vec<usize> = (0..lines.events.len())
        .filter(|place| !is_known(&known, &lines, *place))
        .collect();
    let mut all = known.events.clone();
    all.extend(fresh.iter().map(|place| lines.events[*place].clone()));
    let replayed = replay(&known.order, &all).map_err(|mut faults| {
        for fault in &mut faults {
            fault.place = fault
                .place
                .checked_sub(stored)
                .and_then(|place| fresh.get(place))
                .copied()
                .unwrap_or(0);
        }
        DeskError::Invalid(member_faults(&lines.placed(faults)))
    })?;
    let remarks = replayed.remarks.iter().filter_map(|remark| {
        let place = fresh.get(remark.place.checked_sub(stored)?)?;
        Some((lines.lines[*place], remark.remark, remark.detail.clone()))
    });
    Ok(Heard {
        remarks: remarks.collect(),
        known,
        lines,
        fresh,
        before,
        replayed,
    })
}

/// Whether the very same event is stored.
fn is_known(known: &StoredDay, lines: &EventLines, place: usize) -> bool {
    let event = &lines.events[place];
    known.told.get(&(event.src.clone(), event.n)) == Some(event)
}

fn keep(tx: &mut Tx<'_>, day: NaiveDate, lines: &EventLines, place: usize) -> DeskResult<()> {
    let event = &lines.events[place];
    let n = i64::try_from(event.n)
        .map_err(|_too_large| DeskError::member("", "out_of_range", "n must be below 2^63"))?;
    let row = StoredEvent {
        tournament_id: tx.tournament().to_owned(),
        src: event.src.clone(),
        n,
        day: day.to_string(),
        at: event.at.into(),
        record: lines.texts[place].clone(),
    };
    if court_times::event(tx.db, &row.tournament_id, &row.src, n)?.is_some() {
        court_times::replace_event(tx.db, &row)?;
    } else {
        court_times::insert_event(tx.db, &row)?;
    }
    Ok(())
}

/// The entry of the log for an event of a court.
fn tell(tx: &mut Tx<'_>, event: &CourtEvent) -> DeskResult<()> {
    let data = json!({"src": event.src, "n": event.n, "at": event.at});
    match &event.what {
        Happened::Match(id, what) => {
            let kind = match what {
                MatchEvent::Called => "match.called",
                MatchEvent::Started { .. } => "match.started",
                MatchEvent::Score(_) | MatchEvent::Corrected { .. } => "match.scored",
                MatchEvent::Over {
                    how: Outcome::Walkover,
                    ..
                } => "match.walkover",
                MatchEvent::Over { .. } => "match.finished",
                MatchEvent::Moved { .. } | MatchEvent::StartRule { .. } => "match.moved",
            };
            tx.emit(kind, id, &data)
        }
        Happened::Suspended { courts, reason, .. } => courts.iter().try_for_each(|court| {
            tx.emit("court.stopped", court, &json!({"reason": reason, "at": event.at}))
        }),
        Happened::Resumed { courts } => courts
            .iter()
            .try_for_each(|court| tx.emit("court.restarted", court, &json!({"at": event.at}))),
        Happened::Reordered { court, .. } => tx.emit("match.moved", court, &data),
        Happened::Withdrawn { .. } => tx.emit("match.scored", &event.src, &data),
    }
}

/// A match that is not played, or not played out, asks the player and the desk; no job is cancelled by it.
fn ask_about_matches_not_played(tx: &mut Tx<'_>, before: &DayState, after: &DayState) -> DeskResult<()> {
    for (id, state) in &after.matches {
        let Some(ended) = state
            .ended
            .as_ref()
            .filter(|ended| ended.how != Outcome::Completed)
        else {
            continue;
        };
        if before.of(id).is_some_and(|known| known.ended.is_some()) {
            continue;
        }
        for job in jobs::in_states(tx.db, tx.caller.tournament(), &OPEN)? {
            let record: JobRecord = from_record(&job.record)?;
            if record.ready_for_match.as_deref() != Some(id) {
                continue;
            }
            let what = format!(
                "Match {id} ended as {}: is the racket still wanted? Ask the player.",
                ended.how
            );
            match_not_played::ask(tx, &job.id, &what)?;
        }
    }
    Ok(())
}
