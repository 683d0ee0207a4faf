//! What players are told follows the plan, each change with its cause, and does not flicker.
use chrono::{DateTime, Utc};
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::desk::schedule::replan::replan;
use weftdesk::storage::events;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, taken_in};

async fn job(harness: &Harness, job: &Value) -> Value {
    harness.get(Role::Desk, &path(job, "")).await.expect(200)
}

fn time(value: &Value) -> DateTime<Utc> {
    value.as_str().and_then(|text| text.parse().ok()).expect("a time")
}

async fn plan(harness: &Harness) {
    replan(&harness.desk, &harness.tournament).await.expect("a plan");
}

/// The entries about this job's promise, the oldest first.
async fn changes(harness: &Harness, of: &Value) -> Vec<Value> {
    let (tournament, id) = (harness.tournament.clone(), of["id"].clone());
    let log = harness
        .desk
        .read(move |db| Ok(events::after(db, &tournament, 0, 10_000)?));
    let ours = log.await.expect("the log").into_iter();
    ours.filter(|event| event.kind == "job.promise_changed" && id == event.subject)
        .map(|event| serde_json::from_str(&event.data).expect("JSON"))
        .collect()
}

async fn three_jobs(harness: &Harness, fixture: &Fixture) -> Vec<Value> {
    let mut jobs = Vec::new();
    for racket in ["P1/1", "P2/1", "P3/1"] {
        jobs.push(taken_in(harness, fixture, racket).await);
    }
    jobs
}

#[actix_web::test]
async fn the_first_promise_waits_for_the_time_before_which_nothing_may_be_strung() {
    let (harness, fixture) = ready().await;
    let mut wanted = fixture.hand_in("P1/1", KG, KG);
    wanted["not_before_at"] = json!("2026-05-03T06:00:00Z");
    wanted["due_at"] = json!("2026-05-03T10:00:00Z");
    let job = harness.post(Role::Desk, "/v1/jobs", wanted).await.expect(201);
    let promised = time(&job["promised_at"]);
    let earliest: DateTime<Utc> = "2026-05-03T06:00:00Z".parse().expect("a time");
    assert!(promised > earliest, "{promised}");
    // half an hour of work and its check, not a night of it
    assert!((promised - earliest).num_minutes() < 120, "{promised}");
}

#[actix_web::test]
async fn promises_hold_nine_times_in_ten_by_the_plan_and_stand_while_nothing_happens() {
    let (harness, fixture) = ready().await;
    let jobs = three_jobs(&harness, &fixture).await;
    plan(&harness).await;
    let schedule = harness.get(Role::Coordinator, "/v1/schedule").await.expect(200);
    for lane in schedule["plan"]["lanes"].as_array().expect("lanes") {
        for place in lane["jobs"].as_array().expect("jobs") {
            let held = jobs
                .iter()
                .find(|job| job["id"] == place["job_id"])
                .expect("one of ours");
            let promised = time(&job(&harness, held).await["promised_at"]);
            assert_eq!(promised.timestamp() % 300, 0);
            let spread_s = place["ready_spread_s"].as_f64().expect("a spread");
            // the 90 % point of a normal distribution lies 1.28 spreads above its mean, that of a
            // lognormal one of the same moments close to it; a tenth of the time until then is left to what
            // comes in meanwhile, and a waiting racket's promise may lie 20 min after or 5 before
            let (ready_at, now) = (time(&place["ready_at"]), harness.desk.clock().desk());
            #[expect(clippy::cast_precision_loss, reason = "seconds of an hour")]
            let (past_s, until_s) = (
                (promised - ready_at).num_seconds() as f64,
                (ready_at - now).num_seconds() as f64,
            );
            let past_p90_s = past_s - 1.2816 * spread_s - 0.1 * until_s;
            assert!((-360.0..=1260.0).contains(&past_p90_s), "{past_p90_s} {place}");
        }
    }
    let told = changes(&harness, &jobs[2]).await.len();
    for _ in 0..3 {
        plan(&harness).await;
    }
    assert_eq!(changes(&harness, &jobs[2]).await.len(), told);
}

#[actix_web::test]
async fn a_changed_promise_names_its_cause() {
    let (harness, fixture) = ready().await;
    let jobs = three_jobs(&harness, &fixture).await;
    plan(&harness).await;
    // one is assigned to a station, another waits behind it
    for waiting in &jobs[..2] {
        let station = json!({"station_id": fixture.id("ST2")});
        act(&harness, Role::Coordinator, waiting, "assign", station)
            .await
            .expect(200);
    }
    plan(&harness).await;
    let before = job(&harness, &jobs[1]).await["promised_at"].clone();
    let away = json!({"reason": "another one first"});
    act(&harness, Role::Coordinator, &jobs[0], "unassign", away)
        .await
        .expect(200);
    plan(&harness).await;
    let after = job(&harness, &jobs[1]).await["promised_at"].clone();
    assert!(time(&after) < time(&before), "{before} {after}");
    let told = changes(&harness, &jobs[1]).await;
    let last = told.last().expect("a change is told");
    assert_eq!(
        (&last["cause"], &last["before"], &last["promised_at"]),
        (&json!("job.unassigned"), &before, &after)
    );
}
