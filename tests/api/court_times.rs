//! Orders of play and events of the courts through the door, and the jobs that follow them.
use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role::{Coordinator, Desk, Referee};

use crate::fixtures::{self, Fixtures};
use crate::harness::{Harness, Reply};

pub(crate) const DAY: &str = "/v1/order-of-play/2026-05-02";

/// Two courts; the players of the third match are registered ones.
pub(crate) fn order(entered: &Fixtures, version: u32, first_start: &str) -> Value {
    let played = |id: &str, court: &str, seq: u32, start: Value, sides: Value| {
        json!({"id": id, "court": court, "seq": seq, "format": "bo3_tb", "draw": "WS", "round": "R16",
               "start": start, "sides": sides})
    };
    let followed_by = json!({"rule": "followed_by"});
    json!({
        "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": "2026-05-02", "version": version,
        "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false},
                   {"id": "C2", "label": "Court 2", "surface": "hard", "covered": true}],
        "matches": [
            played("M1", "C1", 1, json!({"rule": "starting_at", "time": first_start}), json!([["TBD"], ["TBD"]])),
            played("M2", "C1", 2, followed_by, json!([[entered.players["P1"]], ["TBD"]])),
            played("M3", "C2", 1, json!({"rule": "not_before", "time": "15:00"}), json!([["TBD"], ["TBD"]])),
        ],
    })
}

pub(crate) async fn put(harness: &Harness, body: &Value, etag: Option<&str>) -> Reply {
    let mut request = harness.signed(Method::PUT, Referee, DAY).set_json(body);
    if let Some(etag) = etag {
        request = request.insert_header(("If-Match", etag));
    }
    harness.ask(request).await
}

pub(crate) async fn events(harness: &Harness, lines: &str) -> Reply {
    let request = harness
        .signed(Method::POST, Referee, &format!("{DAY}/events"))
        .insert_header(("Idempotency-Key", harness.fresh_key()))
        .insert_header(("Content-Type", "application/x-ndjson"))
        .set_payload(lines.to_owned());
    harness.ask(request).await
}

/// A racket for the player's next match; its plain ready-by is far away.
async fn racket_for_the_match(harness: &Harness, entered: &Fixtures) -> Value {
    let string = |value: &str| json!({"string": {"string_id": entered.strings["SA"]}, "tension": {"value": value, "unit": "kg"}});
    let body = json!({
        "racket_id": entered.rackets["P1"][0], "purpose": "match", "due_at": "2026-05-02T20:00:00Z",
        "spec": {"pieces": "two", "mains": string("24"), "crosses": string("23")}, "condition": {"ok": true},
    });
    harness.post(Desk, "/v1/jobs", body).await.expect(201)
}

pub(crate) async fn due(harness: &Harness, job: &Value) -> String {
    let address = format!("/v1/jobs/{}", job["id"].as_str().expect("an id"));
    let job = harness.get(Desk, &address).await.expect(200);
    job["due_at"].as_str().expect("a time").to_owned()
}

