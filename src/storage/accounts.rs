//! Sign-ins of people and registered devices.
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::{accounts, devices};
use super::{At, Db, StoreResult};

/// A sign-in.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = accounts, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Account {
    pub id: String,
    pub tournament_id: String,
    pub sign_in: String,
    pub display_name: String,
    pub role: String,
    pub password_hash: Option<String>,
    pub pin_hash: Option<String>,
    pub stringer_id: Option<String>,
    pub active: bool,
    pub version: i64,
    pub created_at: At,
}

keeps!(accounts, Account);

/// All accounts, by sign-in.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Account>> {
    Ok(accounts::table
        .filter(accounts::tournament_id.eq(tournament))
        .order(accounts::sign_in)
        .select(Account::as_select())
        .load(db)?)
}

/// Every account with this sign-in, in whichever tournament.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_sign_in(db: &mut Db, sign_in: &str) -> StoreResult<Vec<Account>> {
    Ok(accounts::table
        .filter(accounts::sign_in.eq(sign_in))
        .order(accounts::tournament_id)
        .select(Account::as_select())
        .load(db)?)
}

/// How many accounts there are, in all tournaments.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn count(db: &mut Db) -> StoreResult<i64> {
    Ok(accounts::table.count().get_result(db)?)
}

/// Devices.
pub mod registered {
    use super::*;

    /// A registered tablet, laptop, phone or wall screen.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = devices, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Device {
        pub id: String,
        pub tournament_id: String,
        pub name: String,
        pub kind: String,
        pub station_id: Option<String>,
        pub token_hash: String,
        pub revoked_at: Option<At>,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(devices, Device);

    /// All devices, oldest first.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Device>> {
        Ok(devices::table
            .filter(devices::tournament_id.eq(tournament))
            .order((devices::created_at, devices::id))
            .select(Device::as_select())
            .load(db)?)
    }

    /// The device whose token has this hash.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn by_token_hash(db: &mut Db, token_hash: &str) -> StoreResult<Option<Device>> {
        Ok(devices::table
            .filter(devices::token_hash.eq(token_hash))
            .select(Device::as_select())
            .first(db)
            .optional()?)
    }
}
