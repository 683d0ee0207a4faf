//! Answers kept under an idempotency key, stored in the transaction of their effect.
use diesel::prelude::*;

use super::schema::idempotency_keys;
use super::{At, Db, StoreResult};

/// A kept answer.
#[derive(Debug, Clone, Queryable, Selectable, Insertable)]
#[diesel(table_name = idempotency_keys)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct KeptAnswer {
    pub tournament_id: String,
    pub caller: String,
    pub route: String,
    pub key: String,
    pub body_hash: String,
    pub status: i32,
    pub headers: String,
    pub body: String,
    pub stored_at: At,
}

/// The answer kept under this caller's key for this route.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(
    db: &mut Db,
    tournament: &str,
    caller: &str,
    route: &str,
    key: &str,
) -> StoreResult<Option<KeptAnswer>> {
    Ok(idempotency_keys::table
        .find((tournament, caller, route, key))
        .select(KeptAnswer::as_select())
        .first(db)
        .optional()?)
}

/// Keeps an answer.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn keep(db: &mut Db, answer: &KeptAnswer) -> StoreResult<()> {
    diesel::insert_into(idempotency_keys::table)
        .values(answer)
        .execute(db)?;
    Ok(())
}

/// Drops answers stored before `moment`; says how many.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn forget_before(db: &mut Db, moment: At) -> StoreResult<usize> {
    let old = idempotency_keys::table.filter(idempotency_keys::stored_at.lt(moment));
    Ok(diesel::delete(old).execute(db)?)
}
