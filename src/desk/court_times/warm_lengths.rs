//! Lengths of matches, computed before anybody waits for them in the line of writes.
use crate::craft::match_times::length::{Chances, MatchKind};
use crate::craft::match_times::order::OrderOfPlay;
use crate::desk::CourtMemory;
use crate::desk::court_times::board;
use crate::desk::court_times::people::People;
use crate::desk::refusal::DeskResult;
use crate::forms::order_of_play;
use crate::storage::Db;

/// Those of an order of play in any form; a text that cannot be read brings none.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn of_text(db: &mut Db, tournament: &str, text: &str, memory: &CourtMemory) -> DeskResult<()> {
    let Some(day) = order_of_play::day_in(text) else {
        return Ok(());
    };
    // a table names courts only; what they are stands in the order that is replaced
    let standing = board::stored(db, tournament, &day.to_string(), memory)?;
    let standing = standing.as_ref().map(|standing| &standing.order);
    let (people, zone) = (
        People::of(db, tournament, standing)?,
        board::zone(db, tournament)?,
    );
    if let Ok(read) = order_of_play::read(text, &people.known(zone, standing)) {
        of_order(&read.order, memory);
    }
    Ok(())
}

/// Those of every day that is stored.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn of_days(db: &mut Db, tournament: &str, memory: &CourtMemory) -> DeskResult<()> {
    for day in board::days(db, tournament)? {
        if let Some(stored) = board::stored(db, tournament, &day, memory)? {
            of_order(&stored.order, memory);
        }
    }
    Ok(())
}

fn of_order(order: &OrderOfPlay, memory: &CourtMemory) {
    let mut kinds: Vec<MatchKind> = Vec::new();
    for kind in order.matches.iter().map(|played| order.kind(played)) {
        if !kinds.contains(&kind) {
            memory.know(&kind, Chances::default().retirement);
            kinds.push(kind);
        }
    }
}
