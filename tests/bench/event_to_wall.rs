//! From an event to an open wall in the running program: some 150 rackets waiting, 20 stations, an order of
//! play of 20 courts x 12 matches, and a screen that listens to the stream and loads the wall as browsers do.
//!
//! `cargo bench --bench event_to_wall`; on PostgreSQL where `WEFTDESK_TEST_POSTGRES` names one. The baseline
//! of the same run is what cannot be less: one committed write by the API and one look at the wall.
#![expect(clippy::expect_used, reason = "a benchmark that cannot set up should stop")]
#![expect(clippy::print_stdout, reason = "the figures are its output")]
#[path = "../support/database.rs"]
mod database;
#[path = "door/http.rs"]
mod http;
#[path = "wall/program.rs"]
mod program;
#[path = "wall/scene.rs"]
mod scene;
#[path = "wall/screen.rs"]
mod screen;
#[path = "../support/workshop.rs"]
mod workshop;

use std::time::{Duration, Instant};

use serde_json::{Value, json};

use database::TestDatabase;
use http::Connection;
use program::Program;
use scene::{COURTS, Scene};
use screen::{Screen, row_of};

/// Matches of each court that end while it is measured.
const ENDINGS: usize = 3;
const DESK_EVENTS: usize = 40;
const BASELINE: usize = 40;
/// Between two events: the planner has done what the last one asked for, as on an ordinary day.
const BETWEEN: Duration = Duration::from_millis(700);

fn main() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let scene = Scene::set(&runtime, database.address(), folder.path());
    let program = Program::start(database.address(), folder.path());
    let mut desk = Connection::open(&program.address, &scene.token);
    scene.settle(&mut desk);
    println!(
        "{} rackets wait, {} stations, {} courts x {} matches, {}",
        scene.jobs.len(),
        scene::STATIONS,
        COURTS,
        scene::MATCHES,
        if std::env::var("WEFTDESK_TEST_POSTGRES").is_ok() {
            "PostgreSQL"
        } else {
            "SQLite"
        }
    );
    let base = baseline(&scene, &mut desk);
    println!("one committed write and one look at the wall: median {base:.1} ms");
    let mut screen = Screen::open(&program.address, &scene.token);
    let mut courts = court_events(&scene, &mut desk, &mut screen);
    say(
        "a match ends -> new times on the wall",
        &mut courts,
        base,
        "p95 1000 ms",
        95,
    );
    let (mut shown, mut planned) = desk_events(&scene, &mut desk, &mut screen);
    say(
        "a job is held or released -> on the wall",
        &mut shown,
        base,
        "median 50 ms",
        50,
    );
    say(
        "a job is held -> with the order planned anew",
        &mut planned,
        base,
        "median 50 ms",
        50,
    );
}

fn say(what: &str, taken_ms: &mut [f64], base_ms: f64, reach: &str, share: usize) {
    taken_ms.sort_by(f64::total_cmp);
    let at = |share: usize| taken_ms[(taken_ms.len() * share / 100).min(taken_ms.len() - 1)];
    println!(
        "{what}: {} times, median {:.1} ms, p95 {:.1} ms; {:.1} x the baseline (reach {reach})",
        taken_ms.len(),
        at(50),
        at(95),
        at(share) / base_ms
    );
}

fn baseline(scene: &Scene, desk: &mut Connection) -> f64 {
    let mut taken: Vec<f64> = (0..BASELINE)
        .map(|number| {
            let began = Instant::now();
            let facts = json!({"name": {"display": format!("Example Visitor {number}")}});
            let (status, answer) = desk.post("/v1/players", &format!("visitor-{number}"), &facts.to_string());
            assert_eq!(status, 201, "{}", String::from_utf8_lossy(&answer));
            assert_eq!(desk.get("/wall?for=room").0, 200);
            let taken = began.elapsed().as_secs_f64() * 1e3;
            std::thread::sleep(BETWEEN);
            taken
        })
        .collect();
    assert!(!scene.jobs.is_empty());
    taken.sort_by(f64::total_cmp);
    taken[taken.len() / 2]
}

/// Every court's first matches end, one after the other: each brings the later ones forward by an hour.
fn court_events(scene: &Scene, desk: &mut Connection, screen: &mut Screen) -> Vec<f64> {
    let mut taken = Vec::new();
    let mut n = 1000;
    for ending in 1..=ENDINGS {
        for court in 1..=COURTS {
            let mut tell = |desk: &mut Connection, kind: &str| {
                n += 1;
                scene.tell(desk, n, &format!("M{court}-{ending}"), kind);
            };
            if ending > 1 {
                tell(desk, "started");
                std::thread::sleep(BETWEEN);
            }
            let codes: Vec<&str> = scene
                .jobs_of_court(court)
                .iter()
                .map(|job| job.code.as_str())
                .collect();
            let (code, page, before) = screen.find(&codes).expect("its rackets stand on the wall");
            screen.forget();
            let began = Instant::now();
            tell(desk, "finished");
            screen.until(began, page, |wall, _| {
                row_of(wall, code).is_none_or(|row| row.wanted != before.wanted)
            });
            taken.push(began.elapsed().as_secs_f64() * 1e3);
            std::thread::sleep(BETWEEN);
        }
    }
    taken
}

/// The job that a station would take next is held, then released: until the wall says so, and until it shows
/// the order that was planned after it.
fn desk_events(scene: &Scene, desk: &mut Connection, screen: &mut Screen) -> (Vec<f64>, Vec<f64>) {
    let (mut shown, mut planned) = (Vec::new(), Vec::new());
    for number in 0..DESK_EVENTS / 2 {
        let (status, plan) = desk.get("/v1/schedule");
        assert_eq!(status, 200);
        let plan: Value = serde_json::from_slice(&plan).expect("JSON");
        let lanes = plan["plan"]["lanes"].as_array().expect("lanes");
        let next = &lanes[number % lanes.len()]["jobs"][0];
        let (id, code) = (
            next["job_id"].as_str().expect("a job"),
            next["tag_code"].as_str().expect("a code"),
        );
        for (action, body) in [("hold", r#"{"reason":"asked to wait"}"#), ("release", "{}")] {
            let held = action == "hold";
            screen.forget();
            let began = Instant::now();
            let (status, answer) = desk.post(
                &format!("/v1/jobs/{id}/actions/{action}"),
                &format!("{action}-{number}"),
                body,
            );
            assert_eq!(status, 200, "{}", String::from_utf8_lossy(&answer));
            let first = screen.until(began, 1, |wall, _| says_held(wall, code) == held);
            shown.push(first);
            // what is held was next at its station, so that another is next now and the log says so
            if held {
                planned.push(screen.until(began, 1, |wall, kinds| {
                    says_held(wall, code) && kinds.iter().any(|kind| kind == "schedule.changed")
                }));
            }
            std::thread::sleep(BETWEEN);
        }
    }
    assert!(!scene.jobs.is_empty());
    (shown, planned)
}

/// Whether this job stands on the page as held, alone or in a row of many.
fn says_held(wall: &str, code: &str) -> bool {
    let rows = wall.split("<tr ").skip(1);
    rows.filter(|row| row.contains(code))
        .any(|row| row.contains("asked to wait"))
}
