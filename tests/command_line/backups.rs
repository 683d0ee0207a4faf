//! `weftdesk backup` and `weftdesk restore`: always of the embedded database, whichever the suite runs on.
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use diesel::connection::SimpleConnection;
use diesel::prelude::*;
use diesel::sql_types::{BigInt, Text};
use weftdesk::craft::roles::Role;
use weftdesk::desk::keep_frame::add_frame;
use weftdesk::desk::keep_photo::{Mark, keep_photo};
use weftdesk::desk::records::{PlayerRecord, RacketRecord};
use weftdesk::desk::register_player::{PlayerFacts, register_player};
use weftdesk::desk::register_racket::{RacketFacts, register_racket};
use weftdesk::desk::{Caller, Clock, Desk, racket_photos};
use weftdesk::photos::Picture;
use weftdesk::storage::Store;

use crate::program::Program;
use crate::shell::{Ended, found, run};

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    fn file(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a readable path")
}

fn backup(database: &Path, to: &Path) -> Ended {
    run(["backup", "--database", text(database), text(to)])
}

fn restore(database: &Path, from: &Path, more: &[&str]) -> Ended {
    let named = ["restore", "--database", text(database), text(from)];
    run(named.iter().chain(more))
}

/// Registers players one after the other while `go_on` says so, at least `least`; answers their ids.
async fn register(desk: &Desk, tournament: &str, least: usize, go_on: &AtomicBool) -> Vec<String> {
    let coordinator = Caller::account(tournament, "acc_example", Role::Coordinator);
    let mut registered = Vec::new();
    while registered.len() < least || go_on.load(Ordering::Relaxed) {
        let facts = PlayerFacts {
            display_name: format!("Example {}", registered.len()),
            badge: None,
            record: PlayerRecord::default(),
        };
        let player = desk.write(&coordinator, move |tx| register_player(tx, facts));
        registered.push(player.await.expect("registered").id);
    }
    registered
}

/// Photographs a racket of this player; answers the photo's id and its bytes.
async fn photograph(desk: &Desk, tournament: &str, player_id: String) -> (String, Vec<u8>) {
    let mut nobody = Caller::account(tournament, "acc_example", Role::Coordinator);
    nobody.account_id = None;
    let picture = Picture::of(include_bytes!("../data/photos/dots.png")).expect("a picture");
    let whole = picture.whole.clone();
    let data: serde_json::Value = serde_json::from_str(include_str!("../data/fixtures.json")).expect("JSON");
    let mut frame = data["frames"][0].clone();
    frame.as_object_mut().expect("a frame").remove("key");
    let frame = serde_json::from_value(frame).expect("a frame");
    let kept = desk.write(&nobody, move |tx| {
        let facts = RacketFacts {
            player_id,
            frame_id: add_frame(tx, &frame, None)?.id,
            label_code: None,
            record: RacketRecord::default(),
        };
        let racket = register_racket(tx, facts)?;
        keep_photo(tx, &racket.id, Mark::default(), &picture)
    });
    (kept.await.expect("kept").id, whole)
}

fn desk_of(database: &Path) -> Desk {
    Desk::new(
        Store::open(text(database)).expect("the database opens"),
        Clock::real(),
    )
}

#[derive(QueryableByName)]
struct Named {
    #[diesel(sql_type = Text)]
    name: String,
}

#[derive(QueryableByName)]
struct Counted {
    #[diesel(sql_type = BigInt)]
    rows: i64,
}

