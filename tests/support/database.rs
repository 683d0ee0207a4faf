//! One test's own database: a SQLite file, or a fresh schema of the PostgreSQL
//! that `WEFTDESK_TEST_POSTGRES` names (`tests/run postgres` starts one).
//!
//! Test targets take it in with
//! `#[path = "../support/database.rs"] mod database;`.
use diesel::connection::SimpleConnection;
use diesel::{Connection, PgConnection};
use tempfile::TempDir;

/// An empty database that vanishes when this is dropped.
pub(crate) struct TestDatabase {
    address: String,
    place: Place,
}

enum Place {
    Folder(TempDir),
    Schema { server: String, name: String },
}

impl TestDatabase {
    /// A database that nobody else uses, without tables.
    pub(crate) fn fresh() -> Self {
        match std::env::var("WEFTDESK_TEST_POSTGRES") {
            Ok(server) => Self::schema(server),
            Err(_) => Self::file(),
        }
    }

    /// What `Store::open` takes.
    pub(crate) fn address(&self) -> &str {
        &self.address
    }

    fn file() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("desk.db");
        Self {
            address: path.to_str().expect("a readable path").to_owned(),
            place: Place::Folder(folder),
        }
    }

    fn schema(server: String) -> Self {
        let name = format!("test_{}", uuid::Uuid::now_v7().simple());
        execute(&server, &format!("CREATE SCHEMA {name}"))
            .expect("WEFTDESK_TEST_POSTGRES takes a new schema");
        let separator = if server.contains('?') { '&' } else { '?' };
        Self {
            address: format!("{server}{separator}options=-c%20search_path%3D{name}"),
            place: Place::Schema { server, name },
        }
    }
}

impl Drop for TestDatabase {
    fn drop(&mut self) {
        match &self.place {
            Place::Folder(folder) => {
                // TempDir removes it; a file that is already gone is no fault of the test
                drop(std::fs::remove_dir_all(folder.path()));
            }
            Place::Schema { server, name } => {
                // what stays behind disturbs no other test
                drop(execute(
                    server,
                    &format!("SET lock_timeout = '2s'; DROP SCHEMA {name} CASCADE"),
                ));
            }
        }
    }
}

fn execute(server: &str, statements: &str) -> Result<(), Box<dyn std::error::Error>> {
    PgConnection::establish(server)?.batch_execute(statements)?;
    Ok(())
}
