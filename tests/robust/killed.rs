//! Kill in mid load, again and again on the same database: what was acknowledged is there, and
//! the tables are what the log says.
use std::path::Path;
use std::sync::mpsc::{self, Sender};

use serde_json::{Value, json};
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::Store;

use crate::client::{Client, serve, token};
use crate::database::TestDatabase;
use crate::program::Program;
use crate::replay::Replay;
use crate::workshop::Workshop;

/// So many writes are acknowledged before the program is killed, round by round.
const ACKNOWLEDGED: [usize; 5] = [25, 61, 90, 40, 77];
const PLAYERS: usize = 60;
/// So many clients register players, and so many stations pull, while one client hands rackets in.
const REGISTERING: usize = 2;
const PULLING: usize = 3;

/// A write that the program said was done.
#[derive(Debug, Clone)]
enum Done {
    Registered { player: String },
    HandedIn { job: String },
    Pulled { job: String, station: String },
    PutBack { job: String },
}

/// A write, the key it was sent under, and where to.
#[derive(Debug, Clone)]
struct Acknowledged {
    done: Done,
    key: String,
}

fn text(body: &Value, member: &str) -> String {
    body[member].as_str().expect("a text").to_owned()
}

/// Registers players until the program is gone.
fn register(client: &Client, prefix: &str, told: &Sender<Acknowledged>) {
    for number in 0.. {
        let key = format!("{prefix}-{number}");
        let body = json!({"name": {"display": format!("Example {key}")}});
        let Some((status, body)) = client.post("/v1/players", &key, &body) else {
            return;
        };
        assert_eq!(status, 201, "{body}");
        let player = text(&body, "id");
        told.send(Acknowledged {
            done: Done::Registered { player },
            key,
        })
        .expect("somebody hears");
    }
}

/// Hands these rackets in until the program is gone.
fn hand_in(client: &Client, workshop: &Workshop, rackets: &[String], told: &Sender<Acknowledged>) {
    for racket in rackets {
        let key = format!("in-{racket}");
        let body = json!({"racket_id": racket, "spec": workshop.spec(), "due_at": "2100-01-01T12:00:00Z",
            "condition": {"ok": true}});
        let Some((status, body)) = client.post("/v1/jobs", &key, &body) else {
            return;
        };
        assert_eq!(status, 201, "{body}");
        let job = text(&body, "id");
        told.send(Acknowledged {
            done: Done::HandedIn { job },
            key,
        })
        .expect("somebody hears");
    }
}

/// Pulls and puts back until the program is gone.
fn pull(client: &Client, station: &str, prefix: &str, told: &Sender<Acknowledged>) {
    for number in 0.. {
        let key = format!("{prefix}-pull-{number}");
        let Some((status, body)) = client.pull(station, &key) else {
            return;
        };
        if status == 409 {
            assert_eq!(body["code"], "nothing_waiting", "{body}");
            continue;
        }
        assert_eq!(status, 200, "{body}");
        let job = text(&body, "id");
        let done = Done::Pulled {
            job: job.clone(),
            station: station.to_owned(),
        };
        told.send(Acknowledged { done, key }).expect("somebody hears");
        let key = format!("{prefix}-back-{number}");
        let Some((status, body)) = client.unassign(&job, &key) else {
            return;
        };
        assert_eq!(status, 200, "{body}");
        told.send(Acknowledged {
            done: Done::PutBack { job },
            key,
        })
        .expect("somebody hears");
    }
}

/// Loads the program until it is killed; answers what was acknowledged.
fn load_and_kill(
    program: &mut Program,
    client: &Client,
    workshop: &Workshop,
    round: usize,
) -> Vec<Acknowledged> {
    let (told, heard) = mpsc::channel();
    let mut acknowledged = Vec::new();
    std::thread::scope(|threads| {
        for number in 0..REGISTERING {
            let told = told.clone();
            threads.spawn(move || register(client, &format!("{round}-{number}"), &told));
        }
        for station in &workshop.stations[..PULLING] {
            let told = told.clone();
            threads.spawn(move || pull(client, station, &format!("{round}-{station}"), &told));
        }
        // each round has rackets of its own
        let share = workshop.rackets.len() / ACKNOWLEDGED.len();
        let own = workshop.rackets.iter().skip(round * share).take(share);
        let own: Vec<String> = own.map(|racket| racket.id.clone()).collect();
        threads.spawn(move || hand_in(client, workshop, &own, &told));
        acknowledged.extend(heard.iter().take(ACKNOWLEDGED[round]));
        program.kill();
        acknowledged.extend(heard.iter());
    });
    assert!(acknowledged.len() >= ACKNOWLEDGED[round]);
    acknowledged
}

/// Every acknowledged write stands in the log, and the log is what the tables say.
fn all_is_there(store: &Store, workshop: &Workshop, all: &[Acknowledged]) -> Replay {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let replay = runtime.block_on(Replay::of(store, &workshop.tournament));
    for one in all {
        let found = match &one.done {
            Done::Registered { player } => replay.has("player.registered", player, None),
            Done::HandedIn { job } => replay.has("job.received", job, None),
            Done::Pulled { job, station } => replay.has("job.assigned", job, Some(station.as_str())),
            Done::PutBack { job } => replay.has("job.unassigned", job, None),
        };
        assert!(found, "acknowledged, and not there: {one:?}");
    }
    replay
}

#[test]
fn whatever_was_acknowledged_survives_a_kill() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key: &Path = &folder.path().join("signing.key");
    let workshop = {
        let runtime = tokio::runtime::Runtime::new().expect("a runtime");
        let desk = Desk::new(
            Store::open(database.address()).expect("a database"),
            Clock::real(),
        );
        runtime.block_on(Workshop::found(&desk, PLAYERS))
    };
    let mut all = Vec::new();
    for round in 0..ACKNOWLEDGED.len() {
        let mut program = serve(&database, key);
        let mut client = Client {
            address: program.address.clone(),
            token: token(key, &workshop.identity()),
        };
        all.extend(load_and_kill(&mut program, &client, &workshop, round));
        let restarted = serve(&database, key);
        client.address = restarted.address.clone();
        let store = Store::open(database.address()).expect("the database opens");
        let before = all_is_there(&store, &workshop, &all);
        // a client that asks again under its key gets the same thing, and nothing is done twice
        let registered = all.iter().rev().find_map(|one| match &one.done {
            Done::Registered { player } => Some((one.key.clone(), player.clone())),
            _ => None,
        });
        let (used, player) = registered.expect("players were registered");
        let body = json!({"name": {"display": format!("Example {used}")}});
        let (status, again) = client.post("/v1/players", &used, &body).expect("an answer");
        assert_eq!((status, &again["id"]), (201, &json!(player)));
        assert_eq!(all_is_there(&store, &workshop, &all).by_people, before.by_people);
    }
}
