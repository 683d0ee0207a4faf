//! Where players collect: a setting of the tournament like its others.
use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::harness::Harness;

/// The longest text that is taken: 120 characters, each three bytes long in UTF-8.
fn longest() -> String {
    "会".repeat(120)
}

#[actix_web::test]
async fn the_place_to_collect_is_set_read_corrected_and_taken_back() {
    let harness = Harness::start().await;
    let path = format!("/v1/tournaments/{}", harness.tournament);
    let told = async || harness.get(Role::Desk, &path).await.expect(200)["collect_at"].clone();
    assert_eq!(told().await, Value::Null);
    for (sent, kept) in [
        (
            json!("  Gate B, beside Court 1 "),
            json!("Gate B, beside Court 1"),
        ),
        (json!(longest()), json!(longest())),
        (json!("   "), Value::Null),
        (json!("Gate C"), json!("Gate C")),
        (Value::Null, Value::Null),
    ] {
        let changed = harness
            .patch_current(Role::Admin, &path, json!({"collect_at": sent}))
            .await
            .expect(200);
        assert_eq!(changed["collect_at"], kept);
        assert_eq!(told().await, kept);
        assert_eq!(changed["photos_kept_days"], 30, "what was not named stays");
    }
}

#[actix_web::test]
async fn a_place_that_is_too_long_or_of_several_lines_is_refused_by_its_name() {
    let harness = Harness::start().await;
    let path = format!("/v1/tournaments/{}", harness.tournament);
    let kept = json!({"collect_at": "Gate B"});
    harness.patch_current(Role::Admin, &path, kept).await.expect(200);
    for wrong in [longest() + "。", "Gate B\nCourt 1".to_owned()] {
        let refused = harness
            .patch_current(Role::Admin, &path, json!({"collect_at": wrong}))
            .await;
        assert_eq!((refused.status, refused.first_pointer()), (422, "/collect_at"));
    }
    let forbidden = harness
        .patch_current(Role::Coordinator, &path, json!({"collect_at": "Gate C"}))
        .await;
    assert_eq!(forbidden.refusal(), (403, "role_forbidden"));
    let now = harness.get(Role::Desk, &path).await;
    let version = now.header("ETag").to_owned();
    assert_eq!(now.expect(200)["collect_at"], "Gate B");

    let french = harness
        .signed(Method::PATCH, Role::Admin, &path)
        .insert_header(("Content-Type", "application/merge-patch+json"))
        .insert_header(("Accept-Language", "fr"))
        .insert_header(("If-Match", version))
        .set_payload(json!({"collect_at": longest() + "。"}).to_string());
    let french = harness.ask(french).await;
    assert_eq!(
        french.json["errors"][0]["detail"],
        "Donnez au plus 120 caractères, sans saut de ligne."
    );
}
