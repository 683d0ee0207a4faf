//! Before a day of play: what it will bring, how many stations it takes, and who works, published.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role::{Coordinator, Desk, Stringer};

use crate::court_times::{order, put};
use crate::fixtures::{self, Fixtures};
use crate::harness::Harness;

const DAY: &str = "2026-05-02";

async fn with_order() -> (Harness, Fixtures) {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    put(&harness, &order(&entered, 0, "11:00"), None)
        .await
        .expect(201);
    (harness, entered)
}

async fn asked(harness: &Harness, what: &str, query: &str) -> Value {
    let path = format!("/v1/{what}/{DAY}{query}");
    let mut reply = harness.get(Coordinator, &path).await;
    // a slow machine may need more than one question, and says so
    for _ in 0..10 {
        if reply.status != 503 {
            break;
        }
        assert!(reply.header("Retry-After").parse::<u64>().is_ok());
        reply = harness.get(Coordinator, &path).await;
    }
    reply.expect(200)
}

fn in_order(band: &Value) -> bool {
    let at = |name: &str| band[name].as_f64().expect("a number");
    at("p10") <= at("p50") && at("p50") <= at("p90")
}

#[actix_web::test]
async fn a_forecast_is_a_band_for_every_half_hour_and_every_string() {
    let (harness, entered) = with_order().await;
    let told = asked(&harness, "forecast", "?stations=2").await;
    assert_eq!((&told["day"], &told["matches"]), (&json!(DAY), &json!(3)));
    assert!(in_order(&told["rackets"]), "{told}");
    let hours = told["half_hours"].as_array().expect("half hours");
    assert!(
        hours
            .iter()
            .all(|one| in_order(&one["coming"]) && in_order(&one["due"])),
        "{told}"
    );
    // what comes in over the day is what the day has, and everything that comes is due
    let sum = |name: &str| -> f64 { hours.iter().filter_map(|one| one[name]["mean"].as_f64()).sum() };
    let all = told["rackets"]["mean"].as_f64().expect("a mean");
    assert!(
        (sum("coming") - all).abs() < 0.05 && (sum("due") - all).abs() < 0.05,
        "{told}"
    );
    assert_eq!(hours[0]["from_at"].as_str().map(|at| &at[..10]), Some(DAY));
    let strings = told["strings"].as_array().expect("strings");
    assert_eq!(strings.len(), entered.strings.len());
    for string in strings {
        let (asked, left) = (&string["asked_mm"]["p90"], &string["left_mm"]);
        let short = asked.as_i64().unwrap_or(0) - left.as_i64().unwrap_or(0);
        assert_eq!(string["short_mm"], short.max(0), "{string}");
    }
}

#[actix_web::test]
async fn staffing_tells_the_odds_from_two_fewer_to_two_more() {
    let (harness, _) = with_order().await;
    let told = asked(&harness, "staffing", "?stations=3&opens=08:00").await;
    let lines = told["stations"].as_array().expect("lines");
    let numbers: Vec<_> = lines.iter().map(|line| line["stations"].as_u64()).collect();
    assert_eq!(numbers, (1..=5).map(Some).collect::<Vec<_>>());
    let ready = |line: &Value| line["ready_percent"]["mean"].as_f64().expect("a mean");
    assert!(
        lines.windows(2).all(|pair| ready(&pair[0]) <= ready(&pair[1])),
        "{told}"
    );
    // a racket that waits for one of k servers waits less often with more of them
    let waits = |line: &Value| line["chance_of_waiting"].as_f64().expect("a chance");
    assert!(
        lines.windows(2).all(|pair| waits(&pair[0]) >= waits(&pair[1])),
        "{told}"
    );
    // Erlang's formula for one server is the load itself
    let load = told["load_erlang"].as_f64().expect("a load");
    assert!((waits(&lines[0]) - load.min(1.0)).abs() < 0.002, "{told}");
    for line in lines {
        let none_late = (ready(line) - 100.0).abs() < 1e-9;
        assert_eq!(line["worst_from_at"].is_null(), none_late, "{line}");
    }
}

#[actix_web::test]
async fn what_cannot_be_played_is_refused_by_name() {
    let harness = Harness::start().await;
    let nothing = harness.get(Coordinator, "/v1/forecast/2026-05-02").await;
    assert_eq!(nothing.refusal(), (404, "not_found"));
    let (harness, _) = with_order().await;
    for (query, parameter) in [
        ("?stations=0", "stations"),
        ("?stations=61", "stations"),
        ("?opens=7:30", "opens"),
    ] {
        let refused = harness
            .get(Coordinator, &format!("/v1/staffing/{DAY}{query}"))
            .await;
        assert_eq!(refused.refusal(), (400, "invalid_parameter"), "{query}");
        assert!(refused.text.contains(parameter), "{}", refused.text);
    }
    let refused = harness.get(Desk, &format!("/v1/staffing/{DAY}")).await;
    assert_eq!(refused.refusal(), (403, "role_forbidden"));
}

