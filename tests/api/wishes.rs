//! Wishes as they are spoken over the counter: resolved, read back, and only then stored.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::{Harness, Reply};
use crate::jobs::{KG, act, path, ready, strung, taken_in};

/// A hand-in that leaves the spec to the wish or to last time.
fn without_spec(fixture: &Fixture, racket: &str, more: &Value) -> Value {
    let mut body = fixture.hand_in(racket, KG, KG);
    let members = body.as_object_mut().expect("an object");
    members.remove("spec");
    members.extend(more.as_object().expect("an object").clone());
    body
}

async fn hear(harness: &Harness, fixture: &Fixture, said: &str) -> Reply {
    let address = format!("/v1/rackets/{}/wishes", fixture.id("P1/1"));
    harness.post(Role::Desk, &address, json!({"said": said})).await
}

pub(crate) async fn given_back(harness: &Harness, job: &Value) {
    let proof = json!({"tag": job["tag_code"], "proof": {"kind": "badge", "code": "badge-P1"}});
    act(harness, Role::Desk, job, "give_back", proof)
        .await
        .expect(200);
}

#[actix_web::test]
async fn a_wish_is_made_numbers_and_read_back_without_storing_anything() {
    let (harness, fixture) = ready().await;
    let heard = hear(&harness, &fixture, "24/23 kg").await.expect(200);
    assert_eq!(heard["outcome"], "resolved");
    assert_eq!(heard["read_back"], "Mains 24 kg, crosses 23 kg.");
    assert_eq!(heard["rackets"][0]["mains"]["value"], "24");
    let open = hear(&harness, &fixture, "24").await.expect(200);
    assert_eq!(
        (&open["outcome"], &open["what"]),
        (&json!("needs"), &json!("unit"))
    );
    assert!(
        open["choices"]
            .as_array()
            .is_some_and(|choices| !choices.is_empty())
    );
    let noise = hear(&harness, &fixture, "as tight as a drum").await;
    assert_eq!(noise.refusal(), (422, "wish_unclear"));
    assert_eq!(noise.first_pointer(), "/said");
    assert!(
        noise.text.contains("as tight as a drum"),
        "the words are quoted: {}",
        noise.text
    );
}

#[actix_web::test]
async fn a_wish_is_stored_only_with_the_sentence_that_was_read_back() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    given_back(&harness, &job).await;
    let wish = |read_back: Value| {
        let wish = json!({"as_said": "one kilo down on last time", "read_back": read_back});
        without_spec(&fixture, "P1/1", &json!({"wish": wish}))
    };
    let unread = harness.post(Role::Desk, "/v1/jobs", wish(Value::Null)).await;
    assert_eq!(unread.refusal(), (422, "wish_unclear"));
    assert_eq!(unread.first_pointer(), "/wish/read_back");
    let sentence = unread.json["errors"][0]["suggestion"].clone();
    assert_eq!(sentence, "Mains 23 kg, crosses 22 kg.");
    let taken = harness
        .post(Role::Desk, "/v1/jobs", wish(sentence))
        .await
        .expect(201);
    assert_eq!(taken["spec"]["mains"]["tension"]["value"], "23");
    assert_eq!(taken["spec"]["crosses"]["tension"]["value"], "22");
    assert_eq!(taken["spec"]["as_said"], "one kilo down on last time");
    assert_eq!(
        taken["spec"]["mains"]["string"]["string_id"],
        fixture.id("SA"),
        "the rest is as last time"
    );
}

#[actix_web::test]
async fn a_wish_that_contradicts_the_spec_is_refused_with_both_named() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", ("25", "kg"), ("23", "kg"));
    body["wish"] = json!({"as_said": "24/23 kg", "read_back": "Mains 24 kg, crosses 23 kg."});
    let refused = harness.post(Role::Desk, "/v1/jobs", body.clone()).await;
    assert_eq!(refused.refusal(), (422, "wish_unclear"));
    assert_eq!(refused.first_pointer(), "/spec/mains/tension");
    let detail = refused.json["errors"][0]["detail"].as_str().expect("words");
    for words in ["\"24/23 kg\"", "24 kg", "25 kg"] {
        assert!(detail.contains(words), "{detail}");
    }
    body["spec"]["mains"]["tension"]["value"] = json!("24");
    let taken = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    assert_eq!(taken["spec"]["as_said"], "24/23 kg");
}

