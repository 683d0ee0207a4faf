//! Another weave method, chosen at the bench: plan, cuts, stock, time and schedule follow.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixtures::{self, Fixtures};
use crate::harness::{Harness, Reply};
use crate::jobs::{KG, act, path, ready, scans, taken_in};
use crate::schedule::{jobs_in, planned};

async fn choose(harness: &Harness, job: &Value, method: &str) -> Reply {
    let body = json!({"weave_method": method});
    harness.post(Role::Stringer, &path(job, "/method"), body).await
}

async fn plan(harness: &Harness, job: &Value) -> Value {
    harness.get(Role::Stringer, &path(job, "/plan")).await.expect(200)
}

async fn pulled(harness: &Harness, station: &str) -> Value {
    let pull = format!("/v1/stations/{station}/actions/pull");
    harness.post(Role::Stringer, &pull, json!({})).await.expect(200)
}

#[actix_web::test]
async fn the_stringer_takes_another_method_and_plan_story_and_schedule_follow() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let early = choose(&harness, &job, "start_cross_back").await;
    assert_eq!(early.refusal(), (409, "action_not_allowed"), "it only waits");
    pulled(&harness, fixture.id("ST1")).await;
    let before = plan(&harness, &job).await;
    assert_eq!(before["method"]["method"], "head_down");
    let waiting = taken_in(&harness, &fixture, "P1/2").await;
    let pin = json!({"station_id": fixture.id("ST1")});
    act(&harness, Role::Coordinator, &waiting, "assign", pin)
        .await
        .expect(200);
    let ready_before = ready_at(&harness, &waiting).await;

    let after = choose(&harness, &job, "start_cross_back").await.expect(200);
    assert_eq!(after["method"]["method"], "start_cross_back");
    assert_eq!(after["method"]["chosen_by"], "bench");
    // two ends are pulled at the start cross (practice of the trade): a short tail, more steps
    assert!(after["short_tail_mm"].is_number(), "{after}");
    assert_ne!(after["steps"], before["steps"]);
    assert_eq!(plan(&harness, &job).await, after, "what was answered is kept");
    let seconds = |plan: &Value| plan["estimate"]["total"]["p50_s"].as_f64().expect("seconds");
    let slower = seconds(&after) > seconds(&before);
    assert!((seconds(&after) - seconds(&before)).abs() > 1.0, "{after}");
    let ready_after = ready_at(&harness, &waiting).await;
    assert_eq!(
        ready_after > ready_before,
        slower,
        "the next racket of the station moves: {ready_before} to {ready_after}"
    );
    assert_ne!(ready_after, ready_before);
    let log = harness
        .get(Role::Coordinator, &path(&job, "/story"))
        .await
        .expect(200);
    let told = log.to_string();
    assert!(
        told.contains("job.method_chosen") && told.contains("start_cross_back"),
        "{told}"
    );
    let unknown = choose(&harness, &job, "sideways").await;
    assert_eq!(unknown.status, 422, "{}", unknown.json);
}

/// When the plan of the day expects a job to be ready.
async fn ready_at(harness: &Harness, job: &Value) -> String {
    let schedule = planned(harness).await;
    let place = jobs_in(&schedule)
        .into_iter()
        .find(|one| one["job_id"] == job["id"]);
    let at = place.and_then(|place| place["ready_at"].as_str());
    at.expect("the plan of the day holds the job").to_owned()
}

#[actix_web::test]
async fn the_choice_ends_with_the_first_cross_and_a_method_not_allowed_is_told_with_its_reason() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    pulled(&harness, fixture.id("ST1")).await;
    let two_pieces = choose(&harness, &job, "around").await;
    assert_eq!(two_pieces.status, 422);
    assert_eq!(two_pieces.first_pointer(), "/weave_method");
    let detail = two_pieces.json["detail"].as_str().expect("words");
    assert!(detail.contains("needs one piece"), "{detail}");
    act(&harness, Role::Stringer, &job, "start", scans(&job))
        .await
        .expect(200);
    act(
        &harness,
        Role::Stringer,
        &job,
        "phase",
        json!({"phase": "mains_done"}),
    )
    .await
    .expect(200);
    choose(&harness, &job, "start_cross_back").await.expect(200);
    act(
        &harness,
        Role::Stringer,
        &job,
        "phase",
        json!({"phase": "crosses_done"}),
    )
    .await
    .expect(200);
    let late = choose(&harness, &job, "head_down").await;
    assert_eq!(late.refusal(), (409, "action_not_allowed"));
    // what was taken is what this player's next racket begins with
    let sister = taken_in(&harness, &fixture, "P1/2").await;
    let plan = plan(&harness, &sister).await;
    assert_eq!(plan["method"]["method"], "start_cross_back");
    assert_eq!(plan["method"]["chosen_by"], "last_racket");
}