/// How many rows of each table stand in one of the two files and not in the other, and how many
/// rows there are in all.
fn difference(one: &Path, other: &Path) -> (i64, i64) {
    let mut db = SqliteConnection::establish(text(one)).expect("the database opens");
    db.batch_execute(&format!("ATTACH '{}' AS other", text(other)))
        .expect("the other one opens");
    let tables = "SELECT name FROM main.sqlite_master WHERE type = 'table' UNION \
                  SELECT name FROM other.sqlite_master WHERE type = 'table'";
    let tables: Vec<Named> = diesel::sql_query(tables).load(&mut db).expect("their tables");
    assert!(tables.len() > 20, "all tables of a desk");
    let (mut apart, mut rows) = (0, 0);
    for table in tables {
        let count = |db: &mut SqliteConnection, query: String| -> i64 {
            let found: Counted = diesel::sql_query(query).get_result(db).expect("a count");
            found.rows
        };
        let name = &table.name;
        for (left, right) in [("main", "other"), ("other", "main")] {
            let query = format!(
                "SELECT count(*) AS \"rows\" FROM (SELECT * FROM {left}.{name} EXCEPT SELECT * FROM {right}.{name})"
            );
            apart += count(&mut db, query);
        }
        rows += count(&mut db, format!("SELECT count(*) AS \"rows\" FROM main.{name}"));
    }
    (apart, rows)
}

fn player_ids(database: &Path) -> Vec<String> {
    let mut db = SqliteConnection::establish(text(database)).expect("the database opens");
    let rows: Vec<Named> = diesel::sql_query("SELECT id AS name FROM players")
        .load(&mut db)
        .expect("the players");
    rows.into_iter().map(|row| row.name).collect()
}

#[test]
fn a_backup_under_load_is_whole_and_holds_everything_acknowledged_before_it() {
    let folder = Folder::new();
    let (database, copy) = (folder.file("desk.db"), folder.file("copy.db"));
    let tournament = found(text(&database));
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let desk = desk_of(&database);
    let (before, ended) = runtime.block_on(async {
        let idle = AtomicBool::new(false);
        let before = register(&desk, &tournament, 50, &idle).await;
        let go_on = std::sync::Arc::new(AtomicBool::new(true));
        let load = tokio::spawn({
            let (desk, tournament, go_on) = (desk.clone(), tournament.clone(), go_on.clone());
            async move { register(&desk, &tournament, 1, &go_on).await }
        });
        let (from, to) = (database.clone(), copy.clone());
        let running = std::thread::spawn(move || backup(&from, &to));
        while !running.is_finished() {
            tokio::task::yield_now().await;
        }
        let ended = running.join().expect("it ends");
        go_on.store(false, Ordering::Relaxed);
        load.await.expect("the load ends");
        (before, ended)
    });
    assert_eq!(ended.status, 0, "{ended:?}");
    let kept = player_ids(&copy);
    assert!(
        before.iter().all(|id| kept.contains(id)),
        "{} of {}",
        kept.len(),
        before.len()
    );
    // the log of the copy has no gap and ends where its tournament says
    assert_eq!(run(["doctor", "--database", text(&copy)]).status, 0);
}

#[test]
fn a_backup_of_a_running_service_restores_to_an_equal_desk() {
    let folder = Folder::new();
    let (database, copy, elsewhere) = (
        folder.file("desk.db"),
        folder.file("copy.db"),
        folder.file("new.db"),
    );
    let tournament = found(text(&database));
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let (photo, whole) = runtime.block_on(async {
        let desk = desk_of(&database);
        let mut players = register(&desk, &tournament, 20, &AtomicBool::new(false)).await;
        photograph(&desk, &tournament, players.remove(0)).await
    });
    let key = folder.file("signing.key");
    let served = ["--database", text(&database), "--signing-key", text(&key)];
    let (program, mut printed) = Program::serve(served);
    // once the link is printed it is stored as well
    printed.nth(1).expect("a link").expect("in UTF-8");
    assert_eq!(backup(&database, &copy).status, 0);
    let again = backup(&database, &copy);
    assert_eq!(again.status, 1, "a backup never takes another's place: {again:?}");
    let restored = restore(&elsewhere, &copy, &["--yes"]);
    assert_eq!(restored.status, 0, "{restored:?}");
    // the running service goes on planning and reserving codes, so the whole is held against the copy
    let (apart, rows) = difference(&copy, &elsewhere);
    assert_eq!(apart, 0);
    assert!(rows > 40, "{rows}");
    assert_eq!(player_ids(&elsewhere), player_ids(&database));
    drop(program);
    assert_eq!(run(["doctor", "--database", text(&elsewhere)]).status, 0);
    let desk = desk_of(&elsewhere);
    let restored = runtime.block_on(desk.read(move |db| racket_photos::bytes(db, &photo, false)));
    assert_eq!(restored.expect("the photo is there"), whole);
}

