//! The first start of `weftdesk serve`: a link that works once, and no password that anybody knows.
use serde_json::json;

use crate::database::TestDatabase;
use crate::program::{Printed, Program, ask};
use crate::shell::run;

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    fn path(&self, name: &str) -> String {
        let path = self.0.path().join(name);
        path.to_str().expect("a readable path").to_owned()
    }
}

fn serve(database: &TestDatabase, folder: &Folder, more: &[&str]) -> (Program, Printed) {
    let key = folder.path("signing.key");
    let named = ["--database", database.address(), "--signing-key", &key];
    Program::serve(named.iter().chain(more))
}

/// The path of the link that it prints next.
fn link(printed: &mut Printed) -> String {
    printed.next().expect("a line").expect("in UTF-8");
    let line = printed.next().expect("a line").expect("in UTF-8");
    let path = line.find("/set-up/").map(|at| line[at..].to_owned());
    path.expect("a link")
}

fn sign_in(program: &Program, name: &str, password: &str) -> (u16, serde_json::Value) {
    let head = "POST /v1/sessions HTTP/1.1\r\nContent-Type: application/json";
    let body = json!({"sign_in": name, "password": password}).to_string();
    ask(&program.address, head, &body).expect("an answer")
}

fn open(program: &Program, path: &str) -> u16 {
    ask(&program.address, &format!("GET {path} HTTP/1.1"), "")
        .expect("an answer")
        .0
}

#[test]
fn the_first_start_prints_a_link_that_founds_the_desk_once_and_no_password_is_there_before() {
    let (database, folder) = (TestDatabase::fresh(), Folder::new());
    let (program, mut printed) = serve(&database, &folder, &[]);
    let link = link(&mut printed);
    for (name, password) in [("admin", "admin"), ("admin", "weftdesk"), ("admin", ""), ("", "")] {
        let (status, _) = sign_in(&program, name, password);
        assert!((400..500).contains(&status), "{name} {password}: {status}");
    }
    assert_eq!(open(&program, "/set-up/guessed"), 404);
    assert_eq!(open(&program, &link), 200);

    let form = "tournament_name=Demo+Open&zone=Europe%2FParis&name=Example+Admin&login=boss\
                &password=nine+courts+and+a+roof&password_again=nine+courts+and+a+roof";
    let head = format!(
        "POST {link} HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded\r\nSec-Fetch-Site: same-origin"
    );
    let refused = form.replace("Europe%2FParis", "Nowhere");
    assert_eq!(ask(&program.address, &head, &refused).expect("an answer").0, 422);
    assert_eq!(ask(&program.address, &head, form).expect("an answer").0, 303);
    assert_eq!(sign_in(&program, "boss", "nine courts and a roof").0, 201);
    assert_eq!(open(&program, &link), 404, "a link works once");
    assert_eq!(ask(&program.address, &head, form).expect("an answer").0, 404);

    drop(program);
    let (program, mut printed) = serve(&database, &folder, &[]);
    assert_eq!(sign_in(&program, "boss", "nine courts and a roof").0, 201);
    drop(program);
    assert!(printed.next().is_none(), "a desk with accounts prints no link");
}

#[test]
fn the_signing_key_is_made_for_the_service_alone() {
    use std::os::unix::fs::PermissionsExt;
    let (database, folder) = (TestDatabase::fresh(), Folder::new());
    drop(serve(&database, &folder, &[]));
    let key = std::fs::metadata(folder.path("signing.key")).expect("the key");
    assert_eq!(key.permissions().mode() & 0o077, 0);
}

#[test]
fn the_desk_clock_starts_where_it_is_told() {
    let (database, folder) = (TestDatabase::fresh(), Folder::new());
    let (program, mut printed) = serve(&database, &folder, &["--clock", "2031-05-02T08:00:00+02:00@20x"]);
    let link = link(&mut printed);
    let form = "tournament_name=Demo+Open&zone=Europe%2FParis&name=Example+Admin&login=boss\
                &password=nine+courts+and+a+roof&password_again=nine+courts+and+a+roof";
    let head = format!(
        "POST {link} HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded\r\nSec-Fetch-Site: same-origin"
    );
    assert_eq!(ask(&program.address, &head, form).expect("an answer").0, 303);
    let (_, session) = sign_in(&program, "boss", "nine courts and a roof");
    let token = session["access_token"]
        .as_str()
        .expect("a token that the wall clock finds young");
    let head = format!("GET /v1/events HTTP/1.1\r\nAuthorization: Bearer {token}");
    let (_, events) = ask(&program.address, &head, "").expect("an answer");
    let first = events["items"][0].to_string();
    assert!(first.contains("2031-05-02T06:"), "{first}");
}

#[test]
fn what_keeps_the_service_from_starting_is_named() {
    let (database, folder) = (TestDatabase::fresh(), Folder::new());
    let key = folder.path("signing.key");
    let start = |more: &[&str]| {
        let named = ["serve", "--signing-key", &key];
        run(named.iter().chain(more))
    };
    let free = "127.0.0.1:0";
    let clock = start(&[
        "--database",
        database.address(),
        "--listen",
        free,
        "--clock",
        "noon",
    ]);
    assert_eq!(clock.status, 2);
    assert!(clock.err.contains("noon"), "{clock:?}");
    let nowhere = folder.path("no/such/folder/desk.db");
    let file = start(&["--database", &nowhere, "--listen", free]);
    assert_eq!(file.status, 2);
    assert!(
        file.err.contains(&nowhere) && file.err.contains("open"),
        "{file:?}"
    );
    let socket = format!(
        "postgres://desk:secret@{}/desk",
        folder.path("").replace('/', "%2F")
    );
    let server = start(&["--database", &socket, "--listen", free]);
    assert_eq!(server.status, 2);
    assert!(
        server.err.contains("reached") && !server.err.contains("secret"),
        "{server:?}"
    );
    let (program, _printed) = serve(&database, &folder, &[]);
    let taken = start(&["--database", database.address(), "--listen", &program.address]);
    assert_eq!(taken.status, 2);
    assert!(taken.err.contains(&program.address), "{taken:?}");
}
