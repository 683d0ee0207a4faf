//! A racket breaks on court: the desk calls in a few touches, the runner picks up and delivers.
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{PHONE, TABLET};
use crate::page_rules;
use crate::tournament::{PASSWORD, Tournament};

#[tokio::test(flavor = "multi_thread")]
async fn d18_a_court_calls_and_a_runner_delivers() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let runner = json!({"sign_in": "runner", "display_name": "Example runner", "role": "runner", "password": PASSWORD});
    let runner_id = tournament.admin.create("/v1/accounts", runner).await;
    let desk = tournament.screen("desk", TABLET).await;
    let runs = tournament.screen("runner", PHONE).await;
    runs.arrived_at("/court-call").await;
    runs.reads("#runs", "No runs.").await;

    // a racket that is not here: taken in the same again, before all others
    desk.open("/court-call?q=sample").await;
    desk.click(&format!("input[name=racket_id][value={}]", day.returning_racket))
        .await;
    desk.click("input[name=court][value='Court 2']").await;
    desk.click(&format!("input[name=runner_id][value={runner_id}]"))
        .await;
    desk.picture("court-call-tablet").await;
    desk.tap("Before all others").await;
    desk.reads("#runs", "Court 2").await;
    runs.reads("#runs", "Court 2").await;
    let called = job_of(&tournament, &day.returning_racket).await;
    assert_eq!(called["flags"]["rush"], "court", "{called}");

    // a racket on the shelf: only a runner is missing
    desk.open(&format!("/court-call?player={}&court=Court%201", day.player))
        .await;
    desk.click(&format!("input[name=racket_id][value={}]", tournament.id("P1/1")))
        .await;
    desk.click(&format!("input[name=runner_id][value={runner_id}]"))
        .await;
    desk.tap("Before all others").await;
    desk.reads("#runs", "Court 1").await;
    runs.tap("Picked up").await;
    runs.tap("Delivered: chair umpire").await;
    runs.reads_no_more("#runs", "Court 1").await;
    runs.picture("court-call-runs-phone").await;
    let (_, job) = tournament
        .admin
        .call("GET", &format!("/v1/jobs/{}", day.ready), Value::Null)
        .await;
    assert_eq!(job["state"], "out", "{job}");

    desk.open(&format!("/court-call?player={}&court=Court%201", day.player))
        .await;
    let broken = page_rules::broken(&desk, "court-call").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    for screen in [desk, runs, tournament.admin] {
        screen.close().await;
    }
}

/// The newest job of a racket.
async fn job_of(tournament: &Tournament, racket: &str) -> Value {
    let path = format!("/v1/jobs?racket_id={racket}");
    let (status, page) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(status, 200, "{page}");
    page["items"]
        .as_array()
        .and_then(|all| all.last())
        .cloned()
        .expect("a job")
}
