//! What a desk is set up with, entered and read back.
use std::collections::BTreeSet;

use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::craft::tag_code::TagCode;

use crate::fixtures;
use crate::harness::{Harness, Reply};

/// Whether everything in `part` stands in `whole`, member by member.
fn stands_in(part: &Value, whole: &Value) -> bool {
    match (part, whole) {
        (Value::Object(part), Value::Object(whole)) => part
            .iter()
            .all(|(name, value)| whole.get(name).is_some_and(|found| stands_in(value, found))),
        (Value::Array(part), Value::Array(whole)) => {
            part.len() == whole.len() && part.iter().zip(whole).all(|(part, whole)| stands_in(part, whole))
        }
        // 338 and 338.0 are the same number
        (Value::Number(part), Value::Number(whole)) => part.as_f64() == whole.as_f64(),
        (part, whole) => part == whole,
    }
}

pub(crate) fn names(list: &Value) -> Vec<&str> {
    let items = list["items"].as_array().expect("items");
    items
        .iter()
        .map(|item| item["name"]["display"].as_str().expect("a name"))
        .collect()
}

#[actix_web::test]
async fn what_was_entered_is_read_back_as_it_was() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let mut file: Value =
        serde_json::from_str(include_str!("../data/fixtures.json")).expect("the fixtures are JSON");
    let own = ["key", "rackets", "stock_mm"];
    for (list, ids) in [
        ("frames", &entered.frames),
        ("strings", &entered.strings),
        ("players", &entered.players),
        ("machines", &entered.machines),
        ("stringers", &entered.stringers),
    ] {
        for item in file[list].as_array_mut().expect("a list") {
            let key = item["key"].as_str().expect("a key").to_owned();
            item.as_object_mut()
                .expect("an object")
                .retain(|name, _| !own.contains(&name.as_str()));
            let path = format!("/v1/{list}/{}", ids[&key]);
            let read = harness.get(Role::Coordinator, &path).await;
            assert_eq!(read.header("ETag"), "\"1\"");
            let read = read.expect(200);
            assert!(stands_in(item, &read), "{item} became {read}");
        }
    }
    let reels = harness.get(Role::Desk, "/v1/reels").await.expect(200);
    assert_eq!(reels["items"].as_array().map(Vec::len), Some(3));
    assert_eq!(reels["items"][0]["remaining_mm"], 200_000);
}

#[actix_web::test]
async fn a_player_is_found_by_any_part_of_the_name_in_any_script() {
    let harness = Harness::start().await;
    fixtures::enter(&harness).await;
    for (typed, found) in [
        ("mithal", vec!["اسم مثال"]),
        ("%E7%A4%BA%E4%BE%8B", vec!["示例 乙"]),
        ("garcia%20nandu", vec!["Sample-Test García Ñandú"]),
        ("example%20a", vec!["Example A", "Example A"]),
        ("%25", vec![]),
        ("_", vec![]),
    ] {
        let list = harness.get(Role::Desk, &format!("/v1/players?q={typed}")).await;
        assert_eq!(names(&list.expect(200)), found, "{typed}");
    }
}

#[actix_web::test]
async fn pages_follow_each_other_without_a_gap_or_a_repeat() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let expected: BTreeSet<&String> = entered.rackets.values().flatten().collect();
    for (list, count) in [("rackets", expected.len()), ("players", entered.players.len())] {
        let mut seen = BTreeSet::new();
        let mut path = format!("/v1/{list}?limit=4");
        loop {
            let page = harness.get(Role::Desk, &path).await.expect(200);
            for item in page["items"].as_array().expect("items") {
                assert!(seen.insert(item["id"].to_string()), "{item} came twice");
            }
            let Some(next) = page["next"].as_str() else { break };
            path = format!("/v1/{list}?limit=4&after={next}");
        }
        assert_eq!(seen.len(), count, "{list}");
        let foreign = path.replace("limit=4", "limit=4&foo=1");
        assert_eq!(
            harness.get(Role::Desk, &foreign).await.refusal(),
            (400, "unknown_parameter")
        );
    }
    let first = harness.get(Role::Desk, "/v1/rackets?limit=4").await.expect(200);
    let cursor = first["next"].as_str().expect("more");
    let elsewhere = harness
        .get(Role::Desk, &format!("/v1/players?after={cursor}"))
        .await;
    assert_eq!(elsewhere.refusal(), (400, "foreign_cursor"));
}

