//! Everything that knows SQL.
//!
//! Functions take the open transaction first, return rows and decide nothing.
//! One query text serves both databases; `on!` expands the few that differ.
mod at;
mod connection;
mod lines;
mod record;
mod rows;
mod schema;
mod store;
mod writer;

pub mod accounts;
pub mod codes;
pub mod court_times;
pub mod day_shifts;
pub mod events;
pub mod idempotency;
pub mod jobs;
pub mod maintenance;
pub mod notices;
pub mod photos;
pub mod players;
pub mod probe;
pub mod rackets;
pub mod schedules;
pub mod sessions;
pub mod stock;
pub mod tournaments;
pub mod work;
pub mod workshop;

pub use at::At;
pub use connection::{Db, is_server};
pub use record::{from_record, to_record};
pub use store::{Store, StoreError, StoreResult, in_savepoint, only_looked_at};

/// Expands a query once for each database, with the name bound to the real connection.
macro_rules! on {
    ($db:expr, $connection:ident => $query:expr) => {
        match $db {
            $crate::storage::Db::Postgres($connection) => $query,
            $crate::storage::Db::Sqlite($connection) => $query,
        }
    };
}
pub(crate) use on;
