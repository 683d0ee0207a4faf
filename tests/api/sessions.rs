//! Signing in, going on, signing out; wrong secrets cost time and tries.
use actix_web::http::Method;
use actix_web::test::TestRequest;
use chrono::TimeDelta;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::harness::{Harness, Reply, found};

const PASSWORD: &str = "nine courts and a roof";

async fn open_door(harness: &Harness, path: &str, body: Value) -> Reply {
    harness.ask(TestRequest::post().uri(path).set_json(body)).await
}

async fn sign_in(harness: &Harness, password: &str) -> Reply {
    open_door(
        harness,
        "/v1/sessions",
        json!({"sign_in": "Counter", "password": password}),
    )
    .await
}

async fn with_token(harness: &Harness, method: Method, path: &str, token: &Value) -> Reply {
    let token = token.as_str().expect("a token");
    let request = TestRequest::with_uri(path).method(method);
    harness
        .ask(request.insert_header(("Authorization", format!("Bearer {token}"))))
        .await
}

async fn with_counter() -> Harness {
    let harness = Harness::start().await;
    let account = json!({"sign_in": "counter", "display_name": "Example B", "role": "desk",
        "password": PASSWORD, "pin": "4071"});
    let added = harness.post(Role::Admin, "/v1/accounts", account).await;
    assert!(!added.text.contains(PASSWORD), "{}", added.text);
    let added = added.expect(201);
    assert_eq!(
        (&added["has_password"], &added["has_pin"]),
        (&json!(true), &json!(true))
    );
    harness
}

#[actix_web::test]
async fn a_password_opens_a_session_that_knows_who_asks() {
    let harness = with_counter().await;
    let session = sign_in(&harness, PASSWORD).await;
    assert_eq!(session.header("Cache-Control"), "no-store");
    let session = session.expect(201);
    assert_eq!(session["role"], "desk");
    assert_eq!(session["tournament_id"], json!(harness.tournament));
    let me = with_token(&harness, Method::GET, "/v1/me", &session["access_token"])
        .await
        .expect(200);
    assert_eq!(me["account"]["sign_in"], "counter");
    assert_eq!(me["tournament"]["time_zone"], "Europe/Paris");
    let may = me["permissions"].as_array().expect("a list");
    assert!(may.contains(&json!("intake")) && !may.contains(&json!("manage_access")));
}

#[actix_web::test]
async fn an_unknown_name_and_a_wrong_password_are_refused_alike() {
    let harness = with_counter().await;
    let wrong = sign_in(&harness, "eight courts and a roof").await;
    let unknown = json!({"sign_in": "nobody", "password": PASSWORD});
    let unknown = open_door(&harness, "/v1/sessions", unknown).await;
    assert_eq!(wrong.refusal(), (401, "sign_in_failed"));
    assert_eq!(unknown.refusal(), (401, "sign_in_failed"));
    assert_eq!(wrong.json["detail"], unknown.json["detail"]);
}

#[actix_web::test]
async fn wrong_passwords_use_up_the_tries_of_the_name_alone() {
    let harness = with_counter().await;
    for _ in 0..10 {
        assert_eq!(sign_in(&harness, "wrong").await.status, 401);
    }
    let refused = sign_in(&harness, PASSWORD).await;
    assert_eq!(refused.refusal(), (429, "too_many_tries"));
    assert_eq!(refused.header("Retry-After"), "30");
    let other = json!({"sign_in": "nobody", "password": "wrong"});
    assert_eq!(open_door(&harness, "/v1/sessions", other).await.status, 401);
    harness.pass_wall(TimeDelta::seconds(30));
    sign_in(&harness, PASSWORD).await.expect(201);
}

#[actix_web::test]
async fn a_refresh_token_is_good_once() {
    let harness = with_counter().await;
    let first = sign_in(&harness, PASSWORD).await.expect(201);
    harness.pass_wall(TimeDelta::minutes(15));
    let old = with_token(&harness, Method::GET, "/v1/me", &first["access_token"]).await;
    assert_eq!(old.refusal(), (401, "token_expired"));
    let path = "/v1/sessions/current/refresh";
    let body = json!({"refresh_token": first["refresh_token"]});
    let second = open_door(&harness, path, body.clone()).await.expect(200);
    assert_eq!(second["session_id"], first["session_id"]);
    with_token(&harness, Method::GET, "/v1/me", &second["access_token"])
        .await
        .expect(200);
    assert_eq!(
        open_door(&harness, path, body).await.refusal(),
        (401, "sign_in_failed")
    );
    let body = json!({"refresh_token": second["refresh_token"]});
    harness.pass_wall(TimeDelta::hours(17));
    assert_eq!(
        open_door(&harness, path, body).await.refusal(),
        (401, "sign_in_failed")
    );
}

