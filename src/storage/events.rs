//! The log: everything that happened, in order, without gaps per tournament.
use diesel::prelude::*;

use super::schema::events;
use super::{At, Db, StoreResult};

/// One entry of the log.
#[derive(Debug, Clone, Queryable, Selectable, Insertable)]
#[diesel(table_name = events)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Event {
    pub tournament_id: String,
    pub sequence: i64,
    pub id: String,
    pub kind: String,
    pub subject: String,
    pub at: At,
    pub device_at: Option<At>,
    pub account_id: Option<String>,
    pub device_id: Option<String>,
    pub data: String,
}

/// Appends an entry; its number was taken under [`tournaments::enter`](super::tournaments::enter).
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn append(db: &mut Db, event: &Event) -> StoreResult<()> {
    diesel::insert_into(events::table).values(event).execute(db)?;
    Ok(())
}

/// At most `limit` entries after number `after`, in order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn after(db: &mut Db, tournament: &str, after: i64, limit: i64) -> StoreResult<Vec<Event>> {
    Ok(events::table
        .filter(events::tournament_id.eq(tournament))
        .filter(events::sequence.gt(after))
        .order(events::sequence)
        .limit(limit)
        .select(Event::as_select())
        .load(db)?)
}

/// Every entry about one of these subjects, in order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn about(db: &mut Db, tournament: &str, subjects: &[String]) -> StoreResult<Vec<Event>> {
    Ok(events::table
        .filter(events::tournament_id.eq(tournament))
        .filter(events::subject.eq_any(subjects.to_vec()))
        .order(events::sequence)
        .select(Event::as_select())
        .load(db)?)
}

/// The number of the newest entry, 0 for none.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn newest(db: &mut Db, tournament: &str) -> StoreResult<i64> {
    Ok(events::table
        .filter(events::tournament_id.eq(tournament))
        .order(events::sequence.desc())
        .select(events::sequence)
        .first(db)
        .optional()?
        .unwrap_or(0))
}
