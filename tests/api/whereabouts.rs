//! Where a racket is and what happened to it: lookups, custody, stories, and moves between people.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, scans, strung, taken_in};

async fn on_machine(harness: &Harness, fixture: &Fixture, racket: &str) -> Value {
    let job = taken_in(harness, fixture, racket).await;
    let mut start = scans(&job);
    start["station_id"] = json!(fixture.id("ST1"));
    act(harness, Role::Stringer, &job, "start", start)
        .await
        .expect(200)
}

#[actix_web::test]
async fn a_lookup_finds_by_tag_label_badge_and_name_in_any_script() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let code = job["tag_code"].as_str().expect("a code").to_lowercase();
    let by_tag = harness.get(Role::Desk, &format!("/v1/lookup?code={code}")).await;
    assert_eq!(by_tag.expect(200)["job"]["id"], job["id"]);
    let racket = format!("/v1/rackets/{}", fixture.id("P1/2"));
    let label = json!({"label_code": "R-77"});
    harness
        .patch_current(Role::Desk, &racket, label)
        .await
        .expect(200);
    let by_label = harness.get(Role::Desk, "/v1/lookup?code=R-77").await.expect(200);
    assert_eq!(by_label["racket"]["id"], fixture.id("P1/2"));
    let by_badge = harness
        .get(Role::Desk, "/v1/lookup?code=badge-P3")
        .await
        .expect(200);
    assert_eq!(by_badge["players"][0]["id"], fixture.id("P3"));
    for player in ["P1", "P2", "P3", "P4", "P5", "P6"] {
        let address = format!("/v1/players/{}", fixture.id(player));
        let name = harness.get(Role::Desk, &address).await.expect(200)["name"]["display"].clone();
        let name = name.as_str().expect("a name");
        let part: String = name.chars().take(3).collect();
        let query: String = part.bytes().map(|byte| format!("%{byte:02X}")).collect();
        let found = harness
            .get(Role::Desk, &format!("/v1/lookup?q={query}"))
            .await
            .expect(200);
        let players = found["players"].as_array().expect("players");
        assert!(
            players.iter().any(|one| one["id"] == fixture.id(player)),
            "{name} is found by {part}: {found}"
        );
    }
}

#[actix_web::test]
async fn a_lookup_tells_a_misread_tag_from_one_that_is_not_there() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let mut symbols: Vec<char> = job["tag_code"].as_str().expect("a code").chars().collect();
    symbols[2] = if symbols[2] == 'Z' { 'Y' } else { 'Z' };
    let wrong: String = symbols.into_iter().collect();
    let misread = harness.get(Role::Desk, &format!("/v1/lookup?code={wrong}")).await;
    assert_eq!(misread.refusal(), (422, "check_the_code"));
    let nobody = harness
        .get(Role::Desk, "/v1/lookup?q=nobody%20of%20this%20name")
        .await;
    assert_eq!(
        nobody.expect(200),
        json!({"players": [], "racket": null, "job": null})
    );
    for query in ["", "?code=A&q=B", "?name=A"] {
        let refused = harness.get(Role::Desk, &format!("/v1/lookup{query}")).await;
        assert_eq!(refused.status, 400, "{query}");
    }
}

#[actix_web::test]
async fn a_racket_is_carried_about_the_house_but_leaves_only_by_a_pickup() {
    let (harness, fixture) = ready().await;
    let job = strung(&harness, &fixture, "P1/1").await;
    let address = format!("/v1/rackets/{}/custody", fixture.id("P1/1"));
    let to = |place: &str| json!({"place": place});
    for (role, place) in [(Role::Runner, "runner"), (Role::Desk, "shelf:C2")] {
        let carried = harness.post(role, &address, to(place)).await.expect(200);
        assert_eq!(carried["custody"], place, "{carried}");
    }
    for place in ["owner", "cupboard", "station:stn_nowhere"] {
        let refused = harness.post(Role::Desk, &address, to(place)).await;
        assert_eq!(
            (refused.status, refused.first_pointer()),
            (422, "/place"),
            "{place}"
        );
    }
    let still = harness.get(Role::Desk, &path(&job, "")).await.expect(200);
    assert_eq!(still["racket"]["custody"], "shelf:C2");
    let away = format!("/v1/rackets/{}/custody", fixture.id("P1/2"));
    let refused = harness.post(Role::Desk, &away, to("desk")).await;
    assert_eq!(
        refused.refusal(),
        (409, "action_not_allowed"),
        "it is with its owner"
    );
}

