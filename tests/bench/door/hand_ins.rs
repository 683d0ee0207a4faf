//! Durable hand-ins through the API: alone, 64 clients at once, and 50 a second.
//!
//! A racket is given back after it was measured, so that no more wait than at a busy desk.
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::http::Connection;
use crate::served::{Served, furnish, token};
use crate::workshop::{Racket, Workshop};
use crate::{disk, quantile};

const PLAYERS: usize = 160;
const ALONE: usize = 500;
const CLIENTS: usize = 64;
const ROUNDS: usize = 5;
/// Rackets come over the counter this often.
const A_SECOND: f64 = 50.0;
const FOR: Duration = Duration::from_secs(10);
/// So many people hand in at a rate of fifty a second.
const COUNTERS: usize = 16;

static KEYS: AtomicUsize = AtomicUsize::new(0);

fn fresh_key() -> String {
    format!("bench-{}", KEYS.fetch_add(1, Ordering::Relaxed))
}

pub(crate) fn measure(folder: &Path) {
    let folder = folder.join("hand-ins");
    std::fs::create_dir(&folder).expect("a folder");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let (desk, workshop) = furnish(&runtime, &folder, PLAYERS);
    drop(desk);
    let token = token(&folder, &workshop);
    let served = Served::start(&folder);
    let bare = disk::bare_syncs_per_s(&folder.join("bare"));
    println!(
        "bare write + fdatasync of {} bytes {bare:6.0} /s",
        disk::PAGE_BYTES
    );
    alone(&served, &token, &workshop, bare);
    together(&served, &token, &workshop, bare);
    steadily(&served, &token, &workshop);
}

fn alone(served: &Served, token: &str, workshop: &Workshop, bare: f64) {
    let mut connection = Connection::open(&served.address, token);
    let mut waits_ms: Vec<f64> = (0..ALONE)
        .map(|number| {
            let racket = &workshop.rackets[number % workshop.rackets.len()];
            let (took, job) = hand_in(&mut connection, workshop, racket);
            give_back(&mut connection, racket, &job);
            took.as_secs_f64() * 1e3
        })
        .collect();
    let p50 = quantile(&mut waits_ms, 50);
    println!(
        "hand-ins alone: p50 {p50:.2} ms, p95 {:.2} ms, {:.0} /s; p50 is {:.2} bare syncs (aim 2)",
        quantile(&mut waits_ms, 95),
        1e3 / p50,
        p50 / 1e3 * bare
    );
}

/// What one client waited for, in ms, and what it handed in.
type OneClient = (Vec<f64>, Vec<(Racket, Value)>);

fn together(served: &Served, token: &str, workshop: &Workshop, bare: f64) {
    let share = workshop.rackets.len() / CLIENTS / ROUNDS;
    let (mut waits_ms, mut took_s) = (Vec::new(), 0.0);
    for round in 0..ROUNDS {
        let began = Instant::now();
        let done: Vec<OneClient> = std::thread::scope(|threads| {
            let running: Vec<_> = (0..CLIENTS)
                .map(|client| {
                    let first = (round * CLIENTS + client) * share;
                    let own = &workshop.rackets[first..first + share];
                    threads.spawn(move || {
                        let mut connection = Connection::open(&served.address, token);
                        own.iter()
                            .map(|racket| {
                                let (took, job) = hand_in(&mut connection, workshop, racket);
                                (took.as_secs_f64() * 1e3, (racket.clone(), job))
                            })
                            .unzip()
                    })
                })
                .collect();
            running
                .into_iter()
                .map(|one| one.join().expect("a client"))
                .collect()
        });
        took_s += began.elapsed().as_secs_f64();
        let mut connection = Connection::open(&served.address, token);
        for (waits, jobs) in done {
            waits_ms.extend(waits);
            for (racket, job) in jobs {
                give_back(&mut connection, &racket, &job);
            }
        }
    }
    let done = u32::try_from(waits_ms.len()).expect("a count");
    let per_s = f64::from(done) / took_s;
    println!(
        "hand-ins by {CLIENTS} clients: {per_s:.0} /s, {:.2} x bare; p50 {:.1} ms, p95 {:.1} ms",
        per_s / bare,
        quantile(&mut waits_ms, 50),
        quantile(&mut waits_ms, 95)
    );
}

/// Waits count from the moment the racket was due, so that a stall is not hidden by those it delays.
fn steadily(served: &Served, token: &str, workshop: &Workshop) {
    let began = Instant::now();
    let share = workshop.rackets.len() / COUNTERS;
    let mut waits_ms: Vec<f64> = std::thread::scope(|threads| {
        let running: Vec<_> = (0..COUNTERS)
            .map(|counter| {
                let own = &workshop.rackets[counter * share..(counter + 1) * share];
                threads.spawn(move || at_a_counter(served, token, workshop, own, counter, began))
            })
            .collect();
        running
            .into_iter()
            .flat_map(|one| one.join().expect("a counter"))
            .collect()
    });
    println!(
        "hand-ins at {A_SECOND:.0} /s: p50 {:.1} ms, p95 {:.1} ms (aim 150)",
        quantile(&mut waits_ms, 50),
        quantile(&mut waits_ms, 95)
    );
}

fn at_a_counter(
    served: &Served,
    token: &str,
    workshop: &Workshop,
    own: &[Racket],
    counter: usize,
    began: Instant,
) -> Vec<f64> {
    let mut connection = Connection::open(&served.address, token);
    let mut waits_ms = Vec::new();
    let number = |index: usize| u32::try_from(index).expect("a count");
    for (place, racket) in own.iter().cycle().enumerate() {
        let due = Duration::from_secs_f64(f64::from(number(place * COUNTERS + counter)) / A_SECOND);
        if due > FOR {
            break;
        }
        std::thread::sleep((began + due).saturating_duration_since(Instant::now()));
        let (_, job) = hand_in(&mut connection, workshop, racket);
        waits_ms.push((began.elapsed().saturating_sub(due)).as_secs_f64() * 1e3);
        give_back(&mut connection, racket, &job);
    }
    waits_ms
}

/// Hands a racket in; answers how long that took, and the job.
fn hand_in(connection: &mut Connection, workshop: &Workshop, racket: &Racket) -> (Duration, Value) {
    let body = json!({"racket_id": racket.id, "spec": workshop.spec(), "due_at": "2100-01-01T12:00:00Z",
        "condition": {"ok": true}})
    .to_string();
    let began = Instant::now();
    let (status, answer) = connection.post("/v1/jobs", &fresh_key(), &body);
    let took = began.elapsed();
    assert_eq!(status, 201, "{}", String::from_utf8_lossy(&answer));
    (took, serde_json::from_slice(&answer).expect("a job"))
}

fn give_back(connection: &mut Connection, racket: &Racket, job: &Value) {
    let path = format!(
        "/v1/jobs/{}/actions/give_back",
        job["id"].as_str().expect("an id")
    );
    let body = json!({"tag": job["tag_code"], "proof": {"kind": "badge", "code": racket.badge}}).to_string();
    let (status, answer) = connection.post(&path, &fresh_key(), &body);
    assert_eq!(status, 200, "{}", String::from_utf8_lossy(&answer));
}
