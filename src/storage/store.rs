//! Reads on a pool; writes through one thread (SQLite) or one line per tournament (PostgreSQL).
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use diesel::connection::{AnsiTransactionManager, TransactionManager};
use diesel::r2d2::{ConnectionManager, Pool};

use super::connection::{DbPool, SetUp};
use super::lines::Lines;
use super::writer::Writer;
use super::{Db, on};

/// What went wrong while keeping or fetching. Never shown to a user.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No connection could be had.
    #[error("no database connection")]
    Pool(#[from] diesel::r2d2::PoolError),
    /// There is no such server, or it lets nobody in; no such folder, or no right to it.
    #[error("it cannot be reached")]
    Unreachable(#[from] diesel::ConnectionError),
    /// A statement failed.
    #[error("a query failed")]
    Query(#[from] diesel::result::Error),
    /// The tables could not be brought up to date.
    #[error("a migration failed: {0}")]
    Migration(Box<dyn std::error::Error + Send + Sync>),
    /// A JSON record does not fit its type.
    #[error("a stored record does not fit")]
    Record(#[from] serde_json::Error),
    /// The thread that works on the database is gone.
    #[error("the database worker stopped")]
    WorkerStopped,
    /// The work panicked; its changes were rolled back.
    #[error("the work panicked")]
    Panicked,
    /// The group of writes could not be committed.
    #[error("the commit failed")]
    NotCommitted,
    /// The row changed or vanished between reading and saving.
    #[error("{0} was not there to be saved")]
    Vanished(String),
}

impl StoreError {
    /// Whether trying again later may do better.
    #[must_use]
    pub fn is_unavailable(&self) -> bool {
        match self {
            Self::Pool(_) | Self::Unreachable(_) | Self::WorkerStopped | Self::NotCommitted => true,
            Self::Query(_) | Self::Migration(_) | Self::Record(_) | Self::Panicked | Self::Vanished(_) => {
                false
            }
        }
    }
}

/// A result of storage.
pub type StoreResult<T> = Result<T, StoreError>;

/// How many connections serve reads (and, on PostgreSQL, writes).
const POOL_SIZE: u32 = 8;
const BUSY_TIMEOUT_MS: u32 = 5_000;

/// The database. Cheap to clone.
#[derive(Clone)]
pub struct Store {
    pool: DbPool,
    writer: Option<Writer>,
    lines: Lines,
    address: Arc<str>,
}

impl Store {
    /// Opens a SQLite file path or a `postgres://` address and brings its tables up to date.
    ///
    /// # Errors
    /// [`StoreError`] where it can't be reached or migrated.
    pub fn open(address: &str) -> StoreResult<Self> {
        // the pool tries for half a minute and then knows no cause; a wrong address is told at once
        let mut first = Db::connect(address, BUSY_TIMEOUT_MS)?;
        first.migrate()?;
        let is_sqlite = matches!(first, Db::Sqlite(_));
        drop(first);
        let pool = Pool::builder()
            .max_size(POOL_SIZE)
            .min_idle(Some(1))
            .connection_customizer(Box::new(SetUp {
                busy_timeout_ms: BUSY_TIMEOUT_MS,
            }))
            .build(ConnectionManager::new(address))?;
        let writer = if is_sqlite {
            Some(Writer::start(address)?)
        } else {
            None
        };
        Ok(Self {
            pool,
            writer,
            lines: Lines::default(),
            address: address.into(),
        })
    }

    /// The address this store was opened with.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Whether the embedded database is in use.
    #[must_use]
    pub fn is_embedded(&self) -> bool {
        self.writer.is_some()
    }

    /// Runs `work` on a connection of the pool, on a thread that may block.
    ///
    /// # Errors
    /// The work's own error, or a [`StoreError`] turned into it.
    pub async fn read<T, E>(
        &self,
        work: impl FnOnce(&mut Db) -> Result<T, E> + Send + 'static,
    ) -> Result<T, E>
    where
        T: Send + 'static,
        E: From<StoreError> + Send + 'static,
    {
        let pool = self.pool.clone();
        blocking(move || work(&mut *pool.get().map_err(StoreError::from)?)).await
    }

    /// Runs `work` in one write transaction of `tournament`: when this answers
    /// `Ok`, all of it is on disk; on `Err`, nothing of it.
    ///
    /// # Errors
    /// The work's own error, or a [`StoreError`] turned into it.
    pub async fn write<T, E>(
        &self,
        tournament: &str,
        work: impl FnOnce(&mut Db) -> Result<T, E> + Send + 'static,
    ) -> Result<T, E>
    where
        T: Send + 'static,
        E: From<StoreError> + Send + 'static,
    {
        if let Some(writer) = &self.writer {
            return writer.write(work).await;
        }
        let _turn = self.lines.turn(tournament).await;
        let pool = self.pool.clone();
        blocking(move || in_transaction(&mut *pool.get().map_err(StoreError::from)?, work)).await
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "this is the one place that hands work to blocking threads"
)]
pub(super) async fn blocking<T, E>(work: impl FnOnce() -> Result<T, E> + Send + 'static) -> Result<T, E>
where
    T: Send + 'static,
    E: From<StoreError> + Send + 'static,
{
    match tokio::task::spawn_blocking(work).await {
        Ok(result) => result,
        Err(error) if error.is_panic() => Err(StoreError::Panicked.into()),
        Err(_) => Err(StoreError::WorkerStopped.into()),
    }
}

/// Runs `work` inside the open transaction so that its refusal takes back only what it did itself.
///
/// # Errors
/// The work's own error, or a [`StoreError`] turned into it.
pub fn in_savepoint<T, E: From<StoreError>>(
    db: &mut Db,
    work: impl FnOnce(&mut Db) -> Result<T, E>,
) -> Result<T, E> {
    // inside a transaction diesel begins and ends savepoints
    in_transaction(db, work)
}

/// Runs `work` inside the open transaction and takes back all it did.
///
/// # Errors
/// The work's own error, or a [`StoreError`] turned into it.
pub fn only_looked_at<T, E: From<StoreError>>(
    db: &mut Db,
    work: impl FnOnce(&mut Db) -> Result<T, E>,
) -> Result<T, E> {
    let mut seen = None;
    let undone: Result<(), StoreError> = in_savepoint(db, |db| {
        seen = Some(work(db));
        Err(StoreError::NotCommitted)
    });
    match (seen, undone) {
        (Some(result), _) => result,
        (None, Err(trouble)) => Err(trouble.into()),
        (None, Ok(())) => Err(StoreError::NotCommitted.into()),
    }
}

/// One PostgreSQL write transaction. READ COMMITTED is enough: the tournament's
/// row is locked by the first statement.
fn in_transaction<T, E: From<StoreError>>(
    db: &mut Db,
    work: impl FnOnce(&mut Db) -> Result<T, E>,
) -> Result<T, E> {
    on!(db, c => AnsiTransactionManager::begin_transaction(c)).map_err(StoreError::from)?;
    let result = catch_unwind(AssertUnwindSafe(|| work(db)));
    match result.unwrap_or_else(|_| Err(StoreError::Panicked.into())) {
        Ok(value) => {
            on!(db, c => AnsiTransactionManager::commit_transaction(c)).map_err(StoreError::from)?;
            Ok(value)
        }
        Err(error) => {
            if let Err(trouble) = on!(db, c => AnsiTransactionManager::rollback_transaction(c)) {
                tracing::warn!(error = %trouble, "a rollback failed; the connection is dropped");
            }
            Err(error)
        }
    }
}
