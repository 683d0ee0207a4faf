//! What the desk refuses of a job, and what it does only once.
use actix_web::http::Method;
use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::jobs::{KG, act, path, ready, scans, strung, taken_in};

#[actix_web::test]
async fn a_racket_that_is_in_is_not_taken_in_twice() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let again = harness
        .post(Role::Desk, "/v1/jobs", fixture.hand_in("P1/1", KG, KG))
        .await;
    assert_eq!(again.refusal(), (409, "racket_already_in"));
    assert_eq!(again.json["tag_code"], job["tag_code"]);
}

#[actix_web::test]
async fn the_wrong_tag_and_the_wrong_string_stop_the_start() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let other = taken_in(&harness, &fixture, "P1/2").await;
    let mut wrong = scans(&job);
    wrong["station_id"] = json!(fixture.id("ST1"));
    wrong["tag"] = other["tag_code"].clone();
    let refused = act(&harness, Role::Stringer, &job, "start", wrong.clone()).await;
    assert_eq!(refused.refusal(), (422, "wrong_tag"));
    wrong["tag"] = job["tag_code"].clone();
    wrong["mains"] = json!("String B");
    let refused = act(&harness, Role::Stringer, &job, "start", wrong).await;
    assert_eq!(refused.refusal(), (422, "wrong_string"));
}

#[actix_web::test]
async fn a_hand_out_needs_the_owners_proof_and_can_be_taken_back() {
    let (harness, fixture) = ready().await;
    let job = strung(&harness, &fixture, "P1/1").await;
    let out = |code: &str| json!({"job_ids": [job["id"]], "tags": [job["tag_code"]], "proof": {"kind": "badge", "code": code}});
    let refused = harness.post(Role::Desk, "/v1/pickups", out("badge-P2")).await;
    assert_eq!(refused.refusal(), (422, "proof_refused"));
    let pickup = harness
        .post(Role::Desk, "/v1/pickups", out("badge-P1"))
        .await
        .created_id();
    let undo = format!("/v1/pickups/{pickup}/actions/undo");
    harness
        .post(Role::Desk, &undo, json!({"reason": "wrong bag"}))
        .await
        .expect(200);
    let back = harness.get(Role::Desk, &path(&job, "")).await.expect(200);
    assert_eq!(
        (&back["state"], &back["racket"]["custody"]),
        (&json!("ready"), &json!("shelf:B4"))
    );
}

#[actix_web::test]
async fn the_same_request_twice_acts_once() {
    let (harness, fixture) = ready().await;
    let send = || {
        harness
            .signed(Method::POST, Role::Desk, "/v1/jobs")
            .set_json(fixture.hand_in("P1/1", KG, KG))
            .insert_header(("Idempotency-Key", "\"one\""))
    };
    let first = harness.ask(send()).await;
    let second = harness.ask(send()).await;
    assert_eq!((first.status, second.status), (201, 201));
    assert_eq!(first.text, second.text);
    assert_eq!(second.header("Idempotency-Replayed"), "true");
    let other = harness
        .signed(Method::POST, Role::Desk, "/v1/jobs")
        .set_json(fixture.hand_in("P1/2", KG, KG))
        .insert_header(("Idempotency-Key", "\"one\""));
    assert_eq!(
        harness.ask(other).await.refusal(),
        (422, "idempotency_key_reused")
    );
    let none = harness
        .signed(Method::POST, Role::Desk, "/v1/jobs")
        .set_json(fixture.hand_in("P1/2", KG, KG));
    assert_eq!(
        harness.ask(none).await.refusal(),
        (400, "idempotency_key_missing")
    );
}

