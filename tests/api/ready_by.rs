//! What a job's ready-by follows: a named match, the player's next one, or a plain time.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role::Desk;

use crate::court_times::{due, order, put};
use crate::fixtures::{self, Fixtures};
use crate::harness::{Harness, Reply};

/// Hands the n-th racket of the first player in, with these members.
async fn hand_in(harness: &Harness, entered: &Fixtures, racket: usize, members: Value) -> Reply {
    let string = |value: &str| json!({"string": {"string_id": entered.strings["SA"]}, "tension": {"value": value, "unit": "kg"}});
    let mut body = json!({
        "racket_id": entered.rackets["P1"][racket],
        "spec": {"pieces": "two", "mains": string("24"), "crosses": string("23")}, "condition": {"ok": true},
    });
    for (name, value) in members.as_object().expect("members") {
        body[name] = value.clone();
    }
    harness.post(Desk, "/v1/jobs", body).await
}

fn fault(reply: &Reply) -> (String, String) {
    let first = &reply.json["errors"][0];
    let text = |name: &str| first[name].as_str().unwrap_or_default().to_owned();
    (text("pointer"), text("code"))
}

async fn changed(harness: &Harness, job: &Value, evidence: Value) -> Value {
    let address = format!("/v1/jobs/{}/actions/due", job["id"].as_str().expect("an id"));
    harness.post(Desk, &address, evidence).await.expect(200)
}

#[actix_web::test]
async fn a_match_named_or_next_gives_the_ready_by_at_once_and_moves_it_afterwards() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    put(&harness, &order(&entered, 1, "11:00"), None)
        .await
        .expect(201);
    let next = json!({"follows_match": true});
    let next = hand_in(&harness, &entered, 0, next).await.expect(201);
    assert_eq!(
        (&next["match_id"], &next["follows_match"]),
        (&json!("M2"), &json!(true))
    );
    // the third match has places that nobody has yet: this player may come to play it
    let named = json!({"match_id": "M3"});
    let named = hand_in(&harness, &entered, 1, named).await.expect(201);
    assert_eq!(
        (&named["match_id"], &named["follows_match"]),
        (&json!("M3"), &json!(false))
    );
    // not before 15:00 in Paris, less 35 minutes
    assert_eq!(named["due_at"], "2026-05-02T12:25:00Z");
    let plain = changed(&harness, &named, json!({"due_at": "2026-05-02T16:00:00Z"})).await;
    assert_eq!(
        (&plain["match_id"], &plain["due_at"]),
        (&Value::Null, &json!("2026-05-02T16:00:00Z"))
    );
    let before = due(&harness, &next).await;
    let mut later = order(&entered, 2, "13:00");
    later["matches"][2]["start"]["time"] = json!("17:00");
    put(&harness, &later, Some("\"1\"")).await.expect(200);
    assert!(
        due(&harness, &next).await > before,
        "it follows the player's next match"
    );
    assert_eq!(
        due(&harness, &named).await,
        "2026-05-02T16:00:00Z",
        "a plain time stays"
    );
    let again = changed(&harness, &named, json!({"match_id": "M3"})).await;
    assert_eq!(again["due_at"], "2026-05-02T14:25:00Z");
}

#[actix_web::test]
async fn a_ready_by_that_nothing_gives_is_refused_with_the_way_out() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let refused = |reply: Reply| {
        assert_eq!(reply.status, 422, "{}", reply.text);
        fault(&reply)
    };
    let place = |pointer: &str, code: &str| (pointer.to_owned(), code.to_owned());
    let none = hand_in(&harness, &entered, 0, json!({})).await;
    assert_eq!(refused(none), place("/due_at", "missing_member"));
    // a match is to be followed, but none is known and no time is given until then
    let early = hand_in(&harness, &entered, 0, json!({"purpose": "match"})).await;
    assert_eq!(refused(early), place("/due_at", "missing_member"));
    let mut known = order(&entered, 1, "11:00");
    known["matches"][0]["sides"] = json!([[entered.players["P2"]], [entered.players["P3"]]]);
    put(&harness, &known, None).await.expect(201);
    let stranger = hand_in(&harness, &entered, 0, json!({"match_id": "M1"})).await;
    assert_eq!(refused(stranger), place("/match_id", "invalid_value"));
    let unknown = hand_in(&harness, &entered, 0, json!({"match_id": "M99"})).await;
    assert_eq!(refused(unknown), place("/match_id", "unknown_reference"));
    let both = json!({"match_id": "M2", "due_at": "2026-05-02T16:00:00Z"});
    let both = hand_in(&harness, &entered, 0, both).await;
    assert_eq!(refused(both), place("/due_at", "invalid_value"));
    let jobs = harness.get(Desk, "/v1/jobs").await.expect(200);
    assert_eq!(jobs["items"], json!([]));
}
