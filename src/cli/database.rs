//! How commands reach the database: options, opening, one thread to wait on.
use std::path::Path;

use clap::Args;

use crate::cli::Failure;
use crate::storage::{Db, StoreResult};

/// How long a command waits for another writer, ms.
const BUSY_TIMEOUT_MS: u32 = 5_000;

/// Which database a command works on.
#[derive(Debug, Clone, Args)]
pub struct DatabaseOption {
    /// A SQLite file, or a `postgres://` address.
    #[arg(
        long,
        global = true,
        value_name = "DATABASE",
        env = "WEFTDESK_DATABASE",
        default_value = "weftdesk.db"
    )]
    pub database: String,
}

impl DatabaseOption {
    /// Whether it is a PostgreSQL server.
    #[must_use]
    pub fn is_server(&self) -> bool {
        crate::storage::is_server(&self.database)
    }

    /// Opens a database that exists, leaving its tables as they are.
    ///
    /// # Errors
    /// [`Failure::CouldNotRun`] where it is not there or can't be reached.
    pub fn open_existing(&self) -> Result<Db, Failure> {
        if !self.is_server() && !Path::new(&self.database).is_file() {
            let said = format!("{}: there is no such database file", self.database);
            return Err(Failure::CouldNotRun(said));
        }
        self.tell(Db::connect(&self.database, BUSY_TIMEOUT_MS))
    }

    /// Turns storage trouble into the command's.
    ///
    /// # Errors
    /// [`Failure::CouldNotRun`] with what went wrong.
    pub fn tell<T>(&self, outcome: StoreResult<T>) -> Result<T, Failure> {
        outcome.map_err(|error| {
            let cause = std::error::Error::source(&error).map(|cause| format!(": {cause}"));
            // an address may hold a password
            let named = if self.is_server() {
                "the server"
            } else {
                &self.database
            };
            Failure::CouldNotRun(format!("database {named}: {error}{}", cause.unwrap_or_default()))
        })
    }
}

/// Waits for `work` on this thread.
///
/// # Errors
/// [`Failure::CouldNotRun`] where the machine gives no threads.
pub fn block_on<T>(work: impl Future<Output = T>) -> Result<T, Failure> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|error| Failure::CouldNotRun(error.to_string()))?;
    Ok(runtime.block_on(work))
}