#[actix_web::test]
async fn a_ready_by_follows_the_match_through_order_rain_and_walkover() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let job = racket_for_the_match(&harness, &entered).await;
    let applied = put(&harness, &order(&entered, 1, "11:00"), None)
        .await
        .expect(201);
    assert_eq!(applied["effect"]["new"], json!(["M1", "M2", "M3"]));
    assert_eq!(applied["effect"]["jobs"][0]["match_id"], "M2");
    let planned = due(&harness, &job).await;
    assert!(planned.as_str() < "2026-05-02T11:00", "{planned}");
    let address = format!("/v1/jobs/{}/why", job["id"].as_str().expect("an id"));
    let why = harness.get(Desk, &address).await.expect(200);
    assert_eq!(why["ready_for"]["match_id"], "M2");
    assert_eq!(why["ready_for"]["waits_for"], json!(["M1"]));
    assert_eq!(why["ready_for"]["chance_to_play"], 1.0);
    // the first match starts two hours later: so does the ready-by of the second
    let later = put(&harness, &order(&entered, 2, "13:00"), Some("\"1\""))
        .await
        .expect(200);
    assert_eq!(later["effect"]["moved"], json!(["M1"]));
    let moved = due(&harness, &job).await;
    assert!(moved > planned, "{planned} {moved}");
    // rain before the first ball: the open court moves, the covered one does not
    let covered = harness.get(Desk, "/v1/matches/M3").await.expect(200);
    let stop = json!({"reason": "rain", "expected_resume_at": "2026-05-02T14:00:00Z"});
    let stopped = harness
        .post(Referee, "/v1/courts/actions/stop", stop)
        .await
        .expect(200);
    assert_eq!(stopped["taken"], 1);
    assert!(due(&harness, &job).await > moved);
    assert_eq!(harness.get(Desk, "/v1/matches/M3").await.expect(200), covered);
    harness
        .post(Referee, "/v1/courts/actions/restart", json!({}))
        .await
        .expect(200);
    // the match is not played: nothing is cancelled, somebody is asked
    let walkover =
        r#"{"src":"referee","n":1,"at":"2026-05-02T08:00:00Z","match":"M2","type":"walkover","winner":2}"#;
    events(&harness, walkover).await.expect(200);
    let snags = harness.get(Desk, "/v1/snags").await.expect(200);
    assert_eq!(snags[0]["kind"], "match_not_played");
    assert_eq!(snags[0]["job_id"], job["id"]);
    // for the next round it keeps its time until the next match is known, and follows that
    let decide = format!("/v1/snags/{}/decisions", snags[0]["id"].as_str().expect("an id"));
    let next_round = json!({"choice": "for_next_round"});
    harness.post(Desk, &decide, next_round).await.expect(200);
    let state = harness
        .get(Desk, &format!("/v1/jobs/{}", job["id"].as_str().expect("an id")))
        .await
        .expect(200);
    assert_eq!(state["state"], "waiting");
    assert_eq!(state["follows_match"], true, "{state}");
}

#[actix_web::test]
async fn events_count_once_and_a_wrong_line_refuses_all_of_them() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    put(&harness, &order(&entered, 1, "09:30"), None)
        .await
        .expect(201);
    let started =
        r#"{"src":"referee","n":1,"at":"2026-05-02T07:40:00Z","match":"M1","type":"started","server":1}"#;
    let score = r#"{"src":"score","n":9,"at":"2026-05-02T07:58:00Z","match":"M1","type":"score","games":[3,1],"server":1}"#;
    // out of order, and one of them twice
    let taken = events(&harness, &format!("{score}\n{started}\n{started}\n"))
        .await
        .expect(200);
    assert_eq!(
        (&taken["taken"], taken["matches"][0]["state"].as_str()),
        (&json!(3), Some("on_court"))
    );
    let again = events(&harness, &format!("{started}\n{score}")).await.expect(200);
    assert_eq!((&again["taken"], &again["repeated"]), (&json!(0), &json!(2)));
    // one good line, one backward score, one unknown match: nothing is taken, both faults are told
    let ended = r#"{"src":"referee","n":3,"at":"2026-05-02T07:59:30Z","courts":["C1"],"type":"suspended"}"#;
    let back = r#"{"src":"score","n":10,"at":"2026-05-02T07:59:00Z","match":"M1","type":"score","games":[2,1],"server":1}"#;
    let unknown = r#"{"src":"score","n":11,"at":"2026-05-02T07:59:00Z","match":"M99","type":"called"}"#;
    let refused = events(&harness, &format!("{ended}\n{back}\n{unknown}")).await;
    assert_eq!(refused.status, 422, "{}", refused.text);
    let codes: Vec<_> = refused.json["errors"]
        .as_array()
        .expect("faults")
        .iter()
        .map(|fault| fault["code"].clone())
        .collect();
    assert_eq!(codes, [json!("score_backward"), json!("unknown_match")]);
    let court = harness.get(Desk, "/v1/matches/M1").await.expect(200);
    assert_eq!(court["state"], "on_court", "the good line did not count either");
}