#[actix_web::test]
async fn signing_out_ends_both_tokens_at_once() {
    let harness = with_counter().await;
    let session = sign_in(&harness, PASSWORD).await.expect(201);
    let out = with_token(
        &harness,
        Method::DELETE,
        "/v1/sessions/current",
        &session["access_token"],
    );
    out.await.expect(204);
    let after = with_token(&harness, Method::GET, "/v1/me", &session["access_token"]).await;
    assert_eq!(after.refusal(), (401, "token_invalid"));
    let body = json!({"refresh_token": session["refresh_token"]});
    let refreshed = open_door(&harness, "/v1/sessions/current/refresh", body).await;
    assert_eq!(refreshed.refusal(), (401, "sign_in_failed"));
}

#[actix_web::test]
async fn a_pin_works_on_a_registered_device_until_it_is_revoked() {
    let harness = with_counter().await;
    let tablet = json!({"name": "Tablet at the counter", "kind": "tablet"});
    let tablet = harness.post(Role::Admin, "/v1/devices", tablet).await.expect(201);
    let pin = |pin: &str| json!({"sign_in": "counter", "pin": pin, "device_token": tablet["token"]});
    let session = open_door(&harness, "/v1/sessions", pin("4071")).await.expect(201);
    assert_eq!(session["device_id"], tablet["id"]);
    assert_eq!(open_door(&harness, "/v1/sessions", pin("4072")).await.status, 401);
    let path = format!("/v1/devices/{}", tablet["id"].as_str().expect("an id"));
    harness.delete(Role::Admin, &path).await.expect(204);
    let after = with_token(&harness, Method::GET, "/v1/me", &session["access_token"]).await;
    assert_eq!(after.refusal(), (401, "token_invalid"));
    let again = open_door(&harness, "/v1/sessions", pin("4071")).await;
    assert_eq!(again.refusal(), (401, "sign_in_failed"));
}

#[actix_web::test]
async fn a_devices_token_is_told_once_and_never_kept() {
    let harness = Harness::start().await;
    let key = harness.fresh_key();
    let ask = || {
        harness
            .signed(Method::POST, Role::Admin, "/v1/devices")
            .insert_header(("Idempotency-Key", key.clone()))
            .set_json(json!({"name": "Wall", "kind": "wall"}))
    };
    let first = harness.ask(ask()).await.expect(201);
    assert!(first["token"].is_string());
    let second = harness.ask(ask()).await;
    assert_eq!(second.header("Idempotency-Replayed"), "true");
    let second = second.expect(201);
    assert_eq!(second["id"], first["id"]);
    assert_eq!(second.get("token"), None);
    let listed = harness.get(Role::Admin, "/v1/devices").await.expect(200);
    assert_eq!(listed["items"].as_array().map(Vec::len), Some(1));
    assert_eq!(listed["items"][0].get("token"), None);
}

#[actix_web::test]
async fn credentials_of_the_wrong_shape_name_what_is_missing() {
    let harness = Harness::start().await;
    for (body, pointer) in [
        (json!({"sign_in": "counter"}), "/password"),
        (json!({"sign_in": "counter", "pin": "4071"}), "/device_token"),
        (json!({"sign_in": "counter", "device_token": "x"}), "/pin"),
        (
            json!({"sign_in": "counter", "password": "x", "pin": "4071"}),
            "/password",
        ),
        (json!({"password": "x"}), "/sign_in"),
    ] {
        let refused = open_door(&harness, "/v1/sessions", body.clone()).await;
        assert_eq!(refused.refusal(), (422, "invalid_body"), "{body}");
        assert_eq!(refused.first_pointer(), pointer, "{body}");
    }
}

#[actix_web::test]
async fn one_sign_in_in_two_tournaments_asks_which() {
    let harness = with_counter().await;
    let other = found(&harness.desk, "Second Open").await;
    let account =
        json!({"sign_in": "counter", "display_name": "Example B", "role": "desk", "password": PASSWORD});
    let request = TestRequest::post()
        .uri("/v1/accounts")
        .insert_header((
            "Authorization",
            format!("Bearer {}", harness.token_in(&other, Role::Admin)),
        ))
        .insert_header(("Idempotency-Key", harness.fresh_key()));
    harness.ask(request.set_json(account)).await.expect(201);
    let asked = sign_in(&harness, PASSWORD).await;
    assert_eq!(asked.refusal(), (422, "invalid_body"));
    assert_eq!(asked.first_pointer(), "/tournament_id");
    assert_eq!(asked.json["tournaments"].as_array().map(Vec::len), Some(2));
    let chosen = json!({"sign_in": "counter", "password": PASSWORD, "tournament_id": other});
    let session = open_door(&harness, "/v1/sessions", chosen).await.expect(201);
    assert_eq!(session["tournament_id"], json!(other));
}

#[actix_web::test]
async fn stream_tickets_need_a_signed_in_caller() {
    let harness = Harness::start().await;
    let ticket = harness
        .post(Role::Stringer, "/v1/stream-tickets", json!({}))
        .await;
    assert_eq!(ticket.expect(201)["expires_in_s"], 30);
    let nobody = open_door(&harness, "/v1/stream-tickets", json!({})).await;
    assert_eq!(nobody.refusal(), (401, "not_signed_in"));
}
