//! Somebody named for one time collects one time, whichever way the racket leaves, and again where it is taken back.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::{Harness, Reply};
use crate::jobs::{act, path, ready, scans, strung, taken_in};

const ONCE: &str = "Partner Example";
const ALWAYS: &str = "Coach Example";

async fn name_both(harness: &Harness, fixture: &Fixture) {
    let named = json!({"delegates": [ALWAYS], "delegates_once": [ONCE]});
    let player = format!("/v1/players/{}", fixture.id("P1"));
    let done = harness.patch_current(Role::Desk, &player, named).await;
    done.expect(200);
}

/// Who may come one time.
async fn still_to_come(harness: &Harness, fixture: &Fixture) -> Value {
    let player = format!("/v1/players/{}", fixture.id("P1"));
    let said = harness.get(Role::Desk, &player).await.expect(200);
    assert_eq!(
        said["delegates"],
        json!([ALWAYS]),
        "who may always come is not used up"
    );
    said["delegates_once"].clone()
}

/// The racket goes with somebody whom the player named.
async fn leaves(harness: &Harness, job: &Value, how: &str, name: &str) -> Reply {
    let proof = json!({"kind": "delegate", "name": name});
    if how == "hand_out" {
        let out = json!({"job_ids": [job["id"]], "tags": [job["tag_code"]], "proof": proof, "collector": "at court 3"});
        return harness.post(Role::Desk, "/v1/pickups", out).await;
    }
    let evidence = json!({"tag": job["tag_code"], "proof": proof});
    act(harness, Role::Coordinator, job, how, evidence).await
}

/// A racket that may leave this way.
async fn racket_for(harness: &Harness, fixture: &Fixture, how: &str, racket: &str) -> Value {
    if how == "hand_out" {
        return strung(harness, fixture, racket).await;
    }
    let job = taken_in(harness, fixture, racket).await;
    if how == "return" {
        let why = json!({"reason": "lost", "charge_decision": "none"});
        return act(harness, Role::Desk, &job, "cancel", why).await.expect(200);
    }
    if how == "court_release" {
        let mut start = scans(&job);
        start["station_id"] = json!(fixture.id("ST1"));
        act(harness, Role::Coordinator, &job, "start", start)
            .await
            .expect(200);
        let tied_off = json!({"phase": "tied_off"});
        return act(harness, Role::Coordinator, &job, "phase", tied_off)
            .await
            .expect(200);
    }
    job
}

#[actix_web::test]
async fn every_way_out_uses_up_who_was_named_for_one_time() {
    for how in ["hand_out", "give_back", "return", "court_release"] {
        let (harness, fixture) = ready().await;
        name_both(&harness, &fixture).await;
        let job = racket_for(&harness, &fixture, how, "P1/1").await;
        let stranger = leaves(&harness, &job, how, "Nobody Example").await;
        assert_eq!(stranger.refusal(), (422, "proof_refused"), "{how}");
        assert_eq!(
            still_to_come(&harness, &fixture).await,
            json!([ONCE]),
            "{how}: a refusal changes nothing"
        );
        let out = leaves(&harness, &job, how, ONCE).await;
        assert!(out.status < 300, "{how}: {}", out.text);
        assert_eq!(still_to_come(&harness, &fixture).await, json!([]), "{how}");

        let other = taken_in(&harness, &fixture, "P1/2").await;
        let again = leaves(&harness, &other, "give_back", ONCE).await;
        assert_eq!(again.refusal(), (422, "proof_refused"), "{how}");
        let kept = harness.get(Role::Desk, &path(&other, "")).await.expect(200);
        assert_eq!(kept["state"], "waiting", "{how}");
        leaves(&harness, &other, "give_back", ALWAYS).await.expect(200);
    }
}

#[actix_web::test]
async fn what_is_taken_back_may_be_collected_again() {
    let (harness, fixture) = ready().await;
    name_both(&harness, &fixture).await;
    let job = strung(&harness, &fixture, "P1/1").await;
    let pickup = leaves(&harness, &job, "hand_out", ONCE).await.created_id();
    let undo = format!("/v1/pickups/{pickup}/actions/undo");
    let wordless = harness.post(Role::Desk, &undo, json!({"reason": " "})).await;
    assert_eq!(wordless.status, 422);
    assert_eq!(still_to_come(&harness, &fixture).await, json!([]));
    harness
        .post(Role::Desk, &undo, json!({"reason": "wrong bag"}))
        .await
        .expect(200);
    assert_eq!(still_to_come(&harness, &fixture).await, json!([ONCE]));
    leaves(&harness, &job, "hand_out", ALWAYS).await.created_id();

    // given back as it is, which only a correction takes back
    let other = taken_in(&harness, &fixture, "P1/2").await;
    leaves(&harness, &other, "give_back", ONCE).await.expect(200);
    assert_eq!(still_to_come(&harness, &fixture).await, json!([]));
    let never_left = json!({"to": "waiting", "reason": "it lay on the desk all the time"});
    act(&harness, Role::Admin, &other, "correct", never_left.clone())
        .await
        .expect(200);
    assert_eq!(still_to_come(&harness, &fixture).await, json!([ONCE]));

    // whoever comes later by a standing word takes nobody's one time away, and gives none back
    leaves(&harness, &other, "give_back", ALWAYS).await.expect(200);
    withdraw_once(&harness, &fixture).await;
    act(&harness, Role::Admin, &other, "correct", never_left)
        .await
        .expect(200);
    assert_eq!(still_to_come(&harness, &fixture).await, json!([]));
}

/// The player takes the name for one time back.
async fn withdraw_once(harness: &Harness, fixture: &Fixture) {
    let player = format!("/v1/players/{}", fixture.id("P1"));
    let done = harness
        .patch_current(Role::Desk, &player, json!({"delegates_once": []}))
        .await;
    done.expect(200);
}
