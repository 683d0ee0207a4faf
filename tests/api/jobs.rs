//! A racket's way through the desk, by the API.
use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::{Harness, Reply};

pub(crate) const KG: (&str, &str) = ("24", "kg");

pub(crate) async fn ready() -> (Harness, Fixture) {
    let harness = Harness::start().await;
    let fixture = Fixture::load(&harness).await;
    (harness, fixture)
}

pub(crate) async fn taken_in(harness: &Harness, fixture: &Fixture, racket: &str) -> Value {
    let body = fixture.hand_in(racket, KG, ("23", "kg"));
    harness.post(Role::Desk, "/v1/jobs", body).await.expect(201)
}

pub(crate) fn path(job: &Value, rest: &str) -> String {
    format!("/v1/jobs/{}{rest}", job["id"].as_str().expect("a job has an id"))
}

pub(crate) async fn act(harness: &Harness, role: Role, job: &Value, action: &str, body: Value) -> Reply {
    harness
        .post(role, &path(job, &format!("/actions/{action}")), body)
        .await
}

pub(crate) fn scans(job: &Value) -> Value {
    json!({"tag": job["tag_code"], "mains": "String A", "crosses": "String B"})
}

/// The states a job goes through up to the shelf, all by the right roles.
pub(crate) async fn strung(harness: &Harness, fixture: &Fixture, racket: &str) -> Value {
    let job = taken_in(harness, fixture, racket).await;
    let station = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    harness
        .post(Role::Stringer, &station, json!({}))
        .await
        .expect(200);
    act(harness, Role::Stringer, &job, "start", scans(&job))
        .await
        .expect(200);
    act(
        harness,
        Role::Stringer,
        &job,
        "phase",
        json!({"phase": "tied_off"}),
    )
    .await
    .expect(200);
    act(harness, Role::Stringer, &job, "finish", json!({}))
        .await
        .expect(200);
    let points = json!({"weave": true, "tie_offs": true, "grommets": true});
    harness
        .post(Role::Stringer, &path(&job, "/checks"), points)
        .await
        .expect(201);
    act(harness, Role::Stringer, &job, "pass", json!({"slot": "B4"}))
        .await
        .expect(200)
}

#[actix_web::test]
async fn d01_a_racket_is_taken_in_and_seen() {
    let (harness, fixture) = ready().await;
    let body = fixture.hand_in("P1/1", KG, ("23", "kg"));
    let reply = harness.post(Role::Desk, "/v1/jobs", body).await;
    assert!(
        reply.header("Location").starts_with("/v1/jobs/job_"),
        "{:?}",
        reply.headers
    );
    assert_eq!(reply.header("ETag"), "\"1\"");
    let job = reply.expect(201);
    assert_eq!(job["state"], "waiting");
    assert_eq!(job["tag_code"].as_str().map(str::len), Some(5));
    assert_eq!(job["spec"]["mains"]["tension"]["value"], "24");
    assert_eq!(job["spec"]["mains"]["tension"]["unit"], "kg");
    // 24 kg / 0.45359237 kg per lb, exact (1959)
    assert_eq!(job["spec"]["mains"]["tension"]["lb"], "52.9");
    assert_eq!(job["racket"]["custody"], "desk");
    let log = harness
        .get(Role::Coordinator, "/v1/jobs?state=waiting")
        .await
        .expect(200);
    assert_eq!(log["items"][0]["id"], job["id"]);
    let kinds = harness.kinds_about(&job).await;
    assert_eq!(kinds, ["job.received"]);
}

#[actix_web::test]
async fn d03_a_tension_out_of_range_is_refused_unless_somebody_insists() {
    let (harness, fixture) = ready().await;
    let over = |extra: Value| {
        let mut body = fixture.hand_in("P2/1", ("61", "lb"), ("60", "lb"));
        if !extra.is_null() {
            body["override"] = extra;
        }
        body
    };
    let refused = harness.post(Role::Desk, "/v1/jobs", over(Value::Null)).await;
    assert_eq!(refused.refusal(), (422, "tension_out_of_range"));
    assert_eq!(refused.first_pointer(), "/spec/mains/tension");
    assert_eq!(refused.json["override"]["allowed"], true);
    let none = harness.get(Role::Desk, "/v1/jobs").await.expect(200);
    assert_eq!(none["items"], json!([]), "a refused request changes nothing");
    let insisted = over(json!({"reason": "player's wish, own risk"}));
    let job = harness.post(Role::Desk, "/v1/jobs", insisted).await.expect(201);
    assert_eq!(job["insisted"][0]["reason"], "player's wish, own risk");
    let (harness, fixture) = ready().await;
    let equal = fixture.hand_in("P2/1", ("60", "lb"), ("60", "lb"));
    harness.post(Role::Desk, "/v1/jobs", equal).await.expect(201);
}

