//! Live work: who goes off and what becomes of their jobs, what is refused, what nobody can do, what rain gives.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::court_times::{due, order, put};
use crate::fixture::Fixture;
use crate::fixtures;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, scans, taken_in};
use crate::schedule::{four_jobs, jobs_in, lanes, planned};

async fn shift(harness: &Harness, fixture: &Fixture, stringer: &str, action: &str, body: Value) -> Value {
    let path = format!("/v1/stringers/{}/actions/{action}", fixture.id(stringer));
    harness.post(Role::Coordinator, &path, body).await.expect(200)
}

/// One job on the machine of station 1, a second pinned there, a third assigned at station 2, a fourth that waits.
async fn room_at_work(harness: &Harness, fixture: &Fixture) -> Vec<Value> {
    let jobs = four_jobs(harness, fixture).await;
    let to = |station: &str| json!({"station_id": fixture.id(station)});
    act(harness, Role::Coordinator, &jobs[0], "assign", to("ST1"))
        .await
        .expect(200);
    act(harness, Role::Stringer, &jobs[0], "start", scans(&jobs[0]))
        .await
        .expect(200);
    for (job, station) in [(&jobs[1], "ST1"), (&jobs[2], "ST2")] {
        act(harness, Role::Coordinator, job, "assign", to(station))
            .await
            .expect(200);
    }
    jobs
}

#[actix_web::test]
async fn a_stringer_who_goes_off_leaves_what_is_on_the_machine_and_gives_the_rest_back() {
    let (harness, fixture) = ready().await;
    let jobs = room_at_work(&harness, &fixture).await;
    let ask = json!({"action": "stringer_off", "stringer_id": fixture.id("W1")});
    let price = harness
        .post(Role::Coordinator, "/v1/schedule/preview", ask)
        .await
        .expect(200);
    assert_eq!(price["staying"], json!([jobs[0]["id"]]), "{price}");
    let off = shift(&harness, &fixture, "W1", "off", json!({})).await;
    assert_eq!(off["stringer"]["on_shift"], false);
    assert_eq!(off["staying_job_ids"], json!([jobs[0]["id"]]));
    assert_eq!(off["returned_job_ids"], json!([jobs[1]["id"]]));
    let second = shift(&harness, &fixture, "W2", "off", json!({})).await;
    assert_eq!(second["returned_job_ids"], json!([jobs[2]["id"]]));
    for (job, state) in [
        (&jobs[0], "on_machine"),
        (&jobs[1], "waiting"),
        (&jobs[2], "waiting"),
    ] {
        let now = harness.get(Role::Desk, &path(job, "")).await.expect(200);
        assert_eq!(
            (&now["state"], &now["pinned_station_id"]),
            (&json!(state), &Value::Null),
            "{now}"
        );
    }
    // what was begun is finished there all the same
    act(
        &harness,
        Role::Stringer,
        &jobs[0],
        "phase",
        json!({"phase": "tied_off"}),
    )
    .await
    .expect(200);
    let left = jobs_in(&planned(&harness).await).len();
    assert_eq!(left, 3, "the others are planned at the station that is left");
}

#[actix_web::test]
async fn a_stringer_who_comes_on_opens_a_station_and_the_log_tells_both_ways() {
    let (harness, fixture) = ready().await;
    shift(&harness, &fixture, "W1", "off", json!({})).await;
    assert_eq!(lanes(&planned(&harness).await).len(), 2);
    let to = json!({"station_id": fixture.id("ST1")});
    let on = shift(&harness, &fixture, "W1", "on", to).await;
    assert_eq!(on["on_shift"], true);
    assert_eq!(lanes(&planned(&harness).await).len(), 3);
    let log = harness
        .get(Role::Coordinator, "/v1/events?limit=200")
        .await
        .expect(200);
    for kind in ["stringer.off", "station.closed", "stringer.on", "station.opened"] {
        assert!(log.to_string().contains(kind), "{kind}");
    }
    let unknown = json!({"station_id": "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"});
    let address = format!("/v1/stringers/{}/actions/on", fixture.id("W3"));
    let refused = harness.post(Role::Coordinator, &address, unknown).await;
    assert_eq!(refused.refusal().0, 422);
}

