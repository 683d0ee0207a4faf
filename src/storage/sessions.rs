//! Signed-in stretches, and the one-time links that set up a first account.
use diesel::prelude::*;

use super::schema::{sessions, set_up_links};
use super::{At, Db, StoreResult};

/// One signed-in stretch of an account, or of a device by itself.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = sessions, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Session {
    pub id: String,
    pub tournament_id: String,
    pub account_id: Option<String>,
    pub device_id: Option<String>,
    pub refresh_hash: String,
    pub started_at: At,
    pub expires_at: At,
    pub ended_at: Option<At>,
}

/// Adds a session.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert(db: &mut Db, row: &Session) -> StoreResult<()> {
    diesel::insert_into(sessions::table).values(row).execute(db)?;
    Ok(())
}

/// The session, ended or not.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, id: &str) -> StoreResult<Option<Session>> {
    Ok(sessions::table
        .find(id)
        .select(Session::as_select())
        .first(db)
        .optional()?)
}

/// The session whose refresh token has this hash.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_refresh_hash(db: &mut Db, hash: &str) -> StoreResult<Option<Session>> {
    Ok(sessions::table
        .filter(sessions::refresh_hash.eq(hash))
        .select(Session::as_select())
        .first(db)
        .optional()?)
}

/// Saves a rotated refresh token or an end.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn save(db: &mut Db, row: &Session) -> StoreResult<()> {
    diesel::update(sessions::table.find(&row.id))
        .set(row)
        .execute(db)?;
    Ok(())
}

/// Ids of sessions on a device that have not been ended.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn open_on_device(db: &mut Db, device: &str) -> StoreResult<Vec<String>> {
    Ok(sessions::table
        .filter(sessions::device_id.eq(device))
        .filter(sessions::ended_at.is_null())
        .order(sessions::id)
        .select(sessions::id)
        .load(db)?)
}

/// Ids of an account's sessions that have not been ended.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn open_of_account(db: &mut Db, account: &str) -> StoreResult<Vec<String>> {
    Ok(sessions::table
        .filter(sessions::account_id.eq(account))
        .filter(sessions::ended_at.is_null())
        .order(sessions::id)
        .select(sessions::id)
        .load(db)?)
}

/// Ids of sessions that ended at or after `moment`.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn ended_since(db: &mut Db, moment: At) -> StoreResult<Vec<String>> {
    Ok(sessions::table
        .filter(sessions::ended_at.ge(moment))
        .select(sessions::id)
        .load(db)?)
}

/// A one-time link that makes the first admin account.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = set_up_links, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct SetUpLink {
    pub token_hash: String,
    pub tournament_id: Option<String>,
    pub expires_at: At,
    pub used_at: Option<At>,
}

/// Adds a link.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_link(db: &mut Db, row: &SetUpLink) -> StoreResult<()> {
    diesel::insert_into(set_up_links::table).values(row).execute(db)?;
    Ok(())
}

/// The link with this hash, used or not.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn link(db: &mut Db, token_hash: &str) -> StoreResult<Option<SetUpLink>> {
    Ok(set_up_links::table
        .find(token_hash)
        .select(SetUpLink::as_select())
        .first(db)
        .optional()?)
}

/// Marks a link as used.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn use_link(db: &mut Db, token_hash: &str, at: At) -> StoreResult<bool> {
    let fresh = set_up_links::table
        .find(token_hash)
        .filter(set_up_links::used_at.is_null());
    let used = diesel::update(fresh)
        .set(set_up_links::used_at.eq(at))
        .execute(db)?;
    Ok(used == 1)
}
