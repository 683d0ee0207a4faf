//! The plan: kept with its number, followed by the stations, priced before it is changed, explained.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::desk::schedule::replan;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, scans, taken_in};

async fn planned(harness: &Harness) -> Value {
    replan(&harness.desk, &harness.tournament).await.expect("a plan");
    harness.get(Role::Coordinator, "/v1/schedule").await.expect(200)
}

async fn four_jobs(harness: &Harness, fixture: &Fixture) -> Vec<Value> {
    let mut jobs = Vec::new();
    for racket in ["P1/1", "P1/2", "P2/1", "P3/1"] {
        jobs.push(taken_in(harness, fixture, racket).await);
    }
    jobs
}

fn lanes(schedule: &Value) -> &Vec<Value> {
    schedule["plan"]["lanes"].as_array().expect("lanes")
}

fn jobs_in(schedule: &Value) -> Vec<&Value> {
    lanes(schedule)
        .iter()
        .flat_map(|lane| lane["jobs"].as_array().expect("jobs"))
        .collect()
}

#[actix_web::test]
async fn a_plan_holds_every_waiting_job_once_and_the_number_it_was_made_from() {
    let (harness, fixture) = ready().await;
    let before = harness.get(Role::Desk, "/v1/schedule").await.expect(200);
    assert_eq!(
        (&before["made_from_sequence"], &before["up_to_date"]),
        (&json!(0), &json!(false))
    );
    let jobs = four_jobs(&harness, &fixture).await;
    let schedule = planned(&harness).await;
    assert_eq!(schedule["up_to_date"], true);
    assert!(schedule["made_from_sequence"].as_i64() > Some(0));
    let mut planned_ids: Vec<_> = jobs_in(&schedule)
        .iter()
        .map(|job| job["job_id"].clone())
        .collect();
    let mut ids: Vec<_> = jobs.iter().map(|job| job["id"].clone()).collect();
    planned_ids.sort_by_key(Value::to_string);
    ids.sort_by_key(Value::to_string);
    assert_eq!(planned_ids, ids);
    for lane in lanes(&schedule) {
        let jobs = lane["jobs"].as_array().expect("jobs");
        for pair in jobs.windows(2) {
            assert!(pair[1]["start_at"].as_str() > pair[0]["start_at"].as_str());
        }
    }
}

#[actix_web::test]
async fn it_is_made_anew_after_an_event_and_not_without_one() {
    let (harness, fixture) = ready().await;
    four_jobs(&harness, &fixture).await;
    let (desk, tournament) = (&harness.desk, &harness.tournament);
    assert!(replan(desk, tournament).await.expect("a plan"));
    assert!(
        !replan(desk, tournament).await.expect("a look"),
        "its own entry is no event"
    );
    taken_in(&harness, &fixture, "P1/3").await;
    let stale = harness.get(Role::Desk, "/v1/schedule").await.expect(200);
    assert_eq!(stale["up_to_date"], false);
    assert!(replan(desk, tournament).await.expect("a plan"));
    assert_eq!(jobs_in(&planned(&harness).await).len(), 5);
}

#[actix_web::test]
async fn a_station_pulls_what_the_plan_gives_it_next() {
    let (harness, fixture) = ready().await;
    four_jobs(&harness, &fixture).await;
    let schedule = planned(&harness).await;
    let lane = lanes(&schedule)
        .iter()
        .find(|lane| lane["jobs"].as_array().is_some_and(|jobs| !jobs.is_empty()))
        .expect("some station has work");
    let station = lane["station_id"].as_str().expect("an id");
    let next = harness
        .get(Role::Stringer, &format!("/v1/stations/{station}/next"))
        .await
        .expect(200);
    assert_eq!(next["next"]["id"], lane["jobs"][0]["job_id"]);
    let pulled = harness
        .post(
            Role::Stringer,
            &format!("/v1/stations/{station}/actions/pull"),
            json!({}),
        )
        .await
        .expect(200);
    assert_eq!(pulled["id"], lane["jobs"][0]["job_id"]);
}

#[actix_web::test]
async fn a_job_moved_to_a_station_stays_first_there_and_is_planned_there() {
    let (harness, fixture) = ready().await;
    let jobs = four_jobs(&harness, &fixture).await;
    let station = fixture.id("ST2");
    let path =
        |job: &Value, action: &str| format!("/v1/jobs/{}/actions/{action}", job["id"].as_str().unwrap_or(""));
    // the station is busy, so the second job waits there, pinned
    for job in &jobs[..2] {
        let address = path(job, "assign");
        let moved = harness
            .post(Role::Coordinator, &address, json!({"station_id": station}))
            .await;
        moved.expect(200);
    }
    let schedule = planned(&harness).await;
    let lane = lanes(&schedule)
        .iter()
        .find(|lane| lane["station_id"] == station)
        .expect("its lane");
    let ids: Vec<_> = lane["jobs"]
        .as_array()
        .expect("jobs")
        .iter()
        .map(|job| &job["job_id"])
        .collect();
    assert!(ids.contains(&&jobs[1]["id"]), "{lane}");
}