#[actix_web::test]
async fn a_refused_job_is_not_offered_there_again_and_a_begun_one_is_not_taken_away() {
    let (harness, fixture) = ready().await;
    let jobs = four_jobs(&harness, &fixture).await;
    let station = format!("/v1/stations/{}", fixture.id("ST1"));
    let address = format!("{station}/actions/refuse");
    let refuse = |job: &Value| {
        let given = json!({"job_id": job["id"], "reason": "no string here"});
        harness.post(Role::Stringer, &address, given)
    };
    let offered = harness
        .get(Role::Stringer, &format!("{station}/next"))
        .await
        .expect(200);
    let first = offered["next"].clone();
    let after = refuse(&first).await.expect(200);
    assert_ne!(after["next"]["id"], first["id"], "the next one is offered");
    assert_eq!(
        after["choice"]["passed_over"][0],
        json!({"job_id": first["id"], "why": "refused_here"})
    );
    let schedule = planned(&harness).await;
    let here = lanes(&schedule)
        .iter()
        .find(|lane| lane["station_id"] == fixture.id("ST1"))
        .expect("its lane");
    let there = here["jobs"].as_array().expect("jobs");
    assert!(there.iter().all(|job| job["job_id"] != first["id"]), "{here}");
    assert_eq!(jobs_in(&schedule).len(), jobs.len(), "another station has it");
    // given, then refused: it waits again, and the reason is in its story
    let pulled = harness
        .post(Role::Stringer, &format!("{station}/actions/pull"), json!({}))
        .await
        .expect(200);
    refuse(&pulled).await.expect(200);
    let now = harness.get(Role::Desk, &path(&pulled, "")).await.expect(200);
    assert_eq!(now["state"], "waiting");
    let story = harness
        .get(Role::Desk, &path(&pulled, "/story"))
        .await
        .expect(200);
    assert!(story.to_string().contains("no string here"), "{story}");
    // a coordinator's word stands over it, and what is begun stays
    let to = json!({"station_id": fixture.id("ST1")});
    act(&harness, Role::Coordinator, &first, "assign", to)
        .await
        .expect(200);
    act(&harness, Role::Stringer, &first, "start", scans(&first))
        .await
        .expect(200);
    assert_eq!(refuse(&first).await.refusal().0, 409);
    let mute = json!({"job_id": jobs[3]["id"], "reason": " "});
    let mute = harness
        .post(Role::Stringer, &format!("{station}/actions/refuse"), mute)
        .await;
    assert_eq!(mute.refusal().0, 422);
}

#[actix_web::test]
async fn a_job_nobody_at_work_can_do_becomes_a_snag_and_leaves_it_when_somebody_can() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", KG, ("23", "kg"));
    body["wants_stringer_id"] = json!(fixture.id("W1"));
    let wished = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    let other = taken_in(&harness, &fixture, "P2/1").await;
    let asked = || async {
        let schedule = planned(&harness).await;
        let snags = harness
            .get(Role::Coordinator, "/v1/snags?open=true")
            .await
            .expect(200);
        let items = snags.as_array().expect("snags").clone();
        let ours: Vec<Value> = items
            .into_iter()
            .filter(|snag| snag["kind"] == "nobody_can")
            .collect();
        (schedule, ours)
    };
    assert!(asked().await.1.is_empty());
    shift(&harness, &fixture, "W1", "off", json!({})).await;
    let (schedule, snags) = asked().await;
    assert_eq!(snags.len(), 1, "asked once");
    assert_eq!(snags[0]["job_id"], wished["id"]);
    assert!(snags[0].to_string().contains("is not at work"), "{}", snags[0]);
    let planned_ids: Vec<_> = jobs_in(&schedule).iter().map(|job| &job["job_id"]).collect();
    assert_eq!(planned_ids, [&other["id"]], "the rest is planned");
    // somebody can again: it leaves by itself
    shift(
        &harness,
        &fixture,
        "W1",
        "on",
        json!({"station_id": fixture.id("ST1")}),
    )
    .await;
    let (schedule, snags) = asked().await;
    assert!(snags.is_empty() && jobs_in(&schedule).len() == 2, "{schedule}");
    // a decision: any station may do it
    shift(&harness, &fixture, "W1", "off", json!({})).await;
    let (_, snags) = asked().await;
    let decide = format!("/v1/snags/{}/decisions", snags[0]["id"].as_str().expect("an id"));
    harness
        .post(Role::Coordinator, &decide, json!({"choice": "any_station"}))
        .await
        .expect(200);
    let (schedule, snags) = asked().await;
    assert!(snags.is_empty() && jobs_in(&schedule).len() == 2, "{schedule}");
}

#[actix_web::test]
async fn a_stop_of_courts_tells_who_gains_time_and_changes_nothing() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let opening = json!({"stringer_id": entered.stringers["W1"]});
    let open = format!("/v1/stations/{}/actions/open", entered.stations["M1"]);
    harness.post(Role::Coordinator, &open, opening).await.expect(200);
    put(&harness, &order(&entered, 1, "10:00"), None)
        .await
        .expect(201);
    let string = |value: &str| json!({"string": {"string_id": entered.strings["SA"]}, "tension": {"value": value, "unit": "kg"}});
    let mut jobs = Vec::new();
    // more than one station can string before the second match of that court
    for racket in &entered.rackets["P1"] {
        let body = json!({
            "racket_id": racket, "purpose": "match", "condition": {"ok": true},
            "spec": {"pieces": "two", "mains": string("24"), "crosses": string("23")},
        });
        jobs.push(harness.post(Role::Desk, "/v1/jobs", body).await.expect(201));
    }
    let before = planned(&harness).await;
    let wanted = due(&harness, &jobs[0]).await;
    let ask = |courts: Value| {
        let what =
            json!({"action": "stop_courts", "courts": courts, "expected_resume_at": "2026-05-02T14:00:00Z"});
        harness.post(Role::Coordinator, "/v1/schedule/preview", what)
    };
    let price = ask(json!(["C1"])).await.expect(200);
    let sooner = price["sooner"].as_array().expect("jobs");
    assert!(!sooner.is_empty() && price["later"] == json!([]), "{price}");
    assert!(
        price["sentences"].to_string().contains("Nobody becomes later."),
        "{price}"
    );
    let other = ask(json!(["C2"])).await.expect(200);
    assert_eq!(other["sooner"], json!([]), "they play on the other court");
    assert_eq!(ask(json!(["C9"])).await.refusal().0, 422);
    assert_eq!(due(&harness, &jobs[0]).await, wanted);
    assert_eq!(planned(&harness).await, before);
}
