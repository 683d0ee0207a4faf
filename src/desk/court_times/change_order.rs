//! Taking an order of play in: whole, checked, compared, applied.
use chrono::NaiveDate;
use serde_json::json;

use crate::craft::match_times::order::OrderOfPlay;
use crate::craft::match_times::replay::replay;
use crate::craft::roles::{Permission, Reach};
use crate::desk::court_times::board::{self, DayBoard, StoredDay, board_of};
use crate::desk::court_times::follow::{Moved, follow};
use crate::desk::court_times::member_faults;
use crate::desk::court_times::people::People;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault};
use crate::desk::{CourtMemory, Tx};
use crate::forms::order_of_play::{self, Read};
use crate::forms::place::FormRemark;
use crate::storage::court_times::{self, DayOrder};
use crate::storage::{Db, to_record};

/// What a new order of play changes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Difference {
    /// Matches that are new.
    pub new: Vec<String>,
    /// Matches that are gone.
    pub gone: Vec<String>,
    /// Matches with another court, place or start.
    pub moved: Vec<String>,
    /// Matches with other players, format or rest.
    pub changed: Vec<String>,
}

/// An order of play that was taken in.
#[derive(Debug, Clone)]
pub struct Applied {
    /// The day as it stands now.
    pub board: DayBoard,
    /// What changed.
    pub difference: Difference,
    /// The jobs it moved.
    pub moved: Vec<Moved>,
    /// What is worth a word.
    pub remarks: Vec<FormRemark>,
    /// Whether the day had no order of play before.
    pub created: bool,
}

/// Refuses a caller who may not change matches.
///
/// # Errors
/// [`DeskError::NotAllowed`].
pub fn may_change(tx: &Tx<'_>) -> DeskResult<()> {
    match tx.caller.role.reach(Permission::ChangeMatches) {
        Reach::All => Ok(()),
        _ => Err(DeskError::NotAllowed),
    }
}

/// Reads a text of any form as the order of play of `day`.
///
/// # Errors
/// [`DeskError::Invalid`] with every fault.
pub fn read(
    db: &mut Db,
    tournament: &str,
    day: NaiveDate,
    text: &str,
    known: Option<&StoredDay>,
) -> DeskResult<Read> {
    let standing = known.map(|known| &known.order);
    let people = People::of(db, tournament, standing)?;
    let zone = board::zone(db, tournament)?;
    let read = order_of_play::read(text, &people.known(zone, standing))
        .map_err(|faults| DeskError::Invalid(member_faults(&faults)))?;
    if read.order.day != day {
        let detail = format!(
            "This is the order of play of {}: choose that day.",
            read.order.day
        );
        return Err(DeskError::Invalid(vec![MemberFault::at(
            "/day",
            "other_day",
            detail,
        )]));
    }
    Ok(read)
}

/// The version an order gets, after the one that stands.
///
/// # Errors
/// [`DeskError::Stale`] for one that was made from an older version.
fn next_version(mut order: OrderOfPlay, standing: Option<&OrderOfPlay>) -> DeskResult<OrderOfPlay> {
    let Some(standing) = standing else {
        order.version = order.version.max(1);
        return Ok(order);
    };
    if order.version != 0 && order.version < standing.version {
        return Err(DeskError::Stale {
            current: i64::from(standing.version),
        });
    }
    let same = OrderOfPlay {
        version: standing.version,
        ..order.clone()
    } == *standing;
    if same {
        order.version = standing.version;
    } else {
        order.version = order.version.max(standing.version + 1);
    }
    Ok(order)
}

/// What differs between two orders.
#[must_use]
pub fn difference(before: Option<&OrderOfPlay>, after: &OrderOfPlay) -> Difference {
    let mut difference = Difference::default();
    for played in &after.matches {
        match before.and_then(|before| before.find(&played.id)) {
            None => difference.new.push(played.id.clone()),
            Some(old) if (&old.court, old.seq, old.start) != (&played.court, played.seq, played.start) => {
                difference.moved.push(played.id.clone());
            }
            Some(old) if old != played => difference.changed.push(played.id.clone()),
            Some(_) => {}
        }
    }
    let gone = before
        .into_iter()
        .flat_map(|before| &before.matches)
        .filter(|old| after.find(&old.id).is_none());
    difference.gone = gone.map(|old| old.id.clone()).collect();
    difference
}

