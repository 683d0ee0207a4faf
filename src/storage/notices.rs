//! PostgreSQL's NOTIFY and LISTEN: "this tournament's log has reached this number".
use diesel::prelude::*;

use super::{Db, StoreError, StoreResult};

const CHANNEL: &str = "weftdesk_log";

/// Tells every listening instance. The embedded database has nobody to tell.
///
/// # Errors
/// [`StoreError`] where the statement fails.
pub fn send(db: &mut Db, tournament: &str, sequence: i64) -> StoreResult<()> {
    if let Db::Postgres(db) = db {
        diesel::sql_query("SELECT pg_notify($1, $2)")
            .bind::<diesel::sql_types::Text, _>(CHANNEL)
            .bind::<diesel::sql_types::Text, _>(format!("{tournament} {sequence}"))
            .execute(db)?;
    }
    Ok(())
}

/// A connection that listens.
pub struct Notices(PgConnection);

impl Notices {
    /// Connects and listens.
    ///
    /// # Errors
    /// [`StoreError`] where the database can't be reached.
    pub fn listen(address: &str) -> StoreResult<Self> {
        let mut db = PgConnection::establish(address)
            .map_err(|error| StoreError::Query(diesel::result::Error::QueryBuilderError(Box::new(error))))?;
        diesel::sql_query(format!("LISTEN {CHANNEL}")).execute(&mut db)?;
        Ok(Self(db))
    }

    /// The tournaments and numbers that arrived since the last time.
    ///
    /// # Errors
    /// [`StoreError`] where the connection is lost.
    pub fn poll(&mut self) -> StoreResult<Vec<(String, i64)>> {
        let mut grown = Vec::new();
        for notice in self.0.notifications_iter() {
            let notice = notice?;
            if let Some((tournament, sequence)) = notice.payload.split_once(' ')
                && let Ok(sequence) = sequence.parse()
            {
                grown.push((tournament.to_owned(), sequence));
            }
        }
        Ok(grown)
    }
}
