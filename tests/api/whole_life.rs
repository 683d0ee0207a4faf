//! D05: a job's whole life, with what is allowed at each step held against the state table.
//!
//! The table (tests/data/job-states.json) is the desk's law, written before and apart from the code.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{act, path, ready, scans, taken_in};

/// The actions of the table that a role has in a state.
fn by_the_table(state: &str, role: Role) -> Vec<String> {
    let table: Value = serde_json::from_str(include_str!("../data/job-states.json")).expect("JSON");
    // the desk rushes for a player on court: it has the action, and its reason decides
    let fits = |item: &Value, one: &str| item == one || *item == format!("{one}_court_only");
    let holds = |list: &Value, one: &str| {
        let list = list.as_array().expect("a list");
        list.iter().any(|item| fits(item, one))
    };
    table["actions"]
        .as_array()
        .expect("actions")
        .iter()
        .filter(|action| holds(&action["from"], state) && holds(&action["roles"], role.as_str()))
        .map(|action| action["name"].as_str().expect("a name").to_owned())
        .collect()
}

/// What one role sees of a job: each action of the table is there, allowed or with its reason, and none besides.
async fn check_allowed(harness: &Harness, role: Role, job: &Value, state: &str) -> Vec<String> {
    let seen = harness.get(role, &path(job, "")).await.expect(200);
    assert_eq!(seen["state"], state);
    let table = by_the_table(state, role);
    let mut allowed = Vec::new();
    for action in seen["allowed_actions"].as_array().expect("allowed_actions") {
        let name = action["name"].as_str().expect("a name").to_owned();
        if action["allowed"] == true {
            assert!(
                table.contains(&name),
                "{role:?} may {name} in {state}: the table says no"
            );
            allowed.push(name);
        } else {
            assert!(
                !action["why"].is_null(),
                "{name} is refused in {state} without a reason"
            );
        }
    }
    for name in table {
        let listed = seen["allowed_actions"].as_array().expect("a list");
        assert!(
            listed.iter().any(|action| action["name"] == name.as_str()),
            "{state}: {name} is missing for {role:?}"
        );
    }
    allowed
}

/// The job is in `state`; of what comes next, exactly the `next` ones are allowed to the stringer.
async fn at(harness: &Harness, job: &Value, state: &str, next: &[&str], not_yet: &[&str]) {
    let allowed = check_allowed(harness, Role::Stringer, job, state).await;
    check_allowed(harness, Role::Coordinator, job, state).await;
    check_allowed(harness, Role::Desk, job, state).await;
    for name in next {
        assert!(
            allowed.iter().any(|one| one == name),
            "{state}: {name} should be allowed; {allowed:?} are"
        );
    }
    for name in not_yet {
        assert!(
            !allowed.iter().any(|one| one == name),
            "{state}: {name} is allowed too early"
        );
    }
}

async fn to_the_machine(harness: &Harness, fixture: &Fixture, job: &Value) {
    let pull = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    let pulled = harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    assert_eq!(
        (&pulled["id"], &pulled["state"]),
        (&job["id"], &json!("assigned"))
    );
    let again = harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    assert_eq!(again["id"], job["id"], "a station holds one job");
    at(
        harness,
        job,
        "assigned",
        &["start", "unassign"],
        &["phase", "finish", "pass"],
    )
    .await;
    let started = act(harness, Role::Stringer, job, "start", scans(job))
        .await
        .expect(200);
    assert_eq!(
        (&started["state"], &started["phase"]),
        (&json!("on_machine"), &json!("mounted"))
    );
}

async fn checked_and_ready(harness: &Harness, job: &Value) {
    let early = act(harness, Role::Stringer, job, "pass", json!({})).await;
    assert_eq!(
        early.refusal(),
        (409, "action_not_allowed"),
        "nothing passes without a check"
    );
    let points = json!({"weave": true, "tie_offs": true, "grommets": true});
    harness
        .post(Role::Stringer, &path(job, "/checks"), points)
        .await
        .expect(201);
    at(
        harness,
        job,
        "checking",
        &["pass", "fail"],
        &["start", "phase", "undo_phase"],
    )
    .await;
    let reading = json!({"value": 61.5, "unit": "instrument", "instrument": "meter 1", "minutes_after": 5});
    harness
        .post(Role::Stringer, &path(job, "/readings"), reading)
        .await
        .expect(201);
    let passed = act(harness, Role::Stringer, job, "pass", json!({"slot": "B4"}))
        .await
        .expect(200);
    assert_eq!(
        (&passed["state"], &passed["racket"]["custody"]),
        (&json!("ready"), &json!("shelf:B4"))
    );
}

