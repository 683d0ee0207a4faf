//! Kill in mid load, three times on the same database.
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc;

use serde_json::Value;
use weftdesk::access::{Access, Identity, key_file};
use weftdesk::craft::roles::Role;
use weftdesk::desk::found::{NewAccount, NewTournament, add_account};
use weftdesk::desk::records::TournamentSettings;
use weftdesk::desk::{Caller, Clock, Desk};
use weftdesk::storage::Store;

use crate::database::TestDatabase;
use crate::program::{Program, ask};

const ROUNDS: usize = 3;
const CLIENTS: usize = 4;
/// So many writes are acknowledged before the program is killed.
const ACKNOWLEDGED: usize = 40;

/// A tournament with one coordinator; answers their identity.
async fn found(database: &str) -> Identity {
    let desk = Desk::new(Store::open(database).expect("a database"), Clock::real());
    let new = NewTournament {
        name: "Demo Open".to_owned(),
        time_zone: "Europe/Paris".to_owned(),
        settings: TournamentSettings::default(),
    };
    let tournament = desk.found_tournament(new).await.expect("a tournament");
    let account = NewAccount {
        sign_in: "coordinator".to_owned(),
        display_name: "Example Coordinator".to_owned(),
        role: Role::Coordinator,
        password_hash: None,
        pin_hash: None,
        stringer_id: None,
    };
    let added = desk
        .write(&Caller::system(&tournament), |tx| add_account(tx, account))
        .await;
    Identity {
        sub: added.expect("an account").id,
        tid: tournament,
        role: Role::Coordinator.as_str().to_owned(),
        sid: "ses_of_the_test".to_owned(),
        did: None,
    }
}

fn token(key: &Path, identity: &Identity) -> String {
    let key = key_file::load_or_create(key).expect("a key");
    let clock = Clock::real();
    let access = Access::new(&key, "weftdesk", false, Arc::new(move || clock.wall())).expect("tokens");
    access.issue(identity).expect("a token")
}

fn register(address: &str, token: &str, key: &str) -> Option<(u16, Value)> {
    let head = format!(
        "POST /v1/players HTTP/1.1\r\nAuthorization: Bearer {token}\r\nContent-Type: application/json\r\n\
         Idempotency-Key: \"{key}\""
    );
    ask(
        address,
        &head,
        &format!("{{\"name\":{{\"display\":\"Example {key}\"}}}}"),
    )
}

fn get(address: &str, token: &str, path: &str) -> Value {
    let head = format!("GET {path} HTTP/1.1\r\nAuthorization: Bearer {token}");
    let (status, body) = ask(address, &head, "").expect("an answer");
    assert_eq!(status, 200, "{path}: {body}");
    body
}

/// Loads the program until it is killed; answers the ids that were acknowledged, by key.
fn load_and_kill(program: &mut Program, token: &str, round: usize) -> Vec<(String, String)> {
    let (told, heard) = mpsc::channel();
    let clients: Vec<_> = (0..CLIENTS)
        .map(|client| {
            let (told, address, token) = (told.clone(), program.address.clone(), token.to_owned());
            std::thread::spawn(move || {
                for number in 0.. {
                    let key = format!("{round}-{client}-{number}");
                    let Some((status, body)) = register(&address, &token, &key) else {
                        return;
                    };
                    assert_eq!(status, 201, "{body}");
                    let id = body["id"].as_str().expect("an id").to_owned();
                    told.send((key, id)).expect("somebody hears");
                }
            })
        })
        .collect();
    drop(told);
    let mut acknowledged: Vec<_> = heard.iter().take(ACKNOWLEDGED).collect();
    assert_eq!(acknowledged.len(), ACKNOWLEDGED);
    program.kill();
    acknowledged.extend(heard.iter());
    for client in clients {
        client.join().expect("every answer was a creation");
    }
    acknowledged
}

fn the_log_has_no_gap(address: &str, token: &str) -> i64 {
    let mut after = 0;
    loop {
        let page = get(address, token, &format!("/v1/events?limit=200&after={after}"));
        let items = page["items"].as_array().expect("items");
        for item in items {
            after += 1;
            assert_eq!(item["sequence"], after);
        }
        assert_eq!(page["after"], after);
        if page["newest"] == after {
            return after;
        }
        assert!(!items.is_empty(), "the log ends before its newest number");
    }
}

#[test]
fn whatever_was_acknowledged_survives_a_kill() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let identity = runtime.block_on(found(database.address()));
    drop(runtime);
    let mut all = Vec::new();
    for round in 0..ROUNDS {
        let mut program = Program::start(database.address(), &key);
        let token = token(&key, &identity);
        all.extend(load_and_kill(&mut program, &token, round));
        let restarted = Program::start(database.address(), &key);
        for (_, id) in &all {
            let player = get(&restarted.address, &token, &format!("/v1/players/{id}"));
            assert_eq!(player["id"], id.as_str());
        }
        let newest = the_log_has_no_gap(&restarted.address, &token);
        // a client that asks again under its key gets the same thing, and nothing is done twice
        let (used, id) = all.last().expect("writes were acknowledged");
        let (_, again) = register(&restarted.address, &token, used).expect("an answer");
        assert_eq!(again["id"], id.as_str());
        assert_eq!(the_log_has_no_gap(&restarted.address, &token), newest);
    }
}
