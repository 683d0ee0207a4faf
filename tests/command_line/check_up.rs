//! `weftdesk migrate` and `weftdesk doctor`.
use std::path::Path;

use diesel::connection::SimpleConnection;
use weftdesk::storage::Db;

use crate::database::TestDatabase;
use crate::shell::{Ended, found, run};

fn migrate(database: &TestDatabase) -> Ended {
    run(["migrate", "--database", database.address()])
}

fn check(database: &TestDatabase) -> Ended {
    run(["migrate", "--check", "--database", database.address()])
}

fn doctor(address: &str) -> Ended {
    run(["doctor", "--database", address])
}

fn connect(database: &TestDatabase) -> Db {
    Db::connect(database.address(), 1_000).expect("the database opens")
}

#[test]
fn an_empty_database_is_brought_up_once_and_then_needs_nothing() {
    let database = TestDatabase::fresh();
    drop(connect(&database));
    let waits = check(&database);
    assert_eq!(waits.status, 1, "{waits:?}");
    assert!(waits.err.contains("weftdesk migrate"), "{waits:?}");
    assert_eq!(check(&database).status, 1, "asking changes nothing");
    let taken = migrate(&database);
    assert_eq!(taken.status, 0, "{taken:?}");
    assert!(taken.out.contains("taken"), "{taken:?}");
    let again = migrate(&database);
    assert_eq!((again.status, check(&database).status), (0, 0));
    assert!(again.out.starts_with("No steps"), "{again:?}");
}

#[test]
fn a_sound_database_passes_and_one_behind_this_program_is_told_what_to_run() {
    let database = TestDatabase::fresh();
    drop(connect(&database));
    let behind = doctor(database.address());
    assert_eq!(behind.status, 1, "{behind:?}");
    assert!(behind.err.contains("weftdesk migrate"), "{behind:?}");
    let tournament = found(database.address());
    let sound = doctor(database.address());
    assert_eq!(sound.status, 0, "{sound:?}");
    assert!(
        sound.out.contains(&tournament) && sound.err.is_empty(),
        "{sound:?}"
    );
}

#[test]
fn a_gap_in_a_log_is_found() {
    let database = TestDatabase::fresh();
    let tournament = found(database.address());
    connect(&database)
        .batch_execute("DELETE FROM events")
        .expect("the log is emptied");
    let gap = doctor(database.address());
    assert_eq!(gap.status, 1, "{gap:?}");
    assert!(
        gap.err.contains(&tournament) && gap.err.contains("gaps"),
        "{gap:?}"
    );
}

#[test]
fn what_is_no_database_is_refused_and_nothing_is_made() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("desk.db");
    let name = path.to_str().expect("a readable path");
    let missing = doctor(name);
    assert_eq!(missing.status, 2, "{missing:?}");
    assert!(
        missing.err.contains(name) && !Path::new(name).exists(),
        "{missing:?}"
    );
    std::fs::write(&path, "this is a letter, and no database at all\n".repeat(200)).expect("a file");
    let letter = doctor(name);
    assert_ne!(letter.status, 0, "{letter:?}");
    assert!(letter.err.contains("not a database"), "{letter:?}");
}