#[actix_web::test]
async fn d09_a_misread_code_is_told_as_such() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let code = job["tag_code"].as_str().expect("a code").to_owned();
    let spoken = code.replace('0', "O");
    let typed = format!("{}%20{}", spoken[..2].to_lowercase(), &spoken[2..]);
    let found = harness
        .get(Role::Desk, &format!("/v1/jobs/by-code/{typed}"))
        .await
        .expect(200);
    assert_eq!(found["id"], job["id"]);
    let mut symbols: Vec<char> = code.chars().collect();
    symbols[2] = if symbols[2] == 'Z' { 'Y' } else { 'Z' };
    let wrong: String = symbols.into_iter().collect();
    let refused = harness
        .get(Role::Desk, &format!("/v1/jobs/by-code/{wrong}"))
        .await;
    assert_eq!(refused.refusal(), (422, "check_the_code"));
}

#[actix_web::test]
async fn d10_a_change_needs_the_version_it_was_made_from() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let wish = json!({"spec": fixture.hand_in("P1/1", ("25", "kg"), ("24", "kg"))["spec"]});
    let no_version = harness
        .signed(Method::PATCH, Role::Desk, &path(&job, ""))
        .set_json(wish.clone())
        .insert_header(("Content-Type", "application/merge-patch+json"));
    assert_eq!(harness.ask(no_version).await.refusal(), (428, "version_required"));
    let changed = harness
        .patch(Role::Desk, &path(&job, ""), "\"1\"", wish.clone())
        .await;
    assert_eq!(changed.header("ETag"), "\"2\"");
    assert_eq!(changed.expect(200)["spec"]["mains"]["tension"]["value"], "25");
    let stale = harness.patch(Role::Desk, &path(&job, ""), "\"1\"", wish).await;
    assert_eq!(stale.refusal(), (412, "stale_version"));
    assert_eq!(stale.json["current"]["version"], 2);
    let known = harness
        .signed(Method::GET, Role::Desk, &path(&job, ""))
        .insert_header(("If-None-Match", "\"2\""));
    assert_eq!(harness.ask(known).await.status, 304);
}

#[actix_web::test]
async fn d12_pages_are_stable_while_jobs_are_added() {
    let (harness, fixture) = ready().await;
    for racket in ["P1/1", "P1/2", "P1/3", "P1/4", "P6/1"] {
        taken_in(&harness, &fixture, racket).await;
        harness.pass_minutes(1);
    }
    let first = harness.get(Role::Desk, "/v1/jobs?limit=2").await;
    let link = first.header("Link").to_owned();
    let next = link
        .trim_start_matches('<')
        .split('>')
        .next()
        .expect("a link")
        .to_owned();
    assert!(link.contains("rel=\"next\""), "{link}");
    let body = fixture.hand_in("P2/1", ("55", "lb"), ("54", "lb"));
    harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    let second = harness.get(Role::Desk, &next).await.expect(200);
    let mut seen: Vec<&Value> = Vec::new();
    let first = first.expect(200);
    for page in [&first, &second] {
        seen.extend(
            page["items"]
                .as_array()
                .expect("items")
                .iter()
                .map(|job| &job["id"]),
        );
    }
    assert_eq!(seen.len(), 4);
    let distinct: std::collections::HashSet<String> = seen.iter().map(ToString::to_string).collect();
    assert_eq!(distinct.len(), 4, "no job comes twice");
    assert_eq!(
        harness.get(Role::Desk, "/v1/jobs?after=bm9wZQ").await.refusal(),
        (400, "foreign_cursor")
    );
    assert_eq!(
        harness.get(Role::Desk, "/v1/jobs?colour=red").await.refusal(),
        (400, "unknown_parameter")
    );
}