#[actix_web::test]
async fn without_a_station_there_is_nothing_to_play_a_day_with() {
    let harness = Harness::start().await;
    let body = json!({
        "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": DAY, "version": 0,
        "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false}],
        "matches": [{"id": "M1", "court": "C1", "seq": 1, "format": "bo3_tb", "draw": "WS", "round": "R16",
                     "start": {"rule": "starting_at", "time": "11:00"}, "sides": [["TBD"], ["TBD"]]}],
    });
    put(&harness, &body, None).await.expect(201);
    let refused = harness.get(Coordinator, &format!("/v1/forecast/{DAY}")).await;
    assert_eq!(refused.refusal(), (422, "rule_refused"));
}

#[actix_web::test]
async fn shifts_are_published_whole_and_from_the_version_that_was_seen() {
    let (harness, entered) = with_order().await;
    let path = format!("/v1/shifts/{DAY}");
    assert_eq!(harness.get(Stringer, &path).await.refusal(), (404, "not_found"));
    let (stations, people): (Vec<_>, Vec<_>) = (
        entered.stations.values().collect(),
        entered.stringers.values().collect(),
    );
    let shift = |station: &str, who: Value, from: &str, to: &str| json!({"station_id": station, "stringer_id": who, "from": from, "to": to});
    let two = json!({"shifts": [
        shift(stations[0], json!(people[0]), "07:30", "15:00"),
        shift(stations[1], Value::Null, "09:00", "21:00"),
        shift(stations[0], json!(people[1]), "15:00", "25:30"),
    ]});
    let published = harness.put(Coordinator, &path, "\"0\"", two.clone()).await;
    assert_eq!(published.status, 201);
    let view = published.expect(201);
    assert_eq!((&view["stations"], &view["shifts"]), (&json!(2), &two["shifts"]));
    let told = harness.get(Stringer, &path).await.expect(200);
    assert_eq!(told, view);
    // the day is now played with them
    let staffing = asked(&harness, "staffing", "").await;
    assert_eq!(staffing["planned"], 2);
    let stale = harness.put(Coordinator, &path, "\"7\"", two).await;
    assert_eq!(stale.refusal(), (412, "stale_version"));
    let none = harness
        .put(Coordinator, &path, "\"1\"", json!({"shifts": []}))
        .await;
    assert_eq!(none.expect(200)["stations"], 0);
}

#[actix_web::test]
async fn shifts_with_faults_are_refused_whole_with_all_of_them() {
    let (harness, entered) = with_order().await;
    let (station, other) = (
        &entered.stations.values().next(),
        &entered.stations.values().nth(1),
    );
    let who = entered.stringers.values().next();
    let shift = |station: &Value, who: &Value, from: &str, to: &str| json!({"station_id": station, "stringer_id": who, "from": from, "to": to});
    let (station, other, who) = (json!(station), json!(other), json!(who));
    let body = json!({"shifts": [
        shift(&station, &who, "08:00", "12:00"),
        shift(&station, &Value::Null, "11:59", "13:00"),
        shift(&other, &who, "09:00", "10:00"),
        shift(&other, &Value::Null, "15:00", "14:00"),
        shift(&other, &Value::Null, "8:00", "30:00"),
        shift(&json!("stn_nobody"), &json!("sgr_nobody"), "08:00", "09:00"),
    ]});
    let refused = harness
        .put(Coordinator, &format!("/v1/shifts/{DAY}"), "\"0\"", body)
        .await;
    assert_eq!(refused.status, 422);
    let document: Value = serde_json::from_str(&refused.text).expect("a problem");
    let errors = document["errors"].as_array().expect("errors");
    let mut pointers: Vec<_> = errors
        .iter()
        .filter_map(|error| error["pointer"].as_str())
        .collect();
    pointers.sort_unstable();
    assert_eq!(
        pointers,
        [
            "/shifts/1/station_id",
            "/shifts/2/stringer_id",
            "/shifts/3/to",
            "/shifts/4/from",
            "/shifts/4/to",
            "/shifts/5/station_id",
            "/shifts/5/stringer_id",
        ]
    );
    let nothing = harness.get(Desk, &format!("/v1/shifts/{DAY}")).await;
    assert_eq!(nothing.refusal(), (404, "not_found"));
}