#[actix_web::test]
async fn what_the_owner_insists_on_is_not_set_aside_at_the_bench() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", KG, ("23", "kg"));
    body["spec"]["method"] = json!("head_down");
    let job = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    pulled(&harness, fixture.id("ST1")).await;
    let refused = choose(&harness, &job, "start_cross_back").await;
    assert_eq!(refused.status, 422, "{}", refused.json);
    let detail = refused.json["detail"].as_str().expect("words");
    assert!(detail.contains("the owner wishes it"), "{detail}");
    let french = harness
        .signed(
            actix_web::http::Method::POST,
            Role::Stringer,
            &path(&job, "/method"),
        )
        .insert_header(("Idempotency-Key", harness.fresh_key()))
        .insert_header(("Accept-Language", "fr"))
        .set_json(json!({"weave_method": "start_cross_back"}));
    let french = harness.ask(french).await;
    let detail = french.json["detail"].as_str().expect("words");
    assert!(detail.starts_with("Le cadre ou le propriétaire"), "{detail}");
}

#[actix_web::test]
async fn the_string_taken_from_a_reel_becomes_as_long_as_the_new_cuts() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let racket = without_recorded_cuts(&harness, &entered).await;
    let side = |key: &str, value: &str| json!({"string": {"string_id": entered.strings[key]}, "tension": {"value": value, "unit": "kg"}});
    let body = json!({
        "racket_id": racket, "due_at": "2026-05-02T12:00:00Z", "condition": {"ok": true},
        "spec": {"pieces": "two", "mains": side("SA", "24"), "crosses": side("SB", "23")},
    });
    let job = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    let whole_mm = left_mm(&harness, &entered.strings["SB"]).await;
    let station = &entered.stations["M1"];
    let open = format!("/v1/stations/{station}/actions/open");
    let stringer = json!({"stringer_id": entered.stringers["W1"]});
    harness.post(Role::Coordinator, &open, stringer).await.expect(200);
    pulled(&harness, station).await;
    act(&harness, Role::Stringer, &job, "start", scans(&job))
        .await
        .expect(200);
    let cut_mm = |plan: &Value| {
        let cuts = plan["cuts"].as_array().expect("cuts").iter();
        let crosses = cuts.clone().find(|cut| cut["piece"] == "crosses");
        crosses
            .and_then(|cut| cut["at_least_mm"].as_i64())
            .expect("a length")
    };
    let before = plan(&harness, &job).await;
    assert_eq!(
        left_mm(&harness, &entered.strings["SB"]).await,
        whole_mm - cut_mm(&before)
    );
    let after = choose(&harness, &job, "start_cross_back").await.expect(200);
    assert_ne!(cut_mm(&after), cut_mm(&before), "the short tail takes string too");
    assert_eq!(
        left_mm(&harness, &entered.strings["SB"]).await,
        whole_mm - cut_mm(&after)
    );
    choose(&harness, &job, "head_down").await.expect(200);
    assert_eq!(
        left_mm(&harness, &entered.strings["SB"]).await,
        whole_mm - cut_mm(&before)
    );
}

/// A racket of P1 whose frame is F1 without its recorded cuts, so that they are computed.
async fn without_recorded_cuts(harness: &Harness, entered: &Fixtures) -> String {
    let data: Value = serde_json::from_str(include_str!("../data/fixtures.json")).expect("JSON");
    let mut frame = data["frames"][0].clone();
    let members = frame.as_object_mut().expect("a frame");
    members.remove("key");
    members.remove("cut_mm");
    frame["name"] = json!("Frame One, cuts not measured");
    let frame = harness.post(Role::Desk, "/v1/frames", frame).await.created_id();
    let racket = json!({"player_id": entered.players["P1"], "frame_id": frame, "number": "9"});
    harness.post(Role::Desk, "/v1/rackets", racket).await.created_id()
}

/// What is left of a string on the pieces that are open.
async fn left_mm(harness: &Harness, string_id: &str) -> i64 {
    let reels = harness.get(Role::Desk, "/v1/reels").await.expect(200);
    let list = reels["items"].as_array().or(reels.as_array()).expect("a list");
    let of_string = list.iter().filter(|reel| reel["string_id"] == string_id);
    of_string
        .map(|reel| reel["remaining_mm"].as_i64().expect("mm"))
        .sum()
}
