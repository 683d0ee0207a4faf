//! The plan of each tournament: one row, replaced by each newer plan.
use diesel::prelude::*;

use super::schema::schedules;
use super::{At, Db, StoreResult};

/// A kept plan.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = schedules)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct KeptPlan {
    pub tournament_id: String,
    pub made_from_sequence: i64,
    pub made_at: At,
    pub record: String,
}

/// The tournament's plan, if one was made.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, tournament: &str) -> StoreResult<Option<KeptPlan>> {
    Ok(schedules::table
        .find(tournament)
        .select(KeptPlan::as_select())
        .first(db)
        .optional()?)
}

/// Keeps a plan in the place of the one before. The caller holds the tournament's line of writes.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn keep(db: &mut Db, plan: &KeptPlan) -> StoreResult<()> {
    let replaced = diesel::update(schedules::table.find(&plan.tournament_id))
        .set(plan)
        .execute(db)?;
    if replaced == 0 {
        diesel::insert_into(schedules::table).values(plan).execute(db)?;
    }
    Ok(())
}
