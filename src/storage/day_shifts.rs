//! The shifts of each day, as they were published last.
use diesel::prelude::*;

use super::schema::shifts;
use super::{At, Db, StoreResult};

/// The shifts of a day.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = shifts)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct DayShifts {
    pub tournament_id: String,
    pub day: String,
    pub record: String,
    pub version: i64,
    pub published_at: At,
}

/// The shifts of a day, if they were published.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, tournament: &str, day: &str) -> StoreResult<Option<DayShifts>> {
    Ok(shifts::table
        .find((tournament, day))
        .select(DayShifts::as_select())
        .first(db)
        .optional()?)
}

/// Keeps the shifts in the place of those before. The caller holds the tournament's line of writes.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn keep(db: &mut Db, row: &DayShifts) -> StoreResult<()> {
    let place = shifts::table.find((&row.tournament_id, &row.day));
    let replaced = diesel::update(place)
        .set((
            shifts::record.eq(&row.record),
            shifts::version.eq(row.version),
            shifts::published_at.eq(row.published_at),
        ))
        .execute(db)?;
    if replaced == 0 {
        diesel::insert_into(shifts::table).values(row).execute(db)?;
    }
    Ok(())
}
