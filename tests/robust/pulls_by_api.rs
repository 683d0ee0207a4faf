//! Eight stations pull at once through the door of the running program; on a database that serves
//! several processes, through two of them.
use std::collections::HashMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use weftdesk::desk::hand_in::hand_in;
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::Store;

use crate::client::{Client, serve, token};
use crate::database::TestDatabase;
use crate::replay::Replay;
use crate::workshop::Workshop;

const PULLS: usize = 600;
const PLAYERS: usize = 5;

/// Pulls and puts back until everybody together has pulled often enough.
fn work(client: &Client, station: &str, holders: &Mutex<HashMap<String, String>>, pulled: &AtomicUsize) {
    for number in 0.. {
        if pulled.load(Ordering::Relaxed) >= PULLS {
            return;
        }
        let key = format!("{station}-{number}");
        let (status, body) = client.pull(station, &key).expect("an answer");
        assert_eq!(status, 200, "{body}");
        let job = body["id"].as_str().expect("an id").to_owned();
        let before = holders
            .lock()
            .expect("sound")
            .insert(job.clone(), station.to_owned());
        assert_eq!(before, None, "{station} got {job}, which another has");
        pulled.fetch_add(1, Ordering::Relaxed);
        // the answer got lost on the way, as it seems to the tablet: the same job again
        let (_, again) = client.pull(station, &key).expect("an answer");
        assert_eq!(again["id"], body["id"]);
        let held = holders.lock().expect("sound").remove(&job);
        assert_eq!(held.as_deref(), Some(station));
        let (status, body) = client.unassign(&job, &format!("{key}-back")).expect("an answer");
        assert_eq!(status, 200, "{body}");
    }
}

#[test]
fn stations_that_pull_at_once_through_the_api_never_get_the_same_job() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let desk = Desk::new(
        Store::open(database.address()).expect("a database"),
        Clock::real(),
    );
    let workshop = runtime.block_on(Workshop::found(&desk, PLAYERS));
    for racket in &workshop.rackets {
        let one = workshop.hand_in(&desk, &racket.id);
        let taken = runtime.block_on(desk.write(&workshop.coordinator, move |tx| hand_in(tx, one)));
        taken.expect("it is taken in");
    }
    let processes = if desk.store().is_embedded() { 1 } else { 2 };
    let programs: Vec<_> = (0..processes).map(|_| serve(&database, &key)).collect();
    let (holders, pulled) = (Mutex::default(), AtomicUsize::new(0));
    let clients: Vec<Client> = programs
        .iter()
        .map(|program| Client {
            address: program.address.clone(),
            token: token(&key, &workshop.identity()),
        })
        .collect();
    std::thread::scope(|threads| {
        for (number, station) in workshop.stations.iter().enumerate() {
            let client = &clients[number % clients.len()];
            let (holders, pulled) = (&holders, &pulled);
            threads.spawn(move || work(client, station, holders, pulled));
        }
    });
    let replay = runtime.block_on(Replay::of(desk.store(), &workshop.tournament));
    assert_eq!(replay.assigned, pulled.load(Ordering::Relaxed));
    assert_eq!(replay.received, workshop.rackets.len());
}