#[actix_web::test]
async fn an_order_of_play_is_refused_whole_with_every_fault() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let mut wrong = order(&entered, 1, "11:00");
    wrong["matches"][0]["format"] = json!("bo9");
    wrong["matches"][1]["court"] = json!("C9");
    wrong["matches"][2]["sides"] = json!([["nobody"], ["TBD"]]);
    let refused = put(&harness, &wrong, None).await;
    assert_eq!(refused.status, 422, "{}", refused.text);
    let errors = refused.json["errors"].as_array().expect("faults");
    let told: Vec<_> = errors
        .iter()
        .map(|fault| {
            (
                fault["pointer"].as_str().unwrap_or(""),
                fault["code"].as_str().unwrap_or(""),
            )
        })
        .collect();
    for expected in [
        ("/matches/0/format", "unknown_format"),
        ("/matches/1/court", "unknown_court"),
        ("/matches/2/sides/0", "unknown_player"),
    ] {
        assert!(told.contains(&expected), "{told:?}");
    }
    assert_eq!(harness.get(Desk, DAY).await.refusal(), (404, "not_found"));
    // a preview changes nothing, the same order again changes nothing, an old version is told
    let preview = harness
        .signed(Method::POST, Coordinator, &format!("{DAY}/preview"))
        .set_json(order(&entered, 1, "11:00"));
    assert_eq!(
        harness.ask(preview).await.expect(200)["new"],
        json!(["M1", "M2", "M3"])
    );
    assert_eq!(harness.get(Desk, DAY).await.status, 404);
    put(&harness, &order(&entered, 1, "11:00"), None)
        .await
        .expect(201);
    assert_eq!(
        put(&harness, &order(&entered, 1, "11:00"), None)
            .await
            .refusal()
            .0,
        428
    );
    let same = put(&harness, &order(&entered, 1, "11:00"), Some("\"1\"")).await;
    assert_eq!(same.header("etag"), "\"1\"");
    assert_eq!(
        put(&harness, &order(&entered, 2, "12:00"), Some("\"7\""))
            .await
            .refusal(),
        (412, "stale_version")
    );
}

#[actix_web::test]
async fn what_goes_out_in_each_form_comes_back_the_same() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    put(&harness, &order(&entered, 1, "11:00"), None)
        .await
        .expect(201);
    for form in ["application/json", "text/csv", "text/calendar"] {
        let asked = harness
            .signed(Method::GET, Desk, DAY)
            .insert_header(("Accept", form));
        let out = harness.ask(asked).await;
        assert_eq!(out.status, 200, "{form}: {}", out.text);
        let back = harness
            .signed(Method::POST, Coordinator, &format!("{DAY}/preview"))
            .insert_header(("Content-Type", form))
            .set_payload(out.text.clone());
        let effect = harness.ask(back).await.expect(200);
        for kind in ["new", "gone", "moved", "changed"] {
            assert_eq!(effect[kind], json!([]), "{form}: {kind}");
        }
    }
}

/// A match that was interrupted overnight brings its score to the next day and stands on both.
#[actix_web::test]
async fn a_match_on_two_days_is_told_apart_by_its_day() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    put(&harness, &order(&entered, 1, "11:00"), None)
        .await
        .expect(201);
    let mut next = order(&entered, 1, "10:00");
    next["day"] = json!("2026-05-03");
    let sent = harness
        .signed(Method::PUT, Referee, "/v1/order-of-play/2026-05-03")
        .set_json(&next);
    harness.ask(sent).await.expect(201);
    for (address, day) in [
        ("/v1/matches/M2", "2026-05-03"),
        ("/v1/matches/M2?date=2026-05-03", "2026-05-03"),
        ("/v1/matches/M2?date=2026-05-02", "2026-05-02"),
    ] {
        let played = harness.get(Coordinator, address).await.expect(200);
        assert_eq!(played["day"], day, "{address}");
    }
    let none = harness.get(Coordinator, "/v1/matches/M2?date=2026-05-04").await;
    assert_eq!(none.status, 404);
}
