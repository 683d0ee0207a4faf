//! Can the database be written to right now? Asked on a connection of its own.
use diesel::connection::SimpleConnection;
use diesel::prelude::*;

use super::schema::events;
use super::store::blocking;
use super::{At, Db, Store, StoreError, StoreResult, tournaments};

/// How long the probe waits for another writer, ms.
const PROBE_BUSY_TIMEOUT_MS: u32 = 200;

/// What the probe found.
#[derive(Debug)]
pub struct Probe {
    /// Whether a write could begin; else why not.
    pub writable: StoreResult<()>,
    /// Whether the tables are those that this program expects.
    pub migrated: StoreResult<bool>,
    /// The time of the newest entry in any log.
    pub newest_at: StoreResult<Option<At>>,
}

impl Store {
    /// Probes the database.
    ///
    /// # Errors
    /// [`StoreError`] where it can't be reached at all.
    pub async fn probe(&self) -> StoreResult<Probe> {
        let address = self.address().to_owned();
        blocking(move || {
            let mut db = Db::connect(&address, PROBE_BUSY_TIMEOUT_MS)?;
            Ok(probe(&mut db))
        })
        .await
    }
}

/// Probes on an open connection.
pub fn probe(db: &mut Db) -> Probe {
    Probe {
        writable: begin_and_roll_back(db),
        migrated: db.needs_migration().map(|pending| !pending),
        newest_at: newest_at(db),
    }
}

fn begin_and_roll_back(db: &mut Db) -> StoreResult<()> {
    let statements = match db {
        Db::Sqlite(_) => "BEGIN IMMEDIATE; ROLLBACK;",
        // touches no row, but is refused by a standby and without the right to write
        Db::Postgres(_) => {
            "SET statement_timeout = '700ms'; BEGIN; UPDATE tournaments SET sequence = sequence WHERE false; \
             ROLLBACK;"
        }
    };
    let begun = db.batch_execute(statements);
    if begun.is_err() {
        // a refused statement leaves PostgreSQL's transaction open, and all that is asked after it would fail too;
        // where none was begun there is nothing to end
        drop(db.batch_execute("ROLLBACK"));
    }
    begun.map_err(StoreError::Query)
}

fn newest_at(db: &mut Db) -> StoreResult<Option<At>> {
    let mut newest = None;
    for tournament in tournaments::all(db)? {
        let last: Option<At> = events::table
            .filter(events::tournament_id.eq(&tournament.id))
            .order(events::sequence.desc())
            .select(events::at)
            .first(db)
            .optional()?;
        newest = newest.max(last);
    }
    Ok(newest)
}
