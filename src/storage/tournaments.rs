//! Tournaments, and each one's line of writes.
use diesel::prelude::*;

use super::schema::tournaments;
use super::{At, Db, StoreResult};

/// A tournament's row.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = tournaments, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Tournament {
    pub id: String,
    pub name: String,
    pub time_zone: String,
    pub record: String,
    pub sequence: i64,
    pub version: i64,
    pub created_at: At,
}

/// Takes the tournament's line of writes until the transaction ends and answers
/// the last number of its log; `None`: no such tournament.
///
/// The first statement of every write, on both databases.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn enter(db: &mut Db, id: &str) -> StoreResult<Option<i64>> {
    Ok(diesel::update(tournaments::table.find(id))
        .set(tournaments::sequence.eq(tournaments::sequence + 0))
        .returning(tournaments::sequence)
        .get_result(db)
        .optional()?)
}

/// Raises the log's last number to what this write has used.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn raise_sequence(db: &mut Db, id: &str, to: i64) -> StoreResult<()> {
    diesel::update(tournaments::table.find(id))
        .set(tournaments::sequence.eq(to))
        .execute(db)?;
    Ok(())
}

/// The tournament, if it exists.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, id: &str) -> StoreResult<Option<Tournament>> {
    Ok(tournaments::table
        .find(id)
        .select(Tournament::as_select())
        .first(db)
        .optional()?)
}

/// All tournaments, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn all(db: &mut Db) -> StoreResult<Vec<Tournament>> {
    let order = (tournaments::created_at, tournaments::id);
    Ok(tournaments::table
        .order(order)
        .select(Tournament::as_select())
        .load(db)?)
}

/// Adds a tournament.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert(db: &mut Db, row: &Tournament) -> StoreResult<()> {
    diesel::insert_into(tournaments::table).values(row).execute(db)?;
    Ok(())
}

/// Saves name, zone and settings as a new version; the log's number is left alone.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn save(db: &mut Db, row: &mut Tournament) -> StoreResult<()> {
    row.version += 1;
    diesel::update(tournaments::table.find(&row.id))
        .set((
            tournaments::name.eq(&row.name),
            tournaments::time_zone.eq(&row.time_zone),
            tournaments::record.eq(&row.record),
            tournaments::version.eq(row.version),
        ))
        .execute(db)?;
    Ok(())
}
