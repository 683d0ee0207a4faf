//! Bad input, case by case: a clear answer, and nothing is changed.
use actix_web::http::Method;
use actix_web::test::TestRequest;
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use chrono::TimeDelta;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::harness::{Harness, Reply};
use crate::jobs::{KG, ready};

async fn newest(harness: &Harness) -> Value {
    let feed = harness.get(Role::Admin, "/v1/events?limit=1").await;
    feed.expect(200)["newest"].clone()
}

async fn with_token(harness: &Harness, token: &str) -> Reply {
    let request = TestRequest::get().uri("/v1/me");
    harness
        .ask(request.insert_header(("Authorization", format!("Bearer {token}"))))
        .await
}

#[actix_web::test]
async fn a_cracked_frame_is_taken_in_only_with_a_reason() {
    let (harness, fixture) = ready().await;
    let before = newest(&harness).await;
    let mut body = fixture.hand_in("P1/1", KG, KG);
    body["condition"] =
        json!({"damage": [{"place": "shoulders", "note": "crack at 2 o'clock", "cracked": true}]});
    let refused = harness.post(Role::Desk, "/v1/jobs", body.clone()).await;
    assert_eq!(refused.refusal(), (422, "frame_damaged"));
    assert_eq!(refused.first_pointer(), "/damage/0");
    assert_eq!(refused.json["override"]["allowed"], true);
    assert_eq!(newest(&harness).await, before);
    body["override"] = json!({"reason": "owner signed, own risk"});
    let taken = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    assert_eq!(taken["insisted"][0]["code"], "frame_damaged");
}

#[actix_web::test]
async fn d11_unknown_things_members_and_parameters_are_named_and_change_nothing() {
    let (harness, fixture) = ready().await;
    let before = newest(&harness).await;
    let racket = json!({"player_id": fixture.id("P1"), "frame_id": "frm_01jt3k7q2m8c5v9x4b6n1d0fgh"});
    let refused = harness.post(Role::Desk, "/v1/rackets", racket).await;
    assert_eq!(
        (refused.status, refused.first_pointer()),
        (422, "/frame_id"),
        "{}",
        refused.text
    );
    let mut body = fixture.hand_in("P1/1", KG, KG);
    body["racket_id"] = json!("rkt_01jt3k7q2m8c5v9x4b6n1d0fgh");
    let refused = harness.post(Role::Desk, "/v1/jobs", body).await;
    assert_eq!(
        (refused.status, refused.first_pointer()),
        (422, "/racket_id"),
        "{}",
        refused.text
    );
    let mut body = fixture.hand_in("P1/1", KG, KG);
    body["spec"]["mains"]["colour"] = json!("red");
    let refused = harness.post(Role::Desk, "/v1/jobs", body).await;
    assert_eq!(refused.refusal(), (422, "invalid_body"));
    assert!(refused.text.contains("colour"), "{}", refused.text);
    let refused = harness.get(Role::Desk, "/v1/players?colour=red").await;
    assert_eq!(refused.refusal(), (400, "unknown_parameter"));
    assert_eq!(newest(&harness).await, before);
}

#[actix_web::test]
async fn d11_a_body_that_is_too_large_no_json_or_of_another_kind_is_refused() {
    let (harness, _fixture) = ready().await;
    let send = |kind: &'static str, body: String| {
        let request = harness.signed(Method::POST, Role::Desk, "/v1/players");
        let request = request.insert_header(("Idempotency-Key", harness.fresh_key()));
        harness.ask(request.insert_header(("Content-Type", kind)).set_payload(body))
    };
    let name = "x".repeat(1024 * 1024);
    let large = send(
        "application/json",
        format!("{{\"name\":{{\"display\":\"{name}\"}}}}"),
    )
    .await;
    assert_eq!(large.refusal(), (413, "body_too_large"));
    let broken = send("application/json", "{\"name\":".to_owned()).await;
    assert_eq!(broken.refusal(), (400, "malformed_json"));
    let text = send("text/plain", "{}".to_owned()).await;
    assert_eq!(text.refusal(), (415, "unsupported_media_type"));
    for reply in [large, broken, text] {
        assert!(
            reply
                .header("Content-Type")
                .starts_with("application/problem+json")
        );
    }
}

#[actix_web::test]
async fn forged_expired_and_unsigned_tokens_open_nothing() {
    let (harness, _fixture) = ready().await;
    let token = harness.token(Role::Admin);
    assert_eq!(with_token(&harness, &token).await.status, 200);
    let parts: Vec<&str> = token.split('.').collect();
    let coded = |value: &Value| URL_SAFE_NO_PAD.encode(value.to_string());
    let decoded = URL_SAFE_NO_PAD.decode(parts[1]).expect("claims");
    let mut claims: Value = serde_json::from_slice(&decoded).expect("claims are JSON");
    let unsigned = format!(
        "{}.{}.",
        coded(&json!({"alg": "none", "typ": "at+jwt"})),
        parts[1]
    );
    let other_algorithm = format!(
        "{}.{}.{}",
        coded(&json!({"alg": "RS256", "typ": "at+jwt"})),
        parts[1],
        parts[2]
    );
    claims["role"] = json!("coordinator");
    let changed = format!("{}.{}.{}", parts[0], coded(&claims), parts[2]);
    for (forged, what) in [
        (unsigned, "alg none"),
        (other_algorithm, "another algorithm"),
        (changed, "changed claims"),
        ("no.token.at-all".to_owned(), "noise"),
    ] {
        let refused = with_token(&harness, &forged).await;
        assert_eq!(refused.refusal(), (401, "token_invalid"), "{what}");
        assert!(refused.header("WWW-Authenticate").starts_with("Bearer"), "{what}");
    }
    harness.pass_wall(TimeDelta::minutes(20));
    assert_eq!(
        with_token(&harness, &token).await.refusal(),
        (401, "token_expired")
    );
}

#[actix_web::test]
async fn a_plan_outside_the_sports_limits_names_the_limit_and_its_source() {
    let (harness, _fixture) = ready().await;
    let file: Value = serde_json::from_str(include_str!("../data/fixtures.json")).expect("fixtures");
    let mut frame = file["frames"][0].clone();
    frame.as_object_mut().expect("a frame").remove("key");
    frame["inside_mm"] = json!({"length": 400.0, "width": 260.0});
    let string = |value: &str| json!({"string": {"name": "Own"}, "tension": {"value": value, "unit": "kg"}});
    let asked =
        json!({"frame": frame, "spec": {"pieces": "two", "mains": string("24"), "crosses": string("23")}});
    let refused = harness.post(Role::Stringer, "/v1/plans", asked).await;
    assert_eq!(refused.refusal(), (422, "outside_limits"), "{}", refused.text);
    assert_eq!(refused.first_pointer(), "/frame/inside_mm/length");
    // ITF Rules of Tennis, appendix II: the hitting surface is at most 394 mm long
    assert!(
        refused.text.contains("394 mm") && refused.text.contains("ITF"),
        "{}",
        refused.text
    );
    let listed = harness.post(Role::Desk, "/v1/frames", frame).await;
    assert_eq!(listed.refusal(), (422, "outside_limits"));
}
