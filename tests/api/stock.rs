//! String in stock: asked for at the counter, taken at the bench.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixtures::{self, Fixtures};
use crate::harness::{Harness, Reply};
use crate::jobs::{act, path};

/// A hand-in of the first racket of P1: frame F1, whose cuts are recorded as 6500 and 5800 mm.
fn hand_in(entered: &Fixtures, mains: &str, crosses: &str) -> Value {
    let string = |key: &str, value: &str| json!({"string": {"string_id": entered.strings[key]}, "tension": {"value": value, "unit": "kg"}});
    json!({
        "racket_id": entered.rackets["P1"][0],
        "spec": {"pieces": "two", "mains": string(mains, "24"), "crosses": string(crosses, "23")},
        "due_at": "2026-05-02T12:00:00Z",
        "condition": {"ok": true},
    })
}

async fn post_job(harness: &Harness, body: Value) -> Value {
    harness.post(Role::Desk, "/v1/jobs", body).await.expect(201)
}

async fn receive(
    harness: &Harness,
    string_id: &str,
    kind: &str,
    length_mm: u32,
    label: Option<&str>,
) -> String {
    let piece = json!({"string_id": string_id, "kind": kind, "length_mm": length_mm, "label_code": label});
    harness.post(Role::Desk, "/v1/reels", piece).await.created_id()
}

async fn reel(harness: &Harness, id: &str) -> Value {
    let address = format!("/v1/reels/{id}");
    harness.get(Role::Desk, &address).await.expect(200)
}

async fn snags_of(harness: &Harness, job: &Value) -> Vec<Value> {
    let open = harness.get(Role::Desk, "/v1/snags").await.expect(200);
    let all = open.as_array().expect("a list").clone();
    all.into_iter()
        .filter(|snag| snag["job_id"] == job["id"] && snag["kind"] == "no_stock")
        .collect()
}

async fn decide(harness: &Harness, snag: &Value, choice: &str) -> Reply {
    let address = format!("/v1/snags/{}/decisions", snag["id"].as_str().expect("an id"));
    harness
        .post(Role::Desk, &address, json!({"choice": choice}))
        .await
}

async fn job_now(harness: &Harness, job: &Value) -> Value {
    harness.get(Role::Desk, &path(job, "")).await.expect(200)
}

#[actix_web::test]
async fn d04_a_job_without_string_waits_held_until_somebody_decides() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SB")).await;
    assert_eq!(job["state"], "waiting");
    assert!(!job["flags"]["held"].is_null(), "{job}");
    let snags = snags_of(&harness, &job).await;
    assert_eq!(snags.len(), 1);
    assert_eq!(
        snags[0]["choices"],
        json!(["other_string", "wait", "players_own"])
    );
    let what = snags[0]["what"].as_str().expect("words");
    assert!(what.contains("String C"), "{what}");
    let stuck = decide(&harness, &snags[0], "other_string").await;
    assert_eq!(stuck.refusal(), (422, "no_stock"), "the spec was not changed");
    receive(&harness, &entered.strings["SC"], "set", 12_000, None).await;
    assert_eq!(
        snags_of(&harness, &job).await.len(),
        1,
        "a delivery decides nothing"
    );
    assert!(!job_now(&harness, &job).await["flags"]["held"].is_null());
    decide(&harness, &snags[0], "wait").await.expect(200);
    assert!(snags_of(&harness, &job).await.is_empty());
    let free = job_now(&harness, &job).await;
    assert_eq!(
        free["flags"]["held"],
        json!(null),
        "the string is here: it goes on"
    );
    assert_eq!(
        harness.kinds_about(&job).await,
        ["job.received", "job.held", "job.released"]
    );
}

#[actix_web::test]
async fn who_decides_to_wait_while_the_string_is_missing_keeps_the_job_held() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SB")).await;
    let snags = snags_of(&harness, &job).await;
    decide(&harness, &snags[0], "wait").await.expect(200);
    assert!(!job_now(&harness, &job).await["flags"]["held"].is_null());
    let released = act(&harness, Role::Desk, &job, "release", json!({})).await;
    assert_eq!(released.expect(200)["flags"]["held"], json!(null));
}

#[actix_web::test]
async fn a_person_at_the_counter_may_insist_that_the_string_is_there() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let mut body = hand_in(&entered, "SC", "SB");
    body["override"] = json!({"reason": "the player brings two sets"});
    let job = post_job(&harness, body).await;
    assert_eq!(job["flags"]["held"], json!(null));
    assert_eq!(job["insisted"][0]["code"], "no_stock");
    assert!(snags_of(&harness, &job).await.is_empty());
}