#[actix_web::test]
async fn d05_a_job_lives_its_whole_life() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    at(
        &harness,
        &job,
        "waiting",
        &["assign"],
        &["phase", "finish", "pass"],
    )
    .await;
    to_the_machine(&harness, &fixture, &job).await;
    at(
        &harness,
        &job,
        "on_machine",
        &["phase", "pause", "snapped"],
        &["start", "pass"],
    )
    .await;
    harness.pass_minutes(12);
    for phase in ["mains_done", "crosses_done", "tied_off"] {
        let tapped = act(&harness, Role::Stringer, &job, "phase", json!({"phase": phase}))
            .await
            .expect(200);
        assert_eq!(tapped["phase"], phase);
    }
    at(&harness, &job, "on_machine", &["finish"], &["pass"]).await;
    act(&harness, Role::Stringer, &job, "finish", json!({}))
        .await
        .expect(200);
    at(
        &harness,
        &job,
        "checking",
        &["undo_phase"],
        &["pass", "start", "phase"],
    )
    .await;
    checked_and_ready(&harness, &job).await;
    at(&harness, &job, "ready", &[], &["start", "pass", "phase"]).await;
    harness.pass_minutes(8);
    let proof = json!({"kind": "badge", "code": "badge-P1"});
    let out = json!({"job_ids": [job["id"]], "tags": [job["tag_code"]], "proof": proof});
    harness.post(Role::Desk, "/v1/pickups", out).await.expect(201);
    at(&harness, &job, "out", &[], &["start", "pass", "phase", "finish"]).await;
    the_log_tells_it(&harness, &job).await;
}

/// One event for each step, in order, with who and when.
async fn the_log_tells_it(harness: &Harness, job: &Value) {
    let end = harness.get(Role::Desk, &path(job, "")).await.expect(200);
    assert_eq!(
        (&end["state"], &end["outcome"]),
        (&json!("out"), &json!("strung"))
    );
    assert_eq!(end["turnaround_s"], 20 * 60);
    let life = [
        "job.received",
        "job.assigned",
        "job.started",
        "job.phase",
        "job.phase",
        "job.phase",
        "job.phase",
        "job.strung",
        "job.checked",
        "job.ready",
        "job.out",
    ];
    assert_eq!(harness.kinds_about(job).await, life);
    let story = harness.get(Role::Desk, &path(job, "/story")).await.expect(200);
    let entries = story["items"].as_array().expect("items");
    let told: Vec<String> = entries
        .iter()
        .map(|entry| entry["type"].as_str().expect("a kind").replace("weftdesk.", ""))
        .filter(|kind| kind.starts_with("job."))
        .collect();
    assert_eq!(told, life, "the story tells all of it");
    for entry in entries {
        assert!(
            entry["at"].is_string() && entry["who"].is_string(),
            "who and when: {entry}"
        );
    }
}

#[actix_web::test]
async fn a_racket_finished_as_asked_keeps_its_wish_and_the_change_counts_next_time() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    to_the_machine(&harness, &fixture, &job).await;
    let mut later = fixture.hand_in("P1/1", ("26", "kg"), ("25", "kg"))["spec"].clone();
    later["note"] = json!("firmer from the next time on");
    let change = json!({"spec": later, "if_started": "finish_as_asked"});
    let changed = harness
        .patch_current(Role::Desk, &path(&job, ""), change)
        .await
        .expect(200);
    assert_eq!(
        changed["spec"]["mains"]["tension"], job["spec"]["mains"]["tension"],
        "this racket is strung as it was asked"
    );
    assert_eq!(changed["spec_next_time"]["mains"]["tension"]["value"], "26");
    assert_eq!(changed["flags"]["spec_changed_unacknowledged"], true);
    let plan = harness
        .get(Role::Stringer, &path(&job, "/plan"))
        .await
        .expect(200);
    assert!(!plan.to_string().contains("\"26\""), "the bench's plan stays");
    act(&harness, Role::Stringer, &job, "acknowledge", json!({}))
        .await
        .expect(200);
    act(
        &harness,
        Role::Stringer,
        &job,
        "phase",
        json!({"phase": "tied_off"}),
    )
    .await
    .expect(200);
    act(&harness, Role::Stringer, &job, "finish", json!({}))
        .await
        .expect(200);
    checked_and_ready(&harness, &job).await;
    let proof = json!({"kind": "badge", "code": "badge-P1"});
    let out = json!({"job_ids": [job["id"]], "tags": [job["tag_code"]], "proof": proof});
    harness.post(Role::Desk, "/v1/pickups", out).await.expect(201);
    let mut again = fixture.hand_in("P1/1", ("24", "kg"), ("23", "kg"));
    again.as_object_mut().expect("a body").remove("spec");
    again["same_again"] = json!(true);
    let next = harness.post(Role::Desk, "/v1/jobs", again).await.expect(201);
    assert_eq!(next["spec"]["mains"]["tension"]["value"], "26");
}