async fn refused_at(harness: &Harness, role: Role, path: &str, cases: Vec<(Value, &str)>) {
    for (body, pointer) in cases {
        let before = newest_number(harness).await;
        let refused = harness.post(role, path, body.clone()).await;
        assert_eq!(refused.status, 422, "{path} {body}: {}", refused.text);
        assert_eq!(refused.first_pointer(), pointer, "{path} {body}");
        assert_eq!(
            newest_number(harness).await,
            before,
            "{path} {body} left something behind"
        );
    }
}

#[actix_web::test]
async fn wrong_members_are_named_and_nothing_is_stored() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let strings = vec![
        (json!({"name": "S", "gauge_mm": "12.5"}), "/gauge_mm"),
        (json!({"name": ""}), "/name"),
        (json!({"name": "S", "colour": "red"}), "/colour"),
    ];
    refused_at(&harness, Role::Desk, "/v1/strings", strings).await;
    let nobodys = json!({"player_id": "nobody", "frame_id": entered.frames["F1"]});
    refused_at(&harness, Role::Desk, "/v1/rackets", vec![(nobodys, "/player_id")]).await;
    let name = json!({"display": "X"});
    let players = vec![
        (
            json!({"name": name, "not_stringer_ids": [entered.stringers["W1"], "nobody"]}),
            "/not_stringer_ids/1",
        ),
        (
            json!({"name": name, "regular_stringer_id": "nobody"}),
            "/regular_stringer_id",
        ),
        (
            json!({"name": name, "regular_station_id": "nowhere"}),
            "/regular_station_id",
        ),
    ];
    refused_at(&harness, Role::Desk, "/v1/players", players).await;
    let none = vec![(json!({"count": 0}), "/count")];
    refused_at(&harness, Role::Desk, "/v1/codes/reserve", none).await;
    let nowhere = vec![(json!({"name": "X", "machine_id": "none"}), "/machine_id")];
    refused_at(&harness, Role::Coordinator, "/v1/stations", nowhere).await;
    let slow = vec![(json!({"name": "X", "pace_factor": 9}), "/pace_factor")];
    refused_at(&harness, Role::Coordinator, "/v1/stringers", slow).await;
    let nameless = vec![(json!({"clamps": "flying", "pull": "constant"}), "/name")];
    refused_at(&harness, Role::Coordinator, "/v1/machines", nameless).await;
    let lost = json!({"name": "X", "kind": "tablet", "station_id": "none"});
    refused_at(&harness, Role::Admin, "/v1/devices", vec![(lost, "/station_id")]).await;
    let accounts = vec![
        (account("short", "desk"), "/password"),
        (account("long enough it is", "system"), "/role"),
    ];
    refused_at(&harness, Role::Admin, "/v1/accounts", accounts).await;
}

fn account(password: &str, role: &str) -> Value {
    json!({"sign_in": "x", "display_name": "X", "role": role, "password": password})
}

async fn newest_number(harness: &Harness) -> i64 {
    let id = harness.tournament.clone();
    let row = harness
        .desk
        .read(move |db| Ok::<_, weftdesk::desk::DeskError>(weftdesk::storage::tournaments::find(db, &id)?));
    row.await.expect("a read").expect("the tournament").sequence
}

#[actix_web::test]
async fn a_frame_that_contradicts_itself_is_refused() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let path = format!("/v1/frames/{}", entered.frames["F1"]);
    let range = json!({"min": "27", "max": "21", "unit": "kg"});
    let record =
        json!({"sport": "tennis", "name": "Frame One", "mains": 16, "crosses": 19, "tension_range": range});
    let refused = harness.put(Role::Desk, &path, "\"1\"", record).await;
    assert_eq!(refused.refusal(), (422, "frame_contradicts"));
    assert!(
        refused.first_pointer().starts_with("/tension_range"),
        "{}",
        refused.text
    );
    let good = json!({"sport": "tennis", "name": "Frame One", "mains": 18, "crosses": 20});
    let corrected = harness.put(Role::Desk, &path, "\"1\"", good).await.expect(200);
    assert_eq!(
        (&corrected["version"], &corrected["mains"]),
        (&json!(2), &json!(18))
    );
}