#[actix_web::test]
async fn jobs_that_wait_already_have_the_string_first() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    receive(&harness, &entered.strings["SC"], "set", 12_400, None).await;
    let first = post_job(&harness, hand_in(&entered, "SC", "SC")).await;
    assert_eq!(first["flags"]["held"], json!(null));
    let mut second = hand_in(&entered, "SC", "SC");
    second["racket_id"] = json!(entered.rackets["P1"][1]);
    let second = post_job(&harness, second).await;
    assert!(!second["flags"]["held"].is_null(), "the one set is spoken for");
}

async fn started(harness: &Harness, entered: &Fixtures, job: &Value, mains: &str) -> Reply {
    let station = &entered.stations["M1"];
    let open = json!({"stringer_id": entered.stringers["W1"]});
    let address = format!("/v1/stations/{station}/actions/open");
    let opened = harness.post(Role::Coordinator, &address, open).await;
    opened.expect(200);
    let scans = json!({"tag": job["tag_code"], "station_id": station, "mains": mains, "crosses": "String C"});
    act(harness, Role::Stringer, job, "start", scans).await
}

#[actix_web::test]
async fn string_is_booked_at_the_start_and_the_offcut_is_kept() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let set = receive(&harness, &entered.strings["SC"], "set", 13_000, Some("SET-1")).await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SC")).await;
    assert_eq!(
        reel(&harness, &set).await["remaining_mm"],
        13_000,
        "nothing is cut yet"
    );
    started(&harness, &entered, &job, "SET-1").await.expect(200);
    let offcut = reel(&harness, &set).await;
    // 13000 - 6500 - 5800, the cuts recorded for F1
    assert_eq!(offcut["remaining_mm"], 700);
    let stock = harness.get(Role::Stringer, "/v1/stock").await.expect(200);
    let strings = stock["items"].as_array().expect("items");
    let left = strings
        .iter()
        .find(|string| string["string_id"] == entered.strings["SC"]);
    let left = left.expect("String C is listed");
    assert_eq!((&left["remaining_mm"], &left["pieces"]), (&json!(700), &json!(1)));
    assert_eq!(offcut["kind"], "offcut");
}

#[actix_web::test]
async fn a_snapped_main_costs_the_mains_and_the_next_attempt_takes_string_again() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let reel_id = receive(&harness, &entered.strings["SC"], "reel_remainder", 100_000, None).await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SC")).await;
    started(&harness, &entered, &job, "String C").await.expect(200);
    assert_eq!(reel(&harness, &reel_id).await["remaining_mm"], 100_000 - 12_300);
    let snapped = act(
        &harness,
        Role::Stringer,
        &job,
        "snapped",
        json!({"where": "shoulder"}),
    )
    .await;
    assert_eq!(snapped.expect(200)["attempt"], 2);
    // the mains are lost, the crosses were not cut, and both are taken again
    assert_eq!(
        reel(&harness, &reel_id).await["remaining_mm"],
        100_000 - 6_500 - 12_300
    );
}

#[actix_web::test]
async fn a_scanned_piece_that_is_too_short_is_refused_before_the_start() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let short = receive(&harness, &entered.strings["SC"], "offcut", 6_000, Some("OFF-1")).await;
    receive(&harness, &entered.strings["SC"], "reel_remainder", 100_000, None).await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SC")).await;
    let refused = started(&harness, &entered, &job, "OFF-1").await;
    assert_eq!(refused.refusal(), (422, "string_too_short"));
    assert_eq!(refused.first_pointer(), "/mains");
    assert_eq!(job_now(&harness, &job).await["state"], "waiting");
    assert_eq!(reel(&harness, &short).await["remaining_mm"], 6_000);
}

#[actix_web::test]
async fn a_snap_is_taken_down_although_the_scanned_reel_has_nothing_left_for_the_next_attempt() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    // enough for mains and crosses once: 6500 + 5800 mm, the cuts recorded for F1
    let short = receive(
        &harness,
        &entered.strings["SC"],
        "reel_remainder",
        13_000,
        Some("REEL-1"),
    )
    .await;
    let job = post_job(&harness, hand_in(&entered, "SC", "SC")).await;
    started(&harness, &entered, &job, "REEL-1").await.expect(200);
    let whole = receive(&harness, &entered.strings["SC"], "reel_remainder", 100_000, None).await;
    let snapped = json!({"where": "cross", "wasted_mm": 12_300});
    let snapped = act(&harness, Role::Stringer, &job, "snapped", snapped).await;
    assert_eq!(snapped.expect(200)["attempt"], 2);
    assert_eq!(reel(&harness, &short).await["remaining_mm"], 700);
    assert_eq!(reel(&harness, &whole).await["remaining_mm"], 100_000 - 12_300);
}
