//! The plan: kept with its number, followed by the stations, priced before it is changed, explained.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::desk::schedule::replan::replan;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, ready, taken_in};

pub(crate) async fn planned(harness: &Harness) -> Value {
    replan(&harness.desk, &harness.tournament).await.expect("a plan");
    harness.get(Role::Coordinator, "/v1/schedule").await.expect(200)
}

pub(crate) async fn four_jobs(harness: &Harness, fixture: &Fixture) -> Vec<Value> {
    let mut jobs = Vec::new();
    for racket in ["P1/1", "P1/2", "P2/1", "P3/1"] {
        jobs.push(taken_in(harness, fixture, racket).await);
    }
    jobs
}

pub(crate) fn lanes(schedule: &Value) -> &Vec<Value> {
    schedule["plan"]["lanes"].as_array().expect("lanes")
}

pub(crate) fn jobs_in(schedule: &Value) -> Vec<&Value> {
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
    assert!(replan(desk, tournament).await.expect("a plan").anew);
    assert!(
        !replan(desk, tournament).await.expect("a look").anew,
        "its own entry is no event"
    );
    taken_in(&harness, &fixture, "P1/3").await;
    let stale = harness.get(Role::Desk, "/v1/schedule").await.expect(200);
    assert_eq!(stale["up_to_date"], false);
    assert!(replan(desk, tournament).await.expect("a plan").anew);
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
async fn a_pull_and_the_look_before_it_agree_while_the_plan_grows_old() {
    let (harness, fixture) = ready().await;
    four_jobs(&harness, &fixture).await;
    let schedule = planned(&harness).await;
    let (next_of, pull) = (
        |station: &str| format!("/v1/stations/{station}/next"),
        |station: &str| format!("/v1/stations/{station}/actions/pull"),
    );
    // the first planned job of every lane is held after the plan was made
    for lane in lanes(&schedule) {
        if let Some(first) = lane["jobs"][0]["job_id"].as_str() {
            let hold = format!("/v1/jobs/{first}/actions/hold");
            let held = harness
                .post(
                    Role::Coordinator,
                    &hold,
                    json!({"reason": "player asked to wait"}),
                )
                .await;
            held.expect(200);
        }
    }
    let mut pulled_any = false;
    for lane in lanes(&schedule) {
        let station = lane["station_id"].as_str().expect("an id");
        let next = harness.get(Role::Stringer, &next_of(station)).await.expect(200);
        let pulled = harness.post(Role::Stringer, &pull(station), json!({})).await;
        if next["next"].is_null() {
            assert_eq!(pulled.refusal(), (409, "nothing_waiting"));
        } else {
            assert_eq!(pulled.expect(200)["id"], next["next"]["id"]);
            pulled_any = true;
        }
    }
    assert!(pulled_any, "four jobs on three stations leave one to pull");
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

/// Two jobs pinned to a busy station: the later one first, and in the next plan the rushed one.
#[actix_web::test]
async fn pinned_jobs_stand_in_the_plan_as_the_station_will_pull_them() {
    let (harness, fixture) = ready().await;
    let first = taken_in(&harness, &fixture, "P1/1").await;
    let mut pinned = Vec::new();
    for (racket, due) in [
        ("P1/2", "2026-05-02T16:00:00Z"),
        ("P2/1", "2026-05-02T18:00:00Z"),
        ("P3/1", "2026-05-02T12:00:00Z"),
    ] {
        let mut body = fixture.hand_in(racket, KG, KG);
        body["due_at"] = json!(due);
        pinned.push(harness.post(Role::Desk, "/v1/jobs", body).await.expect(201));
    }
    let station = fixture.id("ST2");
    let to = json!({"station_id": station});
    // what is due at noon is left to the plan; the other two wait for this station alone
    for job in [&first, &pinned[1], &pinned[0]] {
        act(&harness, Role::Coordinator, job, "assign", to.clone())
            .await
            .expect(200);
    }
    agree(&harness, station, &[&pinned[0], &pinned[1]]).await;
    let rush = json!({"level": "rush"});
    act(&harness, Role::Coordinator, &pinned[1], "rush", rush)
        .await
        .expect(200);
    // before the next plan is made, and after
    agree(&harness, station, &[&pinned[1], &pinned[0]]).await;
    let schedule = planned(&harness).await;
    agree(&harness, station, &[&pinned[1], &pinned[0]]).await;
    let lane = lanes(&schedule).iter().find(|lane| lane["station_id"] == station);
    let lane = lane.expect("its lane")["jobs"].as_array().expect("jobs");
    assert_eq!(lane[0]["job_id"], pinned[1]["id"]);
    assert_eq!(lane[1]["job_id"], pinned[0]["id"]);
    assert!(lane[1]["start_at"].as_str() > lane[0]["start_at"].as_str());
    act(
        &harness,
        Role::Coordinator,
        &first,
        "unassign",
        json!({"reason": "another first"}),
    )
    .await
    .expect(200);
    let pull = format!("/v1/stations/{station}/actions/pull");
    let pulled = harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    assert_eq!(pulled["id"], pinned[1]["id"]);
}

/// Why, and the look before a pull, name these first, in this order.
async fn agree(harness: &Harness, station: &str, wanted: &[&Value]) {
    let next = format!("/v1/stations/{station}/next");
    let next = harness.get(Role::Stringer, &next).await.expect(200);
    assert_eq!(next["next"]["id"], wanted[0]["id"], "{next}");
    assert_eq!(next["choice"]["pick"]["why"], "pinned");
    assert_eq!(next["choice"]["runners_up"][0], wanted[1]["id"], "{next}");
    for (ahead, job) in wanted.iter().enumerate() {
        let why = format!("/v1/jobs/{}/why", job["id"].as_str().expect("an id"));
        let why = harness.get(Role::Desk, &why).await.expect(200);
        assert_eq!(why["ahead"], ahead, "{why}");
        assert_eq!(why["plan"]["station_id"], station);
        let before: Vec<_> = wanted[..ahead].iter().map(|job| &job["id"]).collect();
        assert_eq!(why["plan"]["before"], json!(before));
    }
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
