//! Orders of play by day, and the events of the courts.
use diesel::prelude::*;

use super::schema::{court_events, orders_of_play};
use super::{At, Db, StoreError, StoreResult};

/// The order of play of a day.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = orders_of_play)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct DayOrder {
    pub tournament_id: String,
    pub day: String,
    pub record: String,
    pub version: i64,
    pub changed_at: At,
}

/// One event of a court, as its line of JSON.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = court_events)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct StoredEvent {
    pub tournament_id: String,
    pub src: String,
    pub n: i64,
    pub day: String,
    pub at: At,
    pub record: String,
}

/// The order of play of a day, if there is one.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn find(db: &mut Db, tournament: &str, day: &str) -> StoreResult<Option<DayOrder>> {
    Ok(orders_of_play::table
        .find((tournament, day))
        .select(DayOrder::as_select())
        .first(db)
        .optional()?)
}

/// The orders of play from `day` on, by day.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn from_day(db: &mut Db, tournament: &str, day: &str) -> StoreResult<Vec<DayOrder>> {
    Ok(orders_of_play::table
        .filter(orders_of_play::tournament_id.eq(tournament))
        .filter(orders_of_play::day.ge(day))
        .order(orders_of_play::day)
        .select(DayOrder::as_select())
        .load(db)?)
}

/// Adds the order of play of a day.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn insert(db: &mut Db, row: &DayOrder) -> StoreResult<()> {
    diesel::insert_into(orders_of_play::table)
        .values(row)
        .execute(db)?;
    Ok(())
}

/// Saves the row as a new version, unless somebody saved one since it was read.
///
/// # Errors
/// [`StoreError::Vanished`] where that version is not there.
pub fn save(db: &mut Db, row: &mut DayOrder) -> StoreResult<()> {
    let read = row.version;
    row.version += 1;
    let kept = orders_of_play::table
        .filter(orders_of_play::tournament_id.eq(&row.tournament_id))
        .filter(orders_of_play::day.eq(&row.day))
        .filter(orders_of_play::version.eq(read));
    let saved = diesel::update(kept)
        .set((
            orders_of_play::record.eq(&row.record),
            orders_of_play::version.eq(row.version),
            orders_of_play::changed_at.eq(row.changed_at),
        ))
        .execute(db)?;
    if saved == 1 {
        Ok(())
    } else {
        Err(StoreError::Vanished(row.day.clone()))
    }
}

/// The events of a day, by the time at which they happened.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn events_of(db: &mut Db, tournament: &str, day: &str) -> StoreResult<Vec<StoredEvent>> {
    Ok(court_events::table
        .filter(court_events::tournament_id.eq(tournament))
        .filter(court_events::day.eq(day))
        .order((court_events::at, court_events::src, court_events::n))
        .select(StoredEvent::as_select())
        .load(db)?)
}

/// The event of this key, if it was stored.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn event(db: &mut Db, tournament: &str, src: &str, n: i64) -> StoreResult<Option<StoredEvent>> {
    Ok(court_events::table
        .find((tournament, src, n))
        .select(StoredEvent::as_select())
        .first(db)
        .optional()?)
}

/// Adds an event.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn insert_event(db: &mut Db, row: &StoredEvent) -> StoreResult<()> {
    diesel::insert_into(court_events::table).values(row).execute(db)?;
    Ok(())
}

/// Puts an event in the place of the one with its key.
///
/// # Errors
/// [`StoreError`] where the query fails.
pub fn replace_event(db: &mut Db, row: &StoredEvent) -> StoreResult<()> {
    let key = (&row.tournament_id, &row.src, row.n);
    diesel::update(court_events::table.find(key))
        .set((
            court_events::day.eq(&row.day),
            court_events::at.eq(row.at),
            court_events::record.eq(&row.record),
        ))
        .execute(db)?;
    Ok(())
}