#[actix_web::test]
async fn refusals_come_in_the_agreed_order() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let nobody = harness
        .ask(actix_web::test::TestRequest::get().uri(&path(&job, "")))
        .await;
    assert_eq!(nobody.status, 401);
    let missing = json!({"id": "job_00000000000000000000000000"});
    let gone = act(&harness, Role::Referee, &missing, "start", json!({"nonsense": 1})).await;
    assert_eq!(gone.status, 404, "a foreign id comes before the role");
    let wrong_role = act(&harness, Role::Desk, &job, "start", json!({"nonsense": 1})).await;
    assert_eq!(wrong_role.status, 403, "the role comes before the body");
    let wrong_body = act(&harness, Role::Stringer, &job, "start", json!({"nonsense": 1})).await;
    assert_eq!(wrong_body.status, 422);
    assert!(wrong_body.text.contains("nonsense"), "{}", wrong_body.text);
}

#[actix_web::test]
async fn tensions_that_are_none_are_named() {
    let (harness, fixture) = ready().await;
    for (value, unit) in [
        ("24,5", "kg"),
        ("NaN", "kg"),
        ("-3", "kg"),
        ("", "kg"),
        ("24", "stone"),
    ] {
        let body = fixture.hand_in("P1/1", (value, unit), ("23", "kg"));
        let refused = harness.post(Role::Desk, "/v1/jobs", body).await;
        assert_eq!(
            refused.refusal(),
            (422, "invalid_body"),
            "{value} {unit}: {}",
            refused.text
        );
        assert!(
            refused.first_pointer().starts_with("/spec/mains/tension"),
            "{}",
            refused.text
        );
    }
    let mut no_unit = fixture.hand_in("P1/1", KG, KG);
    no_unit["spec"]["mains"]["tension"] = json!({"value": "24"});
    assert_eq!(harness.post(Role::Desk, "/v1/jobs", no_unit).await.status, 422);
    // 24 kg is 52.9 lb: 24 on a frame of 50-60 lb was meant in kg
    let suspect = fixture.hand_in("P2/1", ("24", "lb"), ("24", "lb"));
    let refused = harness.post(Role::Desk, "/v1/jobs", suspect).await;
    assert_eq!(refused.refusal(), (422, "tension_out_of_range"));
    assert_eq!(refused.json["errors"][0]["code"], "unit_suspect");
    assert_eq!(refused.json["errors"][0]["suggestion"]["unit"], "kg");
}

#[actix_web::test]
async fn roles_without_a_reason_never_see_a_spec() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let seen = harness.get(Role::Accounts, &path(&job, "")).await.expect(200);
    assert!(seen.get("spec").is_none());
    for role in [Role::Runner, Role::Referee, Role::Accounts] {
        assert_eq!(
            harness.get(role, &path(&job, "/plan")).await.status,
            403,
            "{role}"
        );
    }
    let plan = harness
        .get(Role::Stringer, &path(&job, "/plan"))
        .await
        .expect(200);
    assert!(plan["steps"].as_array().is_some_and(|steps| steps.len() > 20));
}

#[actix_web::test]
async fn eight_stations_pulling_at_once_never_share_a_job() {
    let (harness, fixture) = ready().await;
    let rackets = ["P1/1", "P1/2", "P1/3", "P1/4", "P6/1"];
    for racket in rackets {
        taken_in(&harness, &fixture, racket).await;
    }
    let who = weftdesk::desk::Caller::system(&harness.tournament);
    let mut pulls = Vec::new();
    for round in 0..8 {
        let (desk, who) = (harness.desk.clone(), who.clone());
        let station = fixture.id(["ST1", "ST2", "ST3"][round % 3]).to_owned();
        pulls.push(actix_web::rt::spawn(async move {
            let got = desk
                .write(&who, move |tx| weftdesk::desk::pull_job::pull_job(tx, &station))
                .await;
            got.map(|sheet| (sheet.job.station_id, sheet.job.id)).ok()
        }));
    }
    let mut held = std::collections::BTreeMap::new();
    for pull in pulls {
        if let Some((station, job)) = pull.await.expect("a pull does not panic") {
            let before = held.insert(station.clone(), job.clone());
            assert!(
                before.is_none_or(|before| before == job),
                "{station:?} got two jobs"
            );
        }
    }
    let jobs: std::collections::BTreeSet<_> = held.values().collect();
    assert_eq!((held.len(), jobs.len()), (3, 3));
}