/// What the day would be with this order: its board, and the order with its version.
///
/// # Errors
/// [`DeskError::Invalid`] where what happened on the courts does not fit it, [`DeskError::Stale`].
pub fn planned(
    tx: &Tx<'_>,
    read: &Read,
    known: Option<&StoredDay>,
    memory: &CourtMemory,
) -> DeskResult<DayBoard> {
    let standing = known.map(|known| {
        replay(&known.order, &known.events).map_or_else(|_| known.order.clone(), |day| day.order)
    });
    let order = next_version(read.order.clone(), standing.as_ref())?;
    let events: Vec<_> = known.map(|known| known.events.clone()).unwrap_or_default();
    let events: Vec<_> = events
        .into_iter()
        .filter(|event| board::change_version(event).is_none_or(|version| version > order.version))
        .collect();
    let replayed = replay(&order, &events).map_err(|faults| {
        let faults = faults
            .into_iter()
            .map(|fault| MemberFault::at("", fault.refusal.as_str(), fault.detail));
        DeskError::Invalid(faults.collect())
    })?;
    Ok(board_of(
        replayed,
        order,
        known.map_or(0, |known| known.version),
        tx.now,
        memory,
    ))
}

/// Takes the order of play of a day in, whole. The same order again changes nothing.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`] with every fault, [`DeskError::Stale`],
/// [`DeskError::Rule`] where many jobs would be late at once.
pub fn put_order(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    text: &str,
    made_from: Option<i64>,
    confirmed: bool,
    memory: &CourtMemory,
) -> DeskResult<Applied> {
    may_change(tx)?;
    let tournament = tx.caller.tournament();
    let known = board::stored(tx.db, tournament, &day.to_string(), memory)?;
    let read = read(tx.db, tournament, day, text, known.as_ref())?;
    if let (Some(known), Some(made_from)) = (&known, made_from)
        && known.version != made_from
    {
        return Err(DeskError::Stale {
            current: known.version,
        });
    }
    let mut board = planned(tx, &read, known.as_ref(), memory)?;
    let standing = known.as_ref().map(|known| &known.order);
    let difference = difference(standing, &board.given);
    let created = known.is_none();
    if standing != Some(&board.given) {
        board.version = keep(tx, &board.given, known.as_ref())?;
        let data = json!({"day": day.to_string(), "version": board.given.version, "new": difference.new,
            "gone": difference.gone, "moved": difference.moved, "changed": difference.changed});
        tx.emit("match.scheduled", &format!("order_of_play/{day}"), &data)?;
    }
    let moved = apply(tx, board.clone(), "order_of_play", confirmed, memory)?;
    Ok(Applied {
        board,
        difference,
        moved,
        remarks: read.remarks,
        created,
    })
}

fn keep(tx: &mut Tx<'_>, order: &OrderOfPlay, known: Option<&StoredDay>) -> DeskResult<i64> {
    let mut row = DayOrder {
        tournament_id: tx.tournament().to_owned(),
        day: order.day.to_string(),
        record: to_record(&order_of_play::json(order))?,
        version: known.map_or(1, |known| known.version),
        changed_at: tx.at(),
    };
    if known.is_some() {
        court_times::save(tx.db, &mut row)?;
    } else {
        court_times::insert(tx.db, &row)?;
    }
    Ok(row.version)
}

/// Lets the jobs follow a day that has changed, together with the other days.
pub(super) fn apply(
    tx: &mut Tx<'_>,
    changed: DayBoard,
    cause: &str,
    confirmed: bool,
    memory: &CourtMemory,
) -> DeskResult<Vec<Moved>> {
    let boards = board::boards_with(tx.db, tx.caller.tournament(), changed, tx.now, memory)?;
    follow(tx, boards, cause, confirmed)
}
