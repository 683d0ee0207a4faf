//! What an order of play would change, before anything does.
use chrono::NaiveDate;

use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::court_times::change_order::{Difference, difference, may_change, planned, read};
use crate::desk::court_times::follow::{Moved, moved};
use crate::desk::refusal::DeskResult;
use crate::desk::{CourtMemory, Tx};
use crate::forms::place::FormRemark;

/// What would change.
#[derive(Debug, Clone)]
pub struct Preview {
    /// The day as it stands, where it has an order of play.
    pub before: Option<DayBoard>,
    /// The day as it would be.
    pub after: DayBoard,
    /// Matches.
    pub difference: Difference,
    /// Jobs.
    pub moved: Vec<Moved>,
    /// What is worth a word.
    pub remarks: Vec<FormRemark>,
}

/// Compares an order of play with the one that stands; nothing changes.
///
/// # Errors
/// As [`put_order`](super::change_order::put_order), without the guard against jumps.
pub fn preview_order(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    text: &str,
    memory: &CourtMemory,
) -> DeskResult<Preview> {
    may_change(tx)?;
    let tournament = tx.caller.tournament();
    let known = board::stored(tx.db, tournament, &day.to_string(), memory)?;
    let read = read(tx.db, tournament, day, text, known.as_ref())?;
    let board = planned(tx, &read, known.as_ref(), memory)?;
    let difference = difference(known.as_ref().map(|known| &known.order), &board.given);
    let before = board::board(tx.db, tournament, &day.to_string(), tx.now, memory)?;
    let boards = board::boards_with(tx.db, tournament, board.clone(), tx.now, memory)?;
    Ok(Preview {
        before,
        after: board,
        difference,
        moved: moved(tx, boards)?,
        remarks: read.remarks,
    })
}
