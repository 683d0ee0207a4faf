//! The store on a real database: SQLite, or PostgreSQL when `WEFTDESK_TEST_POSTGRES` names one.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
mod broken_group;
#[path = "../support/database.rs"]
mod database;
mod desk;
mod records;
mod writes;
