//! The two migration histories are twins, and `schema.rs` tells the truth about both.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
#[path = "support/database.rs"]
mod database;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use diesel::prelude::*;
use diesel::sql_types::{Bool, Text};
use diesel_migrations::{FileBasedMigrations, MigrationHarness};
use weftdesk::storage::Db;

use crate::database::TestDatabase;

/// Table and column, and whether it may be empty.
type Columns = BTreeMap<(String, String), bool>;

#[derive(QueryableByName)]
struct Column {
    #[diesel(sql_type = Text)]
    table_name: String,
    #[diesel(sql_type = Text)]
    column_name: String,
    #[diesel(sql_type = Bool)]
    nullable: bool,
}

/// What the database itself says of its tables. A key of SQLite's WITHOUT ROWID tables is never empty.
const SQLITE_COLUMNS: &str = "SELECT t.name AS table_name, c.name AS column_name, c.\"notnull\" = 0 AS nullable \
     FROM sqlite_schema t JOIN pragma_table_info(t.name) c WHERE t.type = 'table'";
const POSTGRES_COLUMNS: &str = "SELECT table_name::text, column_name::text, is_nullable = 'YES' AS nullable \
     FROM information_schema.columns WHERE table_schema = current_schema()";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn columns(db: &mut Db) -> Columns {
    let found: Vec<Column> = match db {
        Db::Sqlite(sqlite) => diesel::sql_query(SQLITE_COLUMNS).load(sqlite),
        Db::Postgres(postgres) => diesel::sql_query(POSTGRES_COLUMNS).load(postgres),
    }
    .expect("the catalogue answers");
    let own = found
        .into_iter()
        .filter(|column| column.table_name != "__diesel_schema_migrations");
    own.map(|column| ((column.table_name, column.column_name), column.nullable))
        .collect()
}

/// The columns of `schema.rs`, read as text.
fn schema_file() -> Columns {
    let text = fs::read_to_string(root().join("src/storage/schema.rs")).expect("the schema file");
    let mut columns = Columns::new();
    for table in text.split("diesel::table! {").skip(1) {
        let (head, body) = table.split_once(") {").expect("a table's head");
        let name = head.split('(').next().unwrap_or(head).trim();
        let body = body.split('}').next().unwrap_or(body);
        for column in body.split(',').filter(|column| column.contains("->")) {
            let (column, kind) = column.split_once("->").expect("a column's type");
            columns.insert(
                (name.to_owned(), column.trim().to_owned()),
                kind.contains("Nullable<"),
            );
        }
    }
    columns
}

fn fresh() -> (TestDatabase, Db) {
    let database = TestDatabase::fresh();
    let db = Db::establish(database.address()).expect("the database opens");
    (database, db)
}

fn revert_all(db: &mut Db) {
    let steps = match db {
        Db::Sqlite(sqlite) => {
            let twins = FileBasedMigrations::from_path(root().join("migrations/sqlite")).expect("the folder");
            sqlite.revert_all_migrations(twins).map(|steps| steps.len())
        }
        Db::Postgres(postgres) => {
            let twins =
                FileBasedMigrations::from_path(root().join("migrations/postgres")).expect("the folder");
            postgres.revert_all_migrations(twins).map(|steps| steps.len())
        }
    };
    assert_eq!(
        steps.expect("every step can be taken back"),
        names("sqlite").len()
    );
}

fn names(database: &str) -> BTreeSet<String> {
    fs::read_dir(root().join("migrations").join(database))
        .expect("the folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .into_string()
                .expect("a readable name")
        })
        .collect()
}

#[test]
fn both_databases_have_the_same_migrations_up_and_down() {
    assert_eq!(names("sqlite"), names("postgres"));
    for name in names("sqlite") {
        for database in ["sqlite", "postgres"] {
            for way in ["up.sql", "down.sql"] {
                let path = root().join("migrations").join(database).join(&name).join(way);
                assert!(path.is_file(), "{} is missing", path.display());
            }
        }
    }
}

#[test]
fn the_tables_can_be_made_taken_back_and_made_again() {
    let (_database, mut db) = fresh();
    assert!(columns(&mut db).is_empty(), "a fresh database is empty");
    assert_eq!(db.migrate().expect("up"), names("sqlite").len());
    let made = columns(&mut db);
    assert!(!db.needs_migration().expect("the list of steps"));
    revert_all(&mut db);
    assert_eq!(columns(&mut db), Columns::new());
    assert!(db.needs_migration().expect("the list of steps"));
    db.migrate().expect("up again");
    assert_eq!(columns(&mut db), made);
    assert_eq!(db.migrate().expect("nothing to do"), 0);
}

/// The suite runs on both databases, so this is also how their tables are held equal.
#[test]
fn the_schema_file_has_the_tables_columns_and_nullability_of_the_database() {
    let (_database, mut db) = fresh();
    db.migrate().expect("up");
    let (written, real) = (schema_file(), columns(&mut db));
    assert!(
        written.len() > 100,
        "only {} columns were read from schema.rs",
        written.len()
    );
    let differ: Vec<_> = written
        .keys()
        .chain(real.keys())
        .filter(|column| written.get(*column) != real.get(*column))
        .collect();
    assert!(
        differ.is_empty(),
        "schema.rs and the database differ in {differ:?}"
    );
}
