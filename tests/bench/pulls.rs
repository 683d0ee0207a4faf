//! Pulls on PostgreSQL by eight stations, against pgbench with the same statements on the same server.
//!
//! `WEFTDESK_TEST_POSTGRES` names the server; `deploy/checks benchmarks` starts a throw-away one. One
//! round is a pull and the return of its job to the queue: two transactions, one line of writes.
#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a benchmark that cannot set up should stop"
)]
#![expect(clippy::print_stdout, reason = "the figures are its output")]
#[path = "../support/database.rs"]
mod database;
#[path = "../support/workshop.rs"]
#[expect(dead_code, reason = "the tests use the rest")]
mod workshop;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use weftdesk::desk::hand_in::hand_in;
use weftdesk::desk::pull_job::pull_job;
use weftdesk::desk::steer_job::unassign_job;
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::Store;

use crate::database::TestDatabase;
use crate::workshop::{STATIONS, Workshop};

const FOR: Duration = Duration::from_secs(5);
/// Forty players bring four rackets each: a busy desk's queue.
const PLAYERS: usize = 40;

fn main() {
    assert!(
        std::env::var_os("WEFTDESK_TEST_POSTGRES").is_some(),
        "name a PostgreSQL server in WEFTDESK_TEST_POSTGRES, or run deploy/checks benchmarks"
    );
    let database = TestDatabase::fresh();
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let desk = Desk::new(Store::open(database.address()).expect("a store"), Clock::real());
    let workshop = runtime.block_on(Workshop::found(&desk, PLAYERS));
    for racket in &workshop.rackets {
        let one = workshop.hand_in(&desk, &racket.id);
        let taken = desk.write(&workshop.coordinator, move |tx| hand_in(tx, one));
        runtime.block_on(taken).expect("it is taken in");
    }
    println!(
        "{} rackets in, badge of the last: {}",
        workshop.rackets.len(),
        last_badge(&workshop)
    );
    let baseline = pgbench(database.address(), &workshop.tournament);
    println!("pgbench, {STATIONS} clients: {baseline:7.0} rounds/s");
    let ours = runtime.block_on(rounds_per_s(&desk, &workshop));
    println!(
        "desk, {STATIONS} stations:   {ours:7.0} rounds/s, {:.0} % of pgbench (aim 50 %)",
        ours / baseline * 100.0
    );
}

fn last_badge(workshop: &Workshop) -> &str {
    workshop.rackets.last().map_or("none", |racket| &racket.badge)
}

async fn rounds_per_s(desk: &Desk, workshop: &Workshop) -> f64 {
    let began = Instant::now();
    let running: Vec<_> = workshop
        .stations
        .iter()
        .map(|station| {
            tokio::spawn(pull_and_return(
                desk.clone(),
                workshop.clone(),
                station.clone(),
                began,
            ))
        })
        .collect();
    let mut rounds = 0;
    for station in running {
        rounds += station.await.expect("the station ends");
    }
    f64::from(rounds) / began.elapsed().as_secs_f64()
}

async fn pull_and_return(desk: Desk, workshop: Workshop, station: String, began: Instant) -> u32 {
    let mut rounds = 0;
    while began.elapsed() < FOR {
        let asking = station.clone();
        let pulled = desk.write(&workshop.coordinator, move |tx| pull_job(tx, &asking));
        let job = pulled.await.expect("a job waits").job.id;
        let returned = desk.write(&workshop.coordinator, move |tx| {
            unassign_job(tx, &job, "another first")
        });
        returned.await.expect("it goes back");
        rounds += 1;
    }
    rounds
}

fn pgbench(address: &str, tournament: &str) -> f64 {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/pulls.sql");
    let output = Command::new(program())
        .args(["-n", "-M", "prepared", "-j", "2", "-c", &STATIONS.to_string()])
        .args([
            "-T",
            &FOR.as_secs().to_string(),
            "-D",
            &format!("tournament={tournament}"),
            "-f",
        ])
        .arg(script)
        .arg(address)
        .output()
        .expect("pgbench starts");
    let said = String::from_utf8_lossy(&output.stdout);
    let per_s = said
        .lines()
        .find_map(|line| line.strip_prefix("tps = ")?.split(' ').next()?.parse().ok());
    per_s.unwrap_or_else(|| {
        let why = String::from_utf8_lossy(&output.stderr);
        panic!("pgbench: {said}{why}")
    })
}

/// pgbench on the PATH, or where Debian keeps it.
fn program() -> PathBuf {
    let named = std::env::var_os("PATH").unwrap_or_default();
    let mut folders: Vec<PathBuf> = std::env::split_paths(&named).collect();
    if let Ok(versions) = std::fs::read_dir("/usr/lib/postgresql") {
        folders.extend(versions.flatten().map(|version| version.path().join("bin")));
    }
    let found = folders
        .into_iter()
        .map(|folder| folder.join("pgbench"))
        .find(|path| path.is_file());
    found.expect("pgbench; Debian's package postgresql has it")
}