#[actix_web::test]
async fn d05_the_story_lists_what_happened_with_who_and_when() {
    let (harness, fixture) = ready().await;
    let job = strung(&harness, &fixture, "P1/1").await;
    let story = harness.get(Role::Desk, &path(&job, "/story")).await.expect(200);
    let items = story["items"].as_array().expect("items");
    let kinds: Vec<&str> = items.iter().filter_map(|item| item["type"].as_str()).collect();
    assert_eq!(kinds.first(), Some(&"weftdesk.job.received"));
    assert_eq!(kinds.last(), Some(&"weftdesk.job.ready"));
    for item in items {
        assert!(
            item["who"]
                .as_str()
                .is_some_and(|who| who.starts_with("Example ")),
            "{item}"
        );
        assert!(
            item["at"]
                .as_str()
                .is_some_and(|at| at.starts_with("2026-05-02T08")),
            "{item}"
        );
    }
    assert!(!story.to_string().contains("\"tension\""), "events carry no spec");
    let address = format!("/v1/rackets/{}/story", fixture.id("P1/1"));
    let racket = harness.get(Role::Desk, &address).await.expect(200);
    let all: Vec<&str> = racket["items"]
        .as_array()
        .expect("items")
        .iter()
        .filter_map(|item| item["type"].as_str())
        .collect();
    assert!(
        all.contains(&"weftdesk.racket.moved") && all.contains(&"weftdesk.job.ready"),
        "{all:?}"
    );
}

#[actix_web::test]
async fn d03_the_reason_for_insisting_stands_in_the_story() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P2/1", ("61", "lb"), ("60", "lb"));
    body["override"] = json!({"reason": "player's wish, own risk"});
    let job = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    let story = harness.get(Role::Desk, &path(&job, "/story")).await.expect(200);
    let insisted = story["items"]
        .as_array()
        .expect("items")
        .iter()
        .find(|item| item["type"] == "weftdesk.job.insisted");
    let data = &insisted.expect("it is told")["data"];
    assert_eq!(data["code"], "tension_out_of_range");
    assert_eq!(data["reason"], "player's wish, own risk");
}

#[actix_web::test]
async fn a_job_on_the_machine_is_handed_over_to_a_named_stringer_and_station() {
    let (harness, fixture) = ready().await;
    let job = on_machine(&harness, &fixture, "P1/1").await;
    let to = |station: &str| json!({"to_stringer": fixture.id("W2"), "to_station": station});
    let over = act(&harness, Role::Stringer, &job, "hand_over", to(fixture.id("ST2")))
        .await
        .expect(200);
    assert_eq!(
        (&over["state"], &over["phase"], &over["attempt"]),
        (&json!("on_machine"), &json!("mounted"), &json!(1))
    );
    assert_eq!(over["station_id"], fixture.id("ST2"));
    assert_eq!(over["stringer_id"], fixture.id("W2"));
    assert_eq!(
        over["racket"]["custody"],
        format!("station:{}", fixture.id("ST2"))
    );
    let other = on_machine(&harness, &fixture, "P1/2").await;
    let busy = act(
        &harness,
        Role::Stringer,
        &other,
        "hand_over",
        to(fixture.id("ST2")),
    )
    .await;
    assert_eq!(busy.refusal(), (409, "action_not_allowed"));
    let waiting = taken_in(&harness, &fixture, "P1/3").await;
    let early = act(
        &harness,
        Role::Stringer,
        &waiting,
        "hand_over",
        to(fixture.id("ST3")),
    )
    .await;
    assert_eq!(early.refusal(), (409, "action_not_allowed"));
}

