//! One connection to either database, and how each is set up.
use diesel::connection::{Connection, SimpleConnection};
use diesel::r2d2::{ConnectionManager, CustomizeConnection, Pool};
use diesel::{PgConnection, SqliteConnection};
use diesel_migrations::{EmbeddedMigrations, MigrationHarness, embed_migrations};

use super::{StoreError, StoreResult};

const SQLITE: EmbeddedMigrations = embed_migrations!("migrations/sqlite");
const POSTGRES: EmbeddedMigrations = embed_migrations!("migrations/postgres");

/// A connection to one of the two databases.
#[derive(diesel::MultiConnection)]
pub enum Db {
    /// A `postgres://` address.
    Postgres(PgConnection),
    /// A file path. Last, because SQLite takes any text as a path.
    Sqlite(SqliteConnection),
}

pub(super) type DbPool = Pool<ConnectionManager<Db>>;

impl Db {
    /// Opens a connection of its own, set up, without touching the tables.
    ///
    /// # Errors
    /// [`StoreError::Unreachable`] where the database can't be reached.
    pub fn connect(address: &str, busy_timeout_ms: u32) -> StoreResult<Self> {
        // not left to `establish`, which tries one after the other and forgets why the first failed
        let mut db = if is_server(address) {
            Self::Postgres(PgConnection::establish(address)?)
        } else {
            Self::Sqlite(SqliteConnection::establish(address)?)
        };
        db.set_up(busy_timeout_ms)?;
        Ok(db)
    }

    /// Brings the tables up to what this program expects; answers how many steps it took.
    ///
    /// # Errors
    /// [`StoreError::Migration`] with the step's own error.
    pub fn migrate(&mut self) -> StoreResult<usize> {
        let steps = match self {
            Self::Postgres(db) => db.run_pending_migrations(POSTGRES).map(|done| done.len()),
            Self::Sqlite(db) => db.run_pending_migrations(SQLITE).map(|done| done.len()),
        };
        steps.map_err(StoreError::Migration)
    }

    /// Whether steps wait that this program would take.
    ///
    /// # Errors
    /// [`StoreError::Migration`] where the list can't be read.
    pub fn needs_migration(&mut self) -> StoreResult<bool> {
        match self {
            Self::Postgres(db) => db.has_pending_migration(POSTGRES),
            Self::Sqlite(db) => db.has_pending_migration(SQLITE),
        }
        .map_err(StoreError::Migration)
    }

    /// Settings that every connection needs before its first statement.
    pub(super) fn set_up(&mut self, busy_timeout_ms: u32) -> StoreResult<()> {
        let settings = match self {
            Self::Postgres(_) => "SET TIME ZONE 'UTC'; SET statement_timeout = '10s';".to_owned(),
            // the timeout first: switching to WAL may have to wait for another connection
            Self::Sqlite(_) => format!(
                "PRAGMA busy_timeout={busy_timeout_ms}; PRAGMA journal_mode=WAL; \
                 PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"
            ),
        };
        self.batch_execute(&settings).map_err(StoreError::Query)
    }
}

/// Whether this is the address of a PostgreSQL server; anything else is the path of a file.
#[must_use]
pub fn is_server(address: &str) -> bool {
    address.starts_with("postgres://") || address.starts_with("postgresql://")
}

#[derive(Debug)]
pub(super) struct SetUp {
    pub(super) busy_timeout_ms: u32,
}

impl CustomizeConnection<Db, diesel::r2d2::Error> for SetUp {
    fn on_acquire(&self, db: &mut Db) -> Result<(), diesel::r2d2::Error> {
        db.set_up(self.busy_timeout_ms).map_err(|error| match error {
            StoreError::Query(error) => diesel::r2d2::Error::QueryError(error),
            other => {
                diesel::r2d2::Error::QueryError(diesel::result::Error::QueryBuilderError(Box::new(other)))
            }
        })
    }
}