#[actix_web::test]
async fn an_intervention_tells_its_price_and_changes_nothing() {
    let (harness, fixture) = ready().await;
    let jobs = four_jobs(&harness, &fixture).await;
    let before = planned(&harness).await;
    let ask = |what: Value| harness.post(Role::Coordinator, "/v1/schedule/preview", what);
    let id = &jobs[0]["id"];
    let held = ask(json!({"action": "hold", "job_id": id})).await.expect(200);
    assert_eq!(held["left_over"], json!([id]));
    // due two hours ago: late however it is planned
    let due = json!({"action": "due", "job_id": id, "due_at": "2026-05-02T06:00:00Z"});
    let late = ask(due).await.expect(200);
    assert_eq!(late["later"][0]["job_id"], *id, "{late}");
    assert!(late["later"][0]["late_s_after"].as_i64() > Some(7200));
    ask(json!({"action": "rush", "job_id": id, "level": "court"}))
        .await
        .expect(200);
    ask(json!({"action": "move", "job_id": id, "station_id": fixture.id("ST1")}))
        .await
        .expect(200);
    ask(json!({"action": "close_station", "station_id": fixture.id("ST1")}))
        .await
        .expect(200);
    let unknown = ask(json!({"action": "hold", "job_id": "job_01jt3k7q2m8c5v9x4b6n1d0fgh"})).await;
    assert_eq!(unknown.refusal(), (404, "not_found"));
    assert_eq!(planned(&harness).await, before);
}

#[actix_web::test]
async fn the_chain_of_a_job_adds_up_to_when_it_is_ready() {
    let (harness, fixture) = ready().await;
    let jobs = four_jobs(&harness, &fixture).await;
    planned(&harness).await;
    for job in &jobs {
        let path = format!("/v1/jobs/{}/why", job["id"].as_str().expect("an id"));
        let why = harness.get(Role::Desk, &path).await.expect(200);
        let plan = &why["plan"];
        let sum: i64 = plan["chain"]
            .as_array()
            .expect("a chain")
            .iter()
            .map(|link| link["seconds"].as_i64().expect("seconds"))
            .sum();
        let at = |member: &str| {
            let text = plan[member].as_str().expect("a time");
            chrono::DateTime::parse_from_rfc3339(text).expect("a time")
        };
        assert_eq!((at("ready_at") - at("from_at")).num_seconds(), sum);
        assert_eq!(plan["chain"].as_array().map(Vec::len), Some(4));
        assert!(!why["sentences"].as_array().expect("sentences").is_empty());
    }
}

#[actix_web::test]
async fn with_no_station_open_the_plan_says_so_of_every_job() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    for station in ["ST1", "ST2", "ST3"] {
        let close = format!("/v1/stations/{}/actions/close", fixture.id(station));
        harness
            .post(Role::Coordinator, &close, json!({}))
            .await
            .expect(200);
    }
    let schedule = planned(&harness).await;
    assert_eq!(schedule["plan"]["unplanned"][0]["job_id"], job["id"]);
    assert_eq!(schedule["plan"]["unplanned"][0]["why"], "No station is open.");
}

async fn shift(harness: &Harness, fixture: &Fixture, stringer: &str, action: &str, body: Value) -> Value {
    let path = format!("/v1/stringers/{}/actions/{action}", fixture.id(stringer));
    harness.post(Role::Coordinator, &path, body).await.expect(200)
}

#[actix_web::test]
async fn a_stringer_who_goes_off_leaves_what_is_on_the_machine_and_gives_the_rest_back() {
    let (harness, fixture) = ready().await;
    let jobs = four_jobs(&harness, &fixture).await;
    let to = |station: &str| json!({"station_id": fixture.id(station)});
    act(&harness, Role::Coordinator, &jobs[0], "assign", to("ST1"))
        .await
        .expect(200);
    act(&harness, Role::Stringer, &jobs[0], "start", scans(&jobs[0]))
        .await
        .expect(200);
    // the station is busy: the second one waits there, pinned
    act(&harness, Role::Coordinator, &jobs[1], "assign", to("ST1"))
        .await
        .expect(200);
    act(&harness, Role::Coordinator, &jobs[2], "assign", to("ST2"))
        .await
        .expect(200);
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
    let strung = act(
        &harness,
        Role::Stringer,
        &jobs[0],
        "phase",
        json!({"phase": "tied_off"}),
    )
    .await;
    strung.expect(200);
    let schedule = planned(&harness).await;
    assert_eq!(
        jobs_in(&schedule).len(),
        3,
        "the others are planned at the station that is left"
    );
    let on = shift(&harness, &fixture, "W1", "on", to("ST1")).await;
    assert_eq!(on["on_shift"], true);
    assert_eq!(lanes(&planned(&harness).await).len(), 2);
    let log = harness
        .get(Role::Coordinator, "/v1/events?limit=200")
        .await
        .expect(200);
    let kinds: Vec<&str> = log["items"]
        .as_array()
        .expect("entries")
        .iter()
        .filter_map(|event| event["type"].as_str())
        .collect();
    for kind in ["stringer.off", "station.closed", "stringer.on", "station.opened"] {
        assert!(kinds.iter().any(|one| one.ends_with(kind)), "{kind}: {kinds:?}");
    }
    let unknown = harness
        .post(
            Role::Coordinator,
            &format!("/v1/stringers/{}/actions/on", fixture.id("W3")),
            json!({"station_id": "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"}),
        )
        .await;
    assert_eq!(unknown.refusal().0, 422);
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