#[actix_web::test]
async fn an_announced_racket_is_expected_and_waits_once_it_is_checked_in() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", KG, KG);
    body["announce"] = json!(true);
    let job = harness
        .post(Role::Integration, "/v1/jobs", body.clone())
        .await
        .expect(201);
    assert_eq!(job["state"], "expected");
    let told = harness.get(Role::Desk, &path(&job, "")).await.expect(200);
    assert_eq!(
        (&told["racket"]["custody"], &told["promised_at"]),
        (&json!("owner"), &json!(null))
    );
    body["announce"] = json!(false);
    let twice = harness.post(Role::Desk, "/v1/jobs", body.clone()).await;
    assert_eq!(twice.refusal(), (409, "racket_already_in"));
    body["racket_id"] = json!(fixture.id("P1/2"));
    let foreign = harness.post(Role::Integration, "/v1/jobs", body).await;
    assert_eq!(
        foreign.refusal(),
        (403, "role_forbidden"),
        "only the counter takes rackets in"
    );
    harness.pass_minutes(30);
    let here = act(
        &harness,
        Role::Desk,
        &job,
        "check_in",
        json!({"condition": {"ok": true}}),
    )
    .await;
    let here = here.expect(200);
    assert_eq!(
        (&here["state"], &here["racket"]["custody"], &here["tag_code"]),
        (&json!("waiting"), &json!("desk"), &job["tag_code"])
    );
    assert_eq!(here["received_at"], "2026-05-02T08:30:00Z");
    assert_eq!(harness.kinds_about(&job).await, ["job.announced", "job.received"]);
}

#[actix_web::test]
async fn only_an_admin_corrects_and_the_reason_is_told() {
    let (harness, fixture) = ready().await;
    let job = on_machine(&harness, &fixture, "P1/1").await;
    let correction = json!({"to": "ready", "reason": "was strung while the network was down"});
    let other = act(&harness, Role::Coordinator, &job, "correct", correction.clone()).await;
    assert_eq!(other.refusal(), (403, "role_forbidden"));
    let place = act(
        &harness,
        Role::Admin,
        &job,
        "correct",
        json!({"to": "assigned", "reason": "x"}),
    )
    .await;
    assert_eq!((place.status, place.first_pointer()), (422, "/to"));
    let fixed = act(&harness, Role::Admin, &job, "correct", correction)
        .await
        .expect(200);
    assert_eq!(
        (&fixed["state"], &fixed["station_id"], &fixed["racket"]["custody"]),
        (&json!("ready"), &json!(null), &json!("desk"))
    );
    let story = harness.get(Role::Desk, &path(&job, "/story")).await.expect(200);
    assert!(
        story
            .to_string()
            .contains("was strung while the network was down")
    );
    // the station is free again
    on_machine(&harness, &fixture, "P1/2").await;
}

#[actix_web::test]
async fn a_station_calls_help_for_its_job_and_a_snag_waits() {
    let (harness, fixture) = ready().await;
    let address = format!("/v1/stations/{}/actions/call_help", fixture.id("ST1"));
    let idle = harness
        .post(Role::Stringer, &address, json!({"what": "clamp slips"}))
        .await;
    assert_eq!(idle.refusal(), (409, "action_not_allowed"));
    let job = on_machine(&harness, &fixture, "P1/1").await;
    let called = harness
        .post(Role::Stringer, &address, json!({"what": "clamp slips"}))
        .await;
    let called = called.expect(200);
    assert_eq!(called["job_id"], job["id"]);
    let open = harness
        .get(Role::Coordinator, "/v1/snags?open=true")
        .await
        .expect(200);
    let snag = open
        .as_array()
        .expect("a list")
        .iter()
        .find(|snag| snag["id"] == called["snag_id"]);
    assert_eq!(snag.expect("it waits")["what"], "clamp slips");
}