#[actix_web::test]
async fn a_reel_is_counted_and_closed_when_nothing_is_left() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let path = format!("/v1/reels/{}", entered.reels["SB"]);
    let count = |left: i64| json!({"remaining_mm": left, "reason": "counted"});
    let counted = harness.patch_current(Role::Stringer, &path, count(11_500)).await;
    let counted = counted.expect(200);
    assert_eq!(
        (&counted["nominal_mm"], &counted["remaining_mm"]),
        (&json!(12_000), &json!(11_500))
    );
    let closed = harness
        .patch_current(Role::Stringer, &path, count(0))
        .await
        .expect(200);
    assert!(closed["closed_at"].is_string());
    let open = harness.get(Role::Desk, "/v1/reels").await.expect(200);
    assert_eq!(open["items"].as_array().map(Vec::len), Some(2));
}

#[actix_web::test]
async fn a_station_opens_with_its_stringer_and_closes_with_them() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let station = format!("/v1/stations/{}", entered.stations["M1"]);
    let stringer = format!("/v1/stringers/{}", entered.stringers["W1"]);
    let opening = json!({"stringer_id": entered.stringers["W1"]});
    let open = harness
        .post(Role::Stringer, &format!("{station}/actions/open"), opening)
        .await;
    let open = open.expect(200);
    assert_eq!(
        (&open["open"], &open["stringer_id"]),
        (&json!(true), &json!(entered.stringers["W1"]))
    );
    assert_eq!(
        harness.get(Role::Desk, &stringer).await.expect(200)["on_shift"],
        true
    );
    let close = harness
        .post(Role::Coordinator, &format!("{station}/actions/close"), json!({}))
        .await;
    assert_eq!(close.expect(200)["open"], false);
    assert_eq!(
        harness.get(Role::Desk, &stringer).await.expect(200)["on_shift"],
        false
    );
}

#[actix_web::test]
async fn reserved_codes_are_valid_and_never_given_twice() {
    let harness = Harness::start().await;
    let mut seen = BTreeSet::new();
    for _ in 0..2 {
        let reserved = harness
            .post(Role::Desk, "/v1/codes/reserve", json!({"count": 40}))
            .await;
        for code in reserved.expect(201)["codes"].as_array().expect("codes") {
            let code = code.as_str().expect("a code").to_owned();
            assert_eq!(
                TagCode::parse(&code).map(|code| code.as_str().to_owned()),
                Ok(code.clone())
            );
            assert!(seen.insert(code));
        }
    }
    assert_eq!(seen.len(), 80);
}

#[actix_web::test]
async fn contacts_are_shown_to_those_who_may_see_them_alone() {
    let harness = Harness::start().await;
    let player = json!({"name": {"display": "Example C"}, "contact": "room 12", "note": "knots on the left"});
    let player = harness.post(Role::Desk, "/v1/players", player).await.created_id();
    let path = format!("/v1/players/{player}");
    for (role, contact, note) in [
        (Role::Desk, true, true),
        (Role::Coordinator, true, true),
        (Role::Stringer, false, true),
        (Role::Accounts, true, false),
    ] {
        let one: Reply = harness.get(role, &path).await;
        let listed = harness.get(role, "/v1/players").await;
        for text in [one.text, listed.text] {
            assert_eq!(text.contains("room 12"), contact, "{role}: {text}");
            assert_eq!(text.contains("knots on the left"), note, "{role}: {text}");
        }
    }
}

#[actix_web::test]
async fn a_new_link_replaces_the_old_one() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let path = format!("/v1/players/{}/link", entered.players["P1"]);
    let first = harness.post(Role::Desk, &path, json!({})).await.expect(200);
    let second = harness.post(Role::Desk, &path, json!({})).await.expect(200);
    assert!(first["path"].as_str().is_some_and(|path| path.starts_with("/p/")));
    assert_ne!(first["path"], second["path"]);
}

#[actix_web::test]
async fn settings_of_a_tournament_are_checked_together() {
    let harness = Harness::start().await;
    let path = format!("/v1/tournaments/{}", harness.tournament);
    let wrong = json!({"time_zone": "Paris", "business_day_ends": "4:00", "knot_extra_percent": 90});
    let refused = harness.patch_current(Role::Admin, &path, wrong).await;
    assert_eq!(refused.refusal(), (422, "invalid_body"));
    assert_eq!(refused.json["errors"].as_array().map(Vec::len), Some(3));
    let right = json!({"business_day_ends": "03:30", "knot_extra_percent": 10});
    let changed = harness.patch_current(Role::Admin, &path, right).await.expect(200);
    assert_eq!(changed["business_day_ends"], "03:30");
    assert_eq!(changed["time_zone"], "Europe/Paris");
}
