//! In the middle of a stringing: "Strung" said too early, and a change of what is strung already.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, scans, taken_in};

/// A racket on the machine of station 1, its mains in.
async fn mains_in(harness: &Harness, fixture: &Fixture, racket: &str) -> Value {
    let job = taken_in(harness, fixture, racket).await;
    let pull = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    act(harness, Role::Stringer, &job, "start", scans(&job))
        .await
        .expect(200);
    harness.pass_minutes(9);
    tapped(harness, &job, "mains_done").await;
    job
}

async fn tapped(harness: &Harness, job: &Value, phase: &str) {
    act(harness, Role::Stringer, job, "phase", json!({"phase": phase}))
        .await
        .expect(200);
}

async fn finished(harness: &Harness, job: &Value) {
    act(harness, Role::Stringer, job, "finish", json!({}))
        .await
        .expect(200);
}

#[actix_web::test]
async fn strung_is_taken_back_with_what_it_had_filled_until_the_check_is_recorded() {
    let (harness, fixture) = ready().await;
    let job = mains_in(&harness, &fixture, "P1/1").await;
    harness.pass_minutes(1);
    tapped(&harness, &job, "tied_off").await;
    finished(&harness, &job).await;
    harness.pass_minutes(3);
    let back = act(&harness, Role::Stringer, &job, "undo_phase", json!({}))
        .await
        .expect(200);
    assert_eq!(
        (&back["state"], &back["phase"], &back["attempt"]),
        (&json!("on_machine"), &json!("mains_done"), &json!(1))
    );
    // it is strung once more, and then really
    tapped(&harness, &job, "tied_off").await;
    finished(&harness, &job).await;
    let points = json!({"weave": true, "tie_offs": true, "grommets": true});
    harness
        .post(Role::Stringer, &path(&job, "/checks"), points)
        .await
        .expect(201);
    let late = act(&harness, Role::Stringer, &job, "undo_phase", json!({})).await;
    assert_eq!(late.refusal(), (409, "action_not_allowed"));
}

#[actix_web::test]
async fn a_knot_tapped_before_strung_stays_tied_and_a_busy_station_takes_nothing_back() {
    let (harness, fixture) = ready().await;
    let job = mains_in(&harness, &fixture, "P1/1").await;
    tapped(&harness, &job, "tied_off").await;
    harness.pass_minutes(2);
    finished(&harness, &job).await;
    let back = act(&harness, Role::Stringer, &job, "undo_phase", json!({}))
        .await
        .expect(200);
    assert_eq!(back["phase"], "tied_off");
    finished(&harness, &job).await;
    mains_in(&harness, &fixture, "P1/2").await;
    let busy = act(&harness, Role::Stringer, &job, "undo_phase", json!({})).await;
    assert_eq!(busy.refusal(), (409, "action_not_allowed"));
}

#[actix_web::test]
async fn a_change_for_the_rest_leaves_the_mains_as_they_are_strung_and_is_kept_whole_for_the_next_time() {
    let (harness, fixture) = ready().await;
    let job = mains_in(&harness, &fixture, "P1/1").await;
    let lower = fixture.hand_in("P1/1", ("22", "kg"), ("21", "kg"))["spec"].clone();
    let wish = json!({"spec": lower, "if_started": "apply_to_rest"});
    let changed = harness
        .patch_current(Role::Desk, &path(&job, ""), wish)
        .await
        .expect(200);
    let value = |spec: &Value, part: &str| spec[part]["tension"]["value"].clone();
    assert_eq!(
        (
            value(&changed["spec"], "mains"),
            value(&changed["spec"], "crosses")
        ),
        (json!(KG.0), json!("21"))
    );
    assert_eq!(value(&changed["spec_next_time"], "mains"), "22");
}
