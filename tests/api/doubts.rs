//! What a desk is set up with: twins are refused, what is doubtful is asked about, and what was entered is corrected.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::harness::{Harness, Reply};
use crate::jobs::{act, path, ready, scans, taken_in};

/// How many things of a kind there are.
async fn count(harness: &Harness, list: &str) -> Option<usize> {
    let all = harness
        .get(Role::Coordinator, &format!("/v1/{list}"))
        .await
        .expect(200);
    all["items"].as_array().map(Vec::len)
}

fn frame(name: &str, min: &str, max: &str) -> Value {
    json!({"sport": "tennis", "name": name, "mains": 18, "crosses": 20,
           "tension_range": {"min": min, "max": max, "unit": "kg"}})
}

fn machine(name: &str, step: &str) -> Value {
    json!({"name": name, "clamps": "flying", "pull": "lockout", "units": [{"unit": "kg", "step": step}]})
}

/// What was asked about: its code, the member, and that a reason overcomes it.
#[track_caller]
fn asks_about(refused: &Reply, pointer: &str) {
    assert_eq!(refused.refusal(), (422, "rule_refused"), "{}", refused.text);
    assert_eq!(refused.first_pointer(), pointer);
    assert_eq!(refused.json["override"]["allowed"], true, "{}", refused.text);
    assert_eq!(refused.json["override"]["needs"], json!(["reason"]));
}

#[actix_web::test]
async fn a_second_one_of_the_same_name_is_refused_with_the_first_ones_id() {
    let (harness, fixture) = ready().await;
    for (list, role, key, body) in [
        ("strings", Role::Desk, "SA", json!({"name": "string a"})),
        ("frames", Role::Desk, "F1", frame("FRAME one 16X19", "21", "27")),
        ("machines", Role::Coordinator, "M1", machine("Machine m1", "0.5")),
        (
            "stringers",
            Role::Coordinator,
            "W1",
            json!({"name": "stringer W1"}),
        ),
        (
            "stations",
            Role::Coordinator,
            "ST1",
            json!({"name": "STATION 1", "machine_id": fixture.id("M1")}),
        ),
    ] {
        let before = count(&harness, list).await;
        let refused = harness.post(role, &format!("/v1/{list}"), body).await;
        assert_eq!(
            refused.refusal(),
            (409, "already_exists"),
            "{list}: {}",
            refused.text
        );
        assert_eq!(refused.json["existing_id"], fixture.id(key), "{list}");
        assert_eq!(count(&harness, list).await, before, "{list}");
    }
    // another's name is no name for a correction either; its own is
    let address = format!("/v1/machines/{}", fixture.id("M2"));
    let taken = harness
        .patch_current(Role::Coordinator, &address, json!({"name": "machine M1"}))
        .await;
    assert_eq!(taken.refusal(), (409, "already_exists"));
    let own = harness
        .patch_current(Role::Coordinator, &address, json!({"name": "MACHINE M2"}))
        .await;
    assert_eq!(own.expect(200)["name"], "MACHINE M2");
}

#[actix_web::test]
async fn a_range_in_which_nobody_strings_is_asked_about_and_kept_with_a_reason() {
    let harness = Harness::start().await;
    let doubtful = frame("Frame X", "50", "60");
    let refused = harness.post(Role::Desk, "/v1/frames", doubtful.clone()).await;
    asks_about(&refused, "/tension_range/min");
    assert!(refused.text.contains("Is the range in lb?"), "{}", refused.text);
    let with = |insist: Value| {
        let mut body = doubtful.clone();
        body["override"] = insist;
        body
    };
    for (insist, pointer) in [
        (json!({"reason": " "}), "/override/reason"),
        (json!({"reason": "so", "why": "so"}), "/override/why"),
    ] {
        let refused = harness.post(Role::Desk, "/v1/frames", with(insist)).await;
        assert_eq!(
            (refused.status, refused.first_pointer()),
            (422, pointer),
            "{}",
            refused.text
        );
    }
    let reason = json!({"reason": "a frame for children, read off twice"});
    let kept = harness
        .post(Role::Desk, "/v1/frames", with(reason))
        .await
        .expect(201);
    assert_eq!(
        kept["override"],
        Value::Null,
        "the reason is no part of the record"
    );
    // what stands there already is not asked about again
    let address = format!("/v1/frames/{}", kept["id"].as_str().expect("an id"));
    let mut again = doubtful.clone();
    again["mains"] = json!(16);
    harness
        .put(Role::Desk, &address, "\"1\"", again)
        .await
        .expect(200);
    let mut worse = doubtful;
    worse["tension_range"]["max"] = json!("70");
    let refused = harness.put(Role::Desk, &address, "\"2\"", worse).await;
    asks_about(&refused, "/tension_range/min");
}