#[actix_web::test]
async fn a_wish_for_several_rackets_gives_each_of_a_drop_off_its_own() {
    let (harness, fixture) = ready().await;
    let said = "one each at 24 and 25 kg";
    let heard = hear(&harness, &fixture, said).await.expect(200);
    let wish = json!({"as_said": said, "read_back": heard["read_back"]});
    let one = |racket: &str, value: &str| {
        let mut body = fixture.hand_in(racket, (value, "kg"), (value, "kg"));
        body["wish"] = wish.clone();
        body
    };
    let alone = harness.post(Role::Desk, "/v1/jobs", one("P1/1", "24")).await;
    assert_eq!(alone.refusal(), (422, "wish_unclear"));
    assert_eq!(alone.first_pointer(), "/wish/as_said");
    let both = json!({"jobs": [one("P1/1", "24"), one("P1/2", "25")]});
    let taken = harness.post(Role::Desk, "/v1/jobs/batch", both).await.expect(201);
    assert_eq!(taken[0]["spec"]["mains"]["tension"]["value"], "24");
    assert_eq!(taken[1]["spec"]["mains"]["tension"]["value"], "25");
}

#[actix_web::test]
async fn the_same_again_is_really_the_same() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", KG, ("23", "kg"));
    body["spec"]["mains"]["pre_stretch"] = json!({"how": "by_machine", "percent": 10.0});
    body["spec"]["string_savers"] = json!(true);
    body["spec"]["note"] = json!("soft grip");
    body["spec"]["as_said"] = json!("24/23");
    let first = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    given_back(&harness, &first).await;
    let again = without_spec(&fixture, "P1/1", &json!({"same_again": true}));
    let again = harness.post(Role::Desk, "/v1/jobs", again).await.expect(201);
    let mut expected = first["spec"].clone();
    expected.as_object_mut().expect("a spec").remove("as_said");
    assert_eq!(again["spec"], expected);
    // a sister of the same model that was never here takes it over
    let sister = without_spec(&fixture, "P1/2", &json!({"same_again": true}));
    let sister = harness.post(Role::Desk, "/v1/jobs", sister).await.expect(201);
    assert_eq!(sister["spec"], expected);
}

#[actix_web::test]
async fn where_nothing_tells_the_spec_the_way_out_is_said() {
    let (harness, fixture) = ready().await;
    for more in [json!({}), json!({"same_again": true})] {
        let body = without_spec(&fixture, "P1/1", &more);
        let refused = harness.post(Role::Desk, "/v1/jobs", body).await;
        assert_eq!(
            (refused.status, refused.first_pointer()),
            (422, "/spec"),
            "{more}"
        );
    }
    let mut both = fixture.hand_in("P1/1", KG, KG);
    both["same_again"] = json!(true);
    let refused = harness.post(Role::Desk, "/v1/jobs", both).await;
    assert_eq!((refused.status, refused.first_pointer()), (422, "/same_again"));
}

#[actix_web::test]
async fn the_method_of_last_time_and_the_policy_decide_the_plan() {
    let (harness, fixture) = ready().await;
    let tournament = format!("/v1/tournaments/{}", harness.tournament);
    let policy = json!({"weave_policy": "start_cross_back"});
    harness
        .patch_current(Role::Admin, &tournament, policy)
        .await
        .expect(200);
    let job = strung(&harness, &fixture, "P1/1").await;
    let plan = harness
        .get(Role::Stringer, &path(&job, "/plan"))
        .await
        .expect(200);
    assert_eq!(plan["method"]["method"], "start_cross_back", "{}", plan["method"]);
    assert_eq!(plan["method"]["chosen_by"], "policy");
    let none = json!({"weave_policy": null});
    harness
        .patch_current(Role::Admin, &tournament, none)
        .await
        .expect(200);
    let sister = taken_in(&harness, &fixture, "P1/2").await;
    let plan = harness
        .get(Role::Stringer, &path(&sister, "/plan"))
        .await
        .expect(200);
    assert_eq!(plan["method"]["method"], "start_cross_back");
    assert_eq!(plan["method"]["chosen_by"], "last_racket");
}
