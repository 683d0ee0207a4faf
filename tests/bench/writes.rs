//! Durable writes: how many are answered per second, alone and with 64 clients,
//! against a loop of bare write + fdatasync on the same disk.
//!
//! `cargo bench --bench writes`. One write is the least that any use case does:
//! take the tournament's line, append one event, raise the log's number.
#![expect(clippy::expect_used, reason = "a benchmark that cannot set up should stop")]
#![expect(clippy::print_stdout, reason = "the figures are its output")]
mod disk;

use std::time::{Duration, Instant};

use chrono::{DateTime, Utc};
use weftdesk::storage::events::{self, Event};
use weftdesk::storage::tournaments::{self, Tournament};
use weftdesk::storage::{At, Db, Store, StoreResult};

const FOR: Duration = Duration::from_secs(3);
const TOURNAMENT: &str = "bench";

fn main() {
    // beside the build, which is on a disk; the system's temporary folder may be memory
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let bare = disk::bare_syncs_per_s(&folder.path().join("bare"));
    println!(
        "bare write + fdatasync of {} bytes: {bare:8.0} /s",
        disk::PAGE_BYTES
    );
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let path = folder.path().join("desk.db");
    runtime.block_on(async {
        let store = open(path.to_str().expect("a readable path")).await;
        for clients in [1, 64] {
            let figures = measure(&store, clients).await;
            println!(
                "store, {clients:2} clients:                       {:8.0} /s   {:.2} x bare   p50 {:.2} ms   p95 {:.2} ms",
                figures.per_s,
                figures.per_s / bare,
                figures.p50_ms,
                figures.p95_ms,
            );
        }
    });
}

struct Figures {
    per_s: f64,
    p50_ms: f64,
    p95_ms: f64,
}

async fn measure(store: &Store, clients: usize) -> Figures {
    let began = Instant::now();
    let running: Vec<_> = (0..clients)
        .map(|_| tokio::spawn(client(store.clone(), began)))
        .collect();
    let mut waits_ms = Vec::new();
    for client in running {
        waits_ms.extend(client.await.expect("the client ends"));
    }
    let took_s = began.elapsed().as_secs_f64();
    waits_ms.sort_by(f64::total_cmp);
    let done = u32::try_from(waits_ms.len()).expect("a count of seconds' work");
    Figures {
        per_s: f64::from(done) / took_s,
        p50_ms: waits_ms[waits_ms.len() / 2],
        p95_ms: waits_ms[waits_ms.len() * 95 / 100],
    }
}

async fn client(store: Store, began: Instant) -> Vec<f64> {
    let mut waits_ms = Vec::new();
    while began.elapsed() < FOR {
        let asked = Instant::now();
        store.write(TOURNAMENT, append).await.expect("the write is kept");
        waits_ms.push(asked.elapsed().as_secs_f64() * 1000.0);
    }
    waits_ms
}

fn append(db: &mut Db) -> StoreResult<()> {
    let sequence = tournaments::enter(db, TOURNAMENT)?.expect("the tournament is there") + 1;
    let event = Event {
        tournament_id: TOURNAMENT.to_owned(),
        sequence,
        id: uuid::Uuid::now_v7().to_string(),
        kind: "racket.registered".to_owned(),
        subject: "racket".to_owned(),
        at: At::from(DateTime::<Utc>::UNIX_EPOCH),
        device_at: None,
        account_id: None,
        device_id: None,
        data: "{}".to_owned(),
    };
    events::append(db, &event)?;
    tournaments::raise_sequence(db, TOURNAMENT, sequence)
}

async fn open(address: &str) -> Store {
    let store = Store::open(address).expect("the store opens");
    let row = Tournament {
        id: TOURNAMENT.to_owned(),
        name: "Bench".to_owned(),
        time_zone: "UTC".to_owned(),
        record: "{}".to_owned(),
        sequence: 0,
        version: 1,
        created_at: At::from(DateTime::<Utc>::UNIX_EPOCH),
    };
    store
        .write(TOURNAMENT, move |db| tournaments::insert(db, &row))
        .await
        .expect("the tournament is written");
    store
}