#[actix_web::test]
async fn a_step_that_is_none_is_refused_and_a_coarse_one_is_asked_about() {
    let harness = Harness::start().await;
    let add = async |body: Value| harness.post(Role::Coordinator, "/v1/machines", body).await;
    for step in ["0", "-1", "half"] {
        let refused = add(machine("M9", step)).await;
        assert_eq!(refused.refusal(), (422, "invalid_body"), "{}", refused.text);
        assert_eq!(refused.first_pointer(), "/units/0/step", "{step}");
        assert_eq!(
            refused.json["override"],
            Value::Null,
            "nobody may insist on {step}"
        );
    }
    asks_about(&add(machine("M9", "10")).await, "/units/0/step");
    let mut meant = machine("M9", "10");
    meant["override"] = json!({"reason": "a scale without marks between"});
    let kept = add(meant).await.expect(201);
    let address = format!("/v1/machines/{}", kept["id"].as_str().expect("an id"));
    let coarser = json!({"units": [{"unit": "lb", "step": "20"}]});
    let refused = harness
        .patch_current(Role::Coordinator, &address, coarser.clone())
        .await;
    asks_about(&refused, "/units/0/step");
    let mut meant = coarser;
    meant["override"] = json!({"reason": "as above"});
    let kept = harness
        .patch_current(Role::Coordinator, &address, meant)
        .await
        .expect(200);
    assert_eq!(kept["units"][0]["step"], "20");
}

#[actix_web::test]
async fn a_corrected_diameter_is_that_of_every_job_that_is_not_begun() {
    let (harness, fixture) = ready().await;
    let begun = taken_in(&harness, &fixture, "P1/1").await;
    let pull = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    act(&harness, Role::Stringer, &begun, "start", scans(&begun))
        .await
        .expect(200);
    let waits = taken_in(&harness, &fixture, "P2/1").await;
    let gauge = async |job: &Value| {
        let job = harness.get(Role::Desk, &path(job, "")).await.expect(200);
        job["spec"]["mains"]["string"]["gauge_mm"].clone()
    };
    let before = gauge(&waits).await;
    assert_ne!(before, "1.31");
    let address = format!("/v1/strings/{}", fixture.id("SA"));
    let wrong = harness
        .patch_current(Role::Desk, &address, json!({"gauge_mm": "13.1"}))
        .await;
    assert_eq!((wrong.status, wrong.first_pointer()), (422, "/gauge_mm"));
    let corrected = harness
        .patch_current(Role::Desk, &address, json!({"gauge_mm": "1.31"}))
        .await;
    assert_eq!(corrected.expect(200)["gauge_mm"], "1.31");
    assert_eq!(
        gauge(&waits).await,
        "1.31",
        "it is planned from what is known now"
    );
    assert_eq!(
        gauge(&begun).await,
        before,
        "what is on the machine goes on as it was begun"
    );
    let late = harness
        .patch(Role::Desk, &address, "\"1\"", json!({"gauge_mm": "1.2"}))
        .await;
    assert_eq!(late.status, 412, "{}", late.text);
}

#[actix_web::test]
async fn a_station_takes_another_machine_only_while_no_job_is_there() {
    let (harness, fixture) = ready().await;
    let address = format!("/v1/stations/{}", fixture.id("ST1"));
    let other = json!({"machine_id": fixture.id("M2")});
    taken_in(&harness, &fixture, "P1/1").await;
    let pull = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    let refused = harness
        .patch_current(Role::Coordinator, &address, other.clone())
        .await;
    assert_eq!(refused.refusal(), (409, "action_not_allowed"), "{}", refused.text);
    let named = harness
        .patch_current(Role::Coordinator, &address, json!({"name": "By the window"}))
        .await;
    assert_eq!(named.expect(200)["name"], "By the window");
    let free = format!("/v1/stations/{}", fixture.id("ST3"));
    let moved = harness
        .patch_current(Role::Coordinator, &free, other)
        .await
        .expect(200);
    assert_eq!(moved["machine_id"], fixture.id("M2"));
}
