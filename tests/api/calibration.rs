//! Machines that are cleared or not, and whether the service says how it is.
use actix_web::test::TestRequest;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{act, path, ready, scans, taken_in};

const FOUR_IN_THE_MORNING: &str = "2026-05-03T02:00:00Z";

async fn require_cleared(harness: &Harness) {
    let tournament = format!("/v1/tournaments/{}", harness.tournament);
    let wish = json!({"require_cleared_machines": true});
    harness
        .patch_current(Role::Admin, &tournament, wish)
        .await
        .expect(200);
}

async fn calibrated(harness: &Harness, machine: &str, measured: [f64; 3]) -> Value {
    let readings: Vec<_> = measured
        .iter()
        .map(|measured| json!({"nominal": 24.0, "measured": measured}))
        .collect();
    let body = json!({"unit": "kg", "readings": readings});
    let address = format!("/v1/machines/{machine}/calibrations");
    harness.post(Role::Stringer, &address, body).await.expect(201)
}

async fn machine(harness: &Harness, fixture: &Fixture) -> Value {
    let address = format!("/v1/machines/{}", fixture.id("M1"));
    harness.get(Role::Stringer, &address).await.expect(200)
}

async fn pull(harness: &Harness, fixture: &Fixture) {
    let station = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    harness
        .post(Role::Stringer, &station, json!({}))
        .await
        .expect(200);
}

fn why_not_start(refused: &Value) -> &Value {
    let listed = refused["allowed_actions"].as_array().expect("actions are listed");
    let start = listed.iter().find(|one| one["name"] == "start");
    &start.expect("start is listed")["why"]["code"]
}

#[actix_web::test]
async fn d15_a_machine_without_todays_pass_starts_no_job_until_it_has_one() {
    let (harness, fixture) = ready().await;
    require_cleared(&harness).await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    pull(&harness, &fixture).await;
    let refused = act(&harness, Role::Stringer, &job, "start", scans(&job)).await;
    assert_eq!(refused.refusal(), (409, "action_not_allowed"));
    assert_eq!(why_not_start(&refused.json), "machine_not_cleared");
    let kept = harness.get(Role::Stringer, &path(&job, "")).await.expect(200);
    assert_eq!(kept["state"], "assigned", "a refused start changes nothing");
    // 22.9, 22.8, 22.9 at 24: mean error -1.133, sd 0.0577, half interval 4.303 * 0.0577 / sqrt 3 =
    // 0.143 (t(.975, 2) = 4.303, published tables), wholly beyond 0.5
    let failed = calibrated(&harness, fixture.id("M1"), [22.9, 22.8, 22.9]).await;
    assert_eq!(failed["judged"]["verdict"], "outside");
    let refused = act(&harness, Role::Stringer, &job, "start", scans(&job)).await;
    assert_eq!(why_not_start(&refused.json), "machine_not_cleared");
    let passed = calibrated(&harness, fixture.id("M1"), [24.1, 24.0, 24.1]).await;
    assert_eq!(passed["judged"]["verdict"], "inside");
    let cleared = machine(&harness, &fixture).await;
    assert_eq!(
        cleared["cleared_until"], FOUR_IN_THE_MORNING,
        "04:00 in Paris in summer time"
    );
    let started = act(&harness, Role::Stringer, &job, "start", scans(&job)).await;
    assert_eq!(started.expect(200)["state"], "on_machine");
    let address = format!("/v1/machines/{}/calibrations", fixture.id("M1"));
    let history = harness.get(Role::Coordinator, &address).await.expect(200);
    let verdicts: Vec<_> = history["items"]
        .as_array()
        .expect("items")
        .iter()
        .map(|item| &item["judged"]["verdict"])
        .collect();
    assert_eq!(verdicts, ["inside", "outside"], "newest first");
}

#[actix_web::test]
async fn a_pass_holds_until_the_business_day_ends_and_an_adjustment_takes_it_away() {
    let (harness, fixture) = ready().await;
    require_cleared(&harness).await;
    calibrated(&harness, fixture.id("M1"), [24.1, 24.0, 24.1]).await;
    let adjusted = format!("/v1/machines/{}/actions/adjusted", fixture.id("M1"));
    let machine = harness.post(Role::Stringer, &adjusted, json!({})).await;
    assert_eq!(machine.expect(200)["cleared_until"], json!(null));
    calibrated(&harness, fixture.id("M1"), [24.1, 24.0, 24.1]).await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    pull(&harness, &fixture).await;
    // from 10:00 to 04:00 at the venue
    harness.pass_minutes(18 * 60);
    let refused = act(&harness, Role::Stringer, &job, "start", scans(&job)).await;
    assert_eq!(why_not_start(&refused.json), "machine_not_cleared");
}

