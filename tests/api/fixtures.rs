//! The invented data of the scenarios (`tests/data/fixtures.json`), entered the way a desk enters it.
use std::collections::BTreeMap;

use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::harness::Harness;

/// The ids of everything entered, by the keys of the file.
#[derive(Debug, Default)]
pub(crate) struct Fixtures {
    pub(crate) frames: BTreeMap<String, String>,
    pub(crate) strings: BTreeMap<String, String>,
    /// By the key of the string.
    pub(crate) reels: BTreeMap<String, String>,
    pub(crate) players: BTreeMap<String, String>,
    /// By the key of the player, in the order of the file.
    pub(crate) rackets: BTreeMap<String, Vec<String>>,
    pub(crate) machines: BTreeMap<String, String>,
    /// By the key of the machine; all closed.
    pub(crate) stations: BTreeMap<String, String>,
    pub(crate) stringers: BTreeMap<String, String>,
}

/// Enters the whole file through the API.
pub(crate) async fn enter(harness: &Harness) -> Fixtures {
    let text = include_str!("../data/fixtures.json");
    let file: Value = serde_json::from_str(text).expect("the fixtures are JSON");
    settle(harness, &file["tournament"]).await;
    let mut entered = Fixtures::default();
    for (key, frame) in keyed(&file["frames"]) {
        let id = create(harness, Role::Desk, "/v1/frames", frame).await;
        entered.frames.insert(key, id);
    }
    for (key, string) in keyed(&file["strings"]) {
        enter_string(harness, &mut entered, key, string).await;
    }
    for (key, player) in keyed(&file["players"]) {
        enter_player(harness, &mut entered, key, player).await;
    }
    for (key, mut stringer) in keyed(&file["stringers"]) {
        stringer["name"] = json!(key);
        let id = create(harness, Role::Coordinator, "/v1/stringers", stringer).await;
        entered.stringers.insert(key, id);
    }
    for (key, mut machine) in keyed(&file["machines"]) {
        machine["name"] = json!(key);
        let id = create(harness, Role::Coordinator, "/v1/machines", machine).await;
        let station = json!({"name": format!("Station {key}"), "machine_id": id});
        let station = create(harness, Role::Coordinator, "/v1/stations", station).await;
        entered.machines.insert(key.clone(), id);
        entered.stations.insert(key, station);
    }
    entered
}

async fn settle(harness: &Harness, tournament: &Value) {
    let path = format!("/v1/tournaments/{}", harness.tournament);
    let settled = harness
        .patch_current(Role::Admin, &path, tournament.clone())
        .await;
    settled.expect(200);
}

async fn enter_string(harness: &Harness, entered: &mut Fixtures, key: String, mut string: Value) {
    let length_mm = take(&mut string, "stock_mm");
    let id = create(harness, Role::Desk, "/v1/strings", string).await;
    if length_mm != json!(0) {
        let reel = json!({"string_id": id, "kind": "reel_remainder", "length_mm": length_mm});
        let reel = create(harness, Role::Desk, "/v1/reels", reel).await;
        entered.reels.insert(key.clone(), reel);
    }
    entered.strings.insert(key, id);
}

async fn enter_player(harness: &Harness, entered: &mut Fixtures, key: String, mut player: Value) {
    let frames = take(&mut player, "rackets");
    let id = create(harness, Role::Desk, "/v1/players", player).await;
    let mut rackets = Vec::new();
    for (index, frame) in frames.as_array().expect("a list of frames").iter().enumerate() {
        let frame = &entered.frames[frame.as_str().expect("the key of a frame")];
        let racket = json!({"player_id": id, "frame_id": frame, "number": (index + 1).to_string()});
        rackets.push(create(harness, Role::Desk, "/v1/rackets", racket).await);
    }
    entered.rackets.insert(key.clone(), rackets);
    entered.players.insert(key, id);
}

async fn create(harness: &Harness, role: Role, path: &str, body: Value) -> String {
    harness.post(role, path, body).await.created_id()
}

/// The items of a list with their keys taken out.
fn keyed(list: &Value) -> Vec<(String, Value)> {
    let items = list.as_array().expect("a list").iter().cloned();
    items
        .map(|mut item| {
            let key = take(&mut item, "key");
            (key.as_str().expect("a key").to_owned(), item)
        })
        .collect()
}

fn take(item: &mut Value, member: &str) -> Value {
    let members = item.as_object_mut().expect("an object");
    members.remove(member).expect("the member is there")
}
