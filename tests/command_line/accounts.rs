//! `weftdesk account`.
use std::path::Path;

use serde_json::json;

use crate::database::TestDatabase;
use crate::program::{Program, ask};
use crate::shell::{Ended, found, run, run_with};

const PASSWORD: &str = "nine courts and a roof";

fn account(database: &TestDatabase, arguments: &[&str], typed: &str) -> Ended {
    let named = ["account", "--database", database.address()];
    run_with(named.iter().chain(arguments), typed)
}

/// What the running service answers to this sign-in.
fn sign_in(database: &TestDatabase, key: &Path, name: &str, password: &str) -> u16 {
    let key = key.to_str().expect("a readable path");
    let (program, _) = Program::serve(["--database", database.address(), "--signing-key", key]);
    let head = "POST /v1/sessions HTTP/1.1\r\nContent-Type: application/json";
    let body = json!({"sign_in": name, "password": password}).to_string();
    ask(&program.address, head, &body).expect("an answer").0
}

#[test]
fn an_account_that_was_added_signs_in_and_a_new_password_ends_the_old_one() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    found(database.address());
    let added = account(
        &database,
        &["add", "counter", "--role", "desk", "--password-stdin"],
        &format!("{PASSWORD}\n"),
    );
    assert_eq!(added.status, 0, "{added:?}");
    assert!(!added.out.contains(PASSWORD), "a typed password is not repeated");
    assert_eq!(sign_in(&database, &key, "counter", PASSWORD), 201);

    let listed = account(&database, &["list"], "");
    assert_eq!(
        (listed.status, listed.out.as_str()),
        (0, "counter\tdesk\tcounter\n")
    );

    let changed = account(&database, &["password", "counter"], "");
    assert_eq!(changed.status, 0, "{changed:?}");
    let shown = changed.out.trim().rsplit_once(": ").expect("the password").1;
    assert_eq!(sign_in(&database, &key, "counter", PASSWORD), 401);
    assert_eq!(sign_in(&database, &key, "counter", shown), 201);
}

#[test]
fn what_is_wrong_with_an_account_is_named_and_nothing_is_added() {
    let database = TestDatabase::fresh();
    let nobody = account(&database, &["list"], "");
    if nobody.status == 2 {
        // an embedded database that is not there is not made by asking
        assert!(nobody.err.contains("no such database file"), "{nobody:?}");
        assert!(!Path::new(database.address()).exists());
    } else {
        assert_eq!(nobody.status, 1, "{nobody:?}");
        assert!(nobody.err.contains("no tournament yet"), "{nobody:?}");
    }
    found(database.address());
    let short = account(
        &database,
        &["add", "counter", "--role", "desk", "--password-stdin"],
        "short\n",
    );
    assert_eq!(short.status, 1, "{short:?}");
    assert!(short.err.contains("password"), "{short:?}");
    let pin = account(
        &database,
        &["add", "counter", "--role", "desk", "--pin", "12"],
        "",
    );
    assert_eq!(pin.status, 1, "{pin:?}");
    assert!(pin.err.contains("--pin"), "{pin:?}");
    let role = account(&database, &["add", "counter", "--role", "cook"], "");
    assert_eq!(role.status, 2, "{role:?}");
    assert!(role.err.contains("cook"), "{role:?}");
    let unknown = account(&database, &["password", "nobody"], "");
    assert_eq!(unknown.status, 1, "{unknown:?}");
    assert_eq!(account(&database, &["list"], "").out, "");

    assert_eq!(
        account(&database, &["add", "counter", "--role", "desk"], "").status,
        0
    );
    let twice = account(&database, &["add", "COUNTER", "--role", "desk"], "");
    assert_eq!(twice.status, 1, "{twice:?}");
    assert!(twice.err.contains("sign_in"), "{twice:?}");
    assert_eq!(account(&database, &["list"], "").out.lines().count(), 1);
}

#[test]
fn with_several_tournaments_the_one_that_is_meant_has_to_be_said() {
    let database = TestDatabase::fresh();
    let (one, other) = (found(database.address()), found(database.address()));
    let unsaid = account(&database, &["list"], "");
    assert_eq!(unsaid.status, 1, "{unsaid:?}");
    assert!(
        unsaid.err.contains(&one) && unsaid.err.contains(&other),
        "{unsaid:?}"
    );
    let add = ["add", "counter", "--role", "desk", "--tournament", &other];
    assert_eq!(account(&database, &add, "").status, 0);
    // options stand before or after what is done, as people type them
    let after = [
        "account",
        "list",
        "--tournament",
        &other,
        "--database",
        database.address(),
    ];
    assert_eq!(run(after).out.lines().count(), 1);
    let wrong = account(&database, &["list", "--tournament", "trn_none"], "");
    assert_eq!(wrong.status, 1, "{wrong:?}");
}