#[actix_web::test]
async fn a_coordinator_lets_one_job_start_by_name_at_a_machine_that_is_not_cleared() {
    let (harness, fixture) = ready().await;
    require_cleared(&harness).await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    pull(&harness, &fixture).await;
    let address = format!("/v1/machines/{}/actions/allow_job", fixture.id("M1"));
    let word = |reason: &str| json!({"job_id": job["id"], "reason": reason});
    let other = harness.post(Role::Stringer, &address, word("quick")).await;
    assert_eq!(other.refusal(), (403, "role_forbidden"));
    let bare = harness.post(Role::Coordinator, &address, word(" ")).await;
    assert_eq!((bare.status, bare.first_pointer()), (422, "/reason"));
    let reason = "on court in 20 minutes; checked after it";
    harness
        .post(Role::Coordinator, &address, word(reason))
        .await
        .expect(200);
    let started = act(&harness, Role::Stringer, &job, "start", scans(&job))
        .await
        .expect(200);
    assert_eq!(started["insisted"][0]["code"], "machine_not_cleared");
    assert_eq!(started["insisted"][0]["reason"], reason);
    assert_eq!(
        started["insisted"][0]["account_id"],
        harness.accounts["coordinator"]
    );
    let kinds = harness.kinds_about(&job).await;
    assert!(kinds.contains(&"job.machine_allowed".to_owned()), "{kinds:?}");
}

#[actix_web::test]
async fn readings_that_cannot_be_judged_are_named_and_change_nothing() {
    let (harness, fixture) = ready().await;
    let address = format!("/v1/machines/{}/calibrations", fixture.id("M1"));
    let three = |last: Value| json!([{"nominal": 24, "measured": 24}, {"nominal": 24, "measured": 24}, last]);
    for (body, pointer) in [
        (json!({"unit": "kg", "readings": []}), "/readings"),
        (
            json!({"unit": "kg", "readings": three(json!({"nominal": 24, "measured": -1}))}),
            "/readings/2",
        ),
        (
            json!({"unit": "stone", "readings": three(json!({"nominal": 24, "measured": 24}))}),
            "/unit",
        ),
        (
            json!({"readings": three(json!({"nominal": 24, "measured": 24}))}),
            "/unit",
        ),
    ] {
        let refused = harness.post(Role::Stringer, &address, body).await;
        assert_eq!(refused.status, 422, "{}", refused.text);
        assert_eq!(refused.first_pointer(), pointer, "{}", refused.text);
    }
    assert_eq!(machine(&harness, &fixture).await["verdict"], json!(null));
}

#[actix_web::test]
async fn d15_a_locked_database_leaves_the_process_alive_but_not_ready() {
    let harness = Harness::start().await;
    let lock = harness.lock_database();
    let alive = harness.ask(TestRequest::get().uri("/livez")).await;
    assert_eq!(alive.status, 200);
    let locked = harness.ask(TestRequest::get().uri("/readyz")).await;
    assert_eq!(locked.status, 503, "{}", locked.text);
    assert_eq!(locked.json["checks"]["database"]["ok"], false);
    drop(lock);
    let free = harness.ask(TestRequest::get().uri("/readyz")).await;
    assert_eq!(free.status, 200, "{}", free.text);
}

#[actix_web::test]
async fn d15_metrics_parse_and_carry_units_and_no_ids() {
    let (harness, fixture) = ready().await;
    // collecting starts with the first look, here as in the server's start
    harness.ask(TestRequest::get().uri("/metrics")).await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    harness.get(Role::Desk, &path(&job, "")).await.expect(200);
    let page = harness.ask(TestRequest::get().uri("/metrics")).await;
    assert_eq!(page.status, 200);
    assert!(
        page.header("Content-Type")
            .starts_with("text/plain; version=0.0.4")
    );
    let mut families = 0;
    for line in page.text.lines().filter(|line| !line.is_empty()) {
        if let Some(comment) = line.strip_prefix("# ") {
            if let Some(family) = comment.strip_prefix("TYPE ") {
                families += 1;
                well_named(family.split(' ').next().expect("a name"));
            }
            continue;
        }
        let (series, value) = line.rsplit_once(' ').expect("a series and its value");
        assert!(value.parse::<f64>().is_ok(), "{line}");
        well_labelled(series);
    }
    assert!(families >= 2, "{}", page.text);
}

/// Base units (`_seconds`, `_bytes`), a total, or the information series of Prometheus.
fn well_named(family: &str) {
    let endings = ["_seconds", "_bytes", "_total", "_info"];
    assert!(
        endings.iter().any(|ending| family.ends_with(ending)),
        "{family} has no unit"
    );
}

/// A name, and labels whose values are no ids of things: `job_` and 26 symbols.
fn well_labelled(series: &str) {
    let name = series.split('{').next().expect("a name");
    assert!(
        name.bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'_'),
        "{series}"
    );
    for value in series.split('"').skip(1).step_by(2) {
        let id = value.split('/').any(|part| {
            part.split_once('_')
                .is_some_and(|(_, rest)| rest.len() == 26 && rest.bytes().all(|b| b.is_ascii_alphanumeric()))
        });
        assert!(!id, "{series} carries an id");
    }
}
