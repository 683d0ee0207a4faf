//! Rackets that came over the counter together are strung together.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{act, ready};
use crate::schedule::{lanes, planned};

/// The rackets of one drop-off of a new player: all alike, for the same time.
async fn dropped_off(
    harness: &Harness,
    fixture: &Fixture,
    name: &str,
    strings: (&str, &str),
    rackets: usize,
) -> Value {
    let player = json!({"name": {"display": name}});
    let player = harness.post(Role::Desk, "/v1/players", player).await.expect(201);
    let mut orders = Vec::new();
    for number in 1..=rackets {
        let racket =
            json!({"player_id": player["id"], "frame_id": fixture.id("F1"), "number": number.to_string()});
        let racket = harness.post(Role::Desk, "/v1/rackets", racket).await.expect(201);
        let mut order = fixture.hand_in("P1/1", ("24", "kg"), ("23", "kg"));
        order["racket_id"] = racket["id"].clone();
        order["spec"]["mains"]["string"]["string_id"] = json!(fixture.id(strings.0));
        order["spec"]["crosses"]["string"]["string_id"] = json!(fixture.id(strings.1));
        orders.push(order);
    }
    let batch = json!({"jobs": orders});
    harness
        .post(Role::Desk, "/v1/jobs/batch", batch)
        .await
        .expect(201)
}

/// Station 1 alone is open.
async fn one_station(harness: &Harness, fixture: &Fixture) {
    for station in ["ST2", "ST3"] {
        let close = format!("/v1/stations/{}/actions/close", fixture.id(station));
        harness
            .post(Role::Coordinator, &close, json!({}))
            .await
            .expect(200);
    }
}

/// Station 1 pulls its next job and strings it, up to its check; the plan follows each of it.
async fn next_strung(harness: &Harness, fixture: &Fixture, strings: (&str, &str)) -> Value {
    planned(harness).await;
    let pull = format!("/v1/stations/{}/actions/pull", fixture.id("ST1"));
    let job = harness.post(Role::Stringer, &pull, json!({})).await.expect(200);
    planned(harness).await;
    let scans = json!({"tag": job["tag_code"], "mains": strings.0, "crosses": strings.1});
    act(harness, Role::Stringer, &job, "start", scans)
        .await
        .expect(200);
    planned(harness).await;
    harness.pass_minutes(20);
    for (action, body) in [("phase", json!({"phase": "tied_off"})), ("finish", json!({}))] {
        act(harness, Role::Stringer, &job, action, body).await.expect(200);
    }
    job
}

#[actix_web::test]
async fn a_station_strings_one_drop_off_back_to_back_among_others_that_cost_the_same() {
    let (harness, fixture) = ready().await;
    one_station(&harness, &fixture).await;
    for name in ["Example R1", "Example R2", "Example R3"] {
        dropped_off(&harness, &fixture, name, ("SA", "SB"), 3).await;
        harness.pass_minutes(1);
    }
    let mut owners = Vec::new();
    let mut numbers = Vec::new();
    for _ in 0..9 {
        let job = next_strung(&harness, &fixture, ("String A", "String B")).await;
        owners.push(job["player"]["id"].clone());
        numbers.push(job["racket"]["number"].clone());
    }
    let changes = owners.windows(2).filter(|two| two[0] != two[1]).count();
    assert_eq!(changes, 2, "{owners:?}");
    for of_one in numbers.chunks(3) {
        assert_eq!(of_one, ["1", "2", "3"].map(Value::from), "{numbers:?}");
    }
}

#[actix_web::test]
async fn what_a_station_strung_last_is_still_on_it_so_the_drop_off_goes_on_before_another_string() {
    const A: ((&str, &str), (&str, &str)) = (("SA", "SB"), ("String A", "String B"));
    const B: ((&str, &str), (&str, &str)) = (("SB", "SA"), ("String B", "String A"));
    for (own, other) in [(A, B), (B, A)] {
        let (harness, fixture) = ready().await;
        one_station(&harness, &fixture).await;
        let two = dropped_off(&harness, &fixture, "Example R1", own.0, 2).await;
        let first = next_strung(&harness, &fixture, own.1).await;
        assert_eq!(first["id"], two[0]["id"]);
        // while it is checked, two more come in for the same time
        dropped_off(&harness, &fixture, "Example R2", other.0, 2).await;
        let second = next_strung(&harness, &fixture, own.1).await;
        assert_eq!(second["id"], two[1]["id"], "{second}");
    }
}

#[actix_web::test]
async fn rackets_of_one_drop_off_are_planned_in_the_order_in_which_they_came() {
    let (harness, fixture) = ready().await;
    for round in 0..4 {
        let player = harness
            .post(
                Role::Desk,
                "/v1/players",
                json!({"name": {"display": format!("Example R{round}")}}),
            )
            .await
            .expect(201);
        let mut orders = Vec::new();
        for number in 1..=3 {
            let racket = json!({"player_id": player["id"], "frame_id": fixture.id("F1"), "number": number.to_string()});
            let racket = harness.post(Role::Desk, "/v1/rackets", racket).await.expect(201);
            let mut order = fixture.hand_in("P1/1", ("24", "kg"), ("23", "kg"));
            order["racket_id"] = racket["id"].clone();
            orders.push(order);
        }
        let taken = harness
            .post(Role::Desk, "/v1/jobs/batch", json!({"jobs": orders}))
            .await
            .expect(201);
        let place = |id: &Value| {
            taken
                .as_array()
                .and_then(|all| all.iter().position(|job| job["id"] == *id))
        };
        let plan = planned(&harness).await;
        for lane in lanes(&plan) {
            let jobs = lane["jobs"].as_array().expect("jobs").iter();
            let places: Vec<usize> = jobs.filter_map(|job| place(&job["job_id"])).collect();
            assert!(places.is_sorted(), "round {round}: {places:?} in {lane}");
        }
    }
}