#[test]
fn a_restore_keeps_what_was_there_and_needs_the_word_and_a_stopped_service() {
    let folder = Folder::new();
    let (database, copy) = (folder.file("desk.db"), folder.file("copy.db"));
    let tournament = found(text(&database));
    assert_eq!(backup(&database, &copy).status, 0);
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let newer = runtime.block_on(register(
        &desk_of(&database),
        &tournament,
        3,
        &AtomicBool::new(false),
    ));

    let unsaid = restore(&database, &copy, &[]);
    assert_eq!(unsaid.status, 1, "{unsaid:?}");
    assert!(unsaid.err.contains("--yes"), "{unsaid:?}");
    let key = folder.file("signing.key");
    let (program, _printed) = Program::serve(["--database", text(&database), "--signing-key", text(&key)]);
    let running = restore(&database, &copy, &["--yes"]);
    assert_eq!(running.status, 1, "{running:?}");
    assert!(running.err.contains("stop the service"), "{running:?}");
    assert_eq!(
        player_ids(&database).len(),
        newer.len(),
        "a refused restore changes nothing"
    );
    drop(program);

    let done = restore(&database, &copy, &["--yes"]);
    assert_eq!(done.status, 0, "{done:?}");
    assert!(player_ids(&database).is_empty());
    let kept = folder.file("desk.db.before-restore");
    assert_eq!(player_ids(&kept).len(), newer.len(), "what was there is kept");
    let twice = restore(&database, &copy, &["--yes"]);
    assert_eq!(twice.status, 1, "what was kept is not written over: {twice:?}");
    assert_eq!(player_ids(&kept).len(), newer.len());
}

#[test]
fn what_is_no_backup_is_refused_and_the_desk_stays() {
    let folder = Folder::new();
    let (database, other) = (folder.file("desk.db"), folder.file("other.db"));
    let tournament = found(text(&database));
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let there = runtime.block_on(register(
        &desk_of(&database),
        &tournament,
        3,
        &AtomicBool::new(false),
    ));
    let missing = restore(&database, &other, &["--yes"]);
    assert_eq!(missing.status, 2, "{missing:?}");
    std::fs::write(&other, "this is a letter, and no database at all\n".repeat(200)).expect("a file");
    let letter = restore(&database, &other, &["--yes"]);
    assert_ne!(letter.status, 0, "{letter:?}");
    std::fs::remove_file(&other).expect("the letter goes");
    let mut foreign = SqliteConnection::establish(text(&other)).expect("a database");
    foreign
        .batch_execute("CREATE TABLE recipes (name TEXT)")
        .expect("a table");
    let foreign = restore(&database, &other, &["--yes"]);
    assert_eq!(foreign.status, 1, "{foreign:?}");
    assert_eq!(player_ids(&database).len(), there.len());
    assert!(!folder.file("desk.db.before-restore").exists());
}

#[test]
fn a_server_has_tools_of_its_own_and_they_are_named() {
    let folder = Folder::new();
    let copy = folder.file("copy.db");
    let server = "postgres://desk@db.example/desk";
    let asked = run(["backup", "--database", server, text(&copy)]);
    assert_eq!(asked.status, 1);
    assert!(asked.err.contains("pg_dump") && !copy.exists(), "{asked:?}");
    let asked = run(["restore", "--database", server, text(&copy), "--yes"]);
    assert_eq!(asked.status, 1);
    assert!(asked.err.contains("pg_restore"), "{asked:?}");
}
