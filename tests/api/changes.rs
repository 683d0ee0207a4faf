//! Changes from a version, patches, repeats: what holds for every resource, shown on players.
use actix_web::http::Method;
use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::fixtures;
use crate::harness::Harness;
use crate::set_up::names;

#[actix_web::test]
async fn a_change_needs_the_version_it_was_made_from() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let path = format!("/v1/players/{}", entered.players["P2"]);
    let change = json!({"country": "XX", "name": {"latin": "O"}});
    let without = harness
        .signed(Method::PATCH, Role::Desk, &path)
        .set_json(&change)
        .insert_header(("Content-Type", "application/merge-patch+json"));
    assert_eq!(harness.ask(without).await.refusal(), (428, "version_required"));
    let changed = harness.patch(Role::Desk, &path, "\"1\"", change.clone()).await;
    assert_eq!(changed.header("ETag"), "\"2\"");
    let changed = changed.expect(200);
    assert_eq!(
        changed["name"],
        json!({"display": "O", "latin": "O", "sort": null})
    );
    assert_eq!(changed["language"], "ko");
    let stale = harness.patch(Role::Desk, &path, "\"1\"", change).await;
    assert_eq!(stale.refusal(), (412, "stale_version"));
    assert_eq!(stale.json["current"]["version"], 2);
    let known = harness
        .signed(Method::GET, Role::Desk, &path)
        .insert_header(("If-None-Match", "\"2\""));
    assert_eq!(harness.ask(known).await.status, 304);
}

#[actix_web::test]
async fn a_patch_names_what_it_does_not_know_and_what_cannot_go() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let path = format!("/v1/players/{}", entered.players["P1"]);
    for (patch, pointer) in [
        (json!({"nickname": null}), "/nickname"),
        (json!({"name": {"display": null}}), "/name/display"),
        (json!({"delegates": "Example C"}), "/delegates"),
        (json!({"name": {"display": "  "}}), "/name/display"),
    ] {
        let refused = harness.patch_current(Role::Desk, &path, patch.clone()).await;
        assert_eq!(refused.status, 422, "{patch}: {}", refused.text);
        assert_eq!(refused.first_pointer(), pointer, "{patch}");
    }
    assert_eq!(harness.get(Role::Desk, &path).await.header("ETag"), "\"1\"");
}

#[actix_web::test]
async fn a_repeat_under_one_key_registers_nobody_twice() {
    let harness = Harness::start().await;
    let key = harness.fresh_key();
    let ask = |name: &str| {
        harness
            .signed(Method::POST, Role::Desk, "/v1/players")
            .insert_header(("Idempotency-Key", key.clone()))
            .set_json(json!({"name": {"display": name}}))
    };
    let first = harness.ask(ask("Example C")).await;
    let second = harness.ask(ask("Example C")).await;
    assert_eq!(second.header("Idempotency-Replayed"), "true");
    assert_eq!(second.header("Location"), first.header("Location"));
    assert_eq!(second.json, first.json);
    let other = harness.ask(ask("Example D")).await;
    assert_eq!(other.refusal(), (422, "idempotency_key_reused"));
    let keyless = harness.signed(Method::POST, Role::Desk, "/v1/players");
    let keyless = keyless.set_json(json!({"name": {"display": "Example E"}}));
    assert_eq!(
        harness.ask(keyless).await.refusal(),
        (400, "idempotency_key_missing")
    );
    let list = harness.get(Role::Desk, "/v1/players").await.expect(200);
    assert_eq!(names(&list), ["Example C"]);
}
