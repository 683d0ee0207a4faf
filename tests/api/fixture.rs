//! The invented tournament of `tests/data/fixtures.json`, brought in through the desk's use cases.
use std::collections::BTreeMap;

use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::desk::keep_frame::add_frame;
use weftdesk::desk::keep_stock::add_string;
use weftdesk::desk::keep_workshop::{add_machine, add_station, add_stringer};
use weftdesk::desk::records::{PlayerRecord, RacketRecord, StringerRecord};
use weftdesk::desk::register_player::{PlayerFacts, register_player};
use weftdesk::desk::register_racket::{RacketFacts, register_racket};
use weftdesk::desk::shifts::open_station;
use weftdesk::desk::{Caller, DeskResult, Tx};

use crate::harness::Harness;

/// Ids by the fixtures' keys: `F1`, `SA`, `P1`, `P1/2` (second racket), `M1`, `ST1` (station on M1), `W1`.
pub(crate) struct Fixture(BTreeMap<String, String>);

impl Fixture {
    /// Brings everything in; stations ST1 to ST3 are open with stringers W1 to W3.
    pub(crate) async fn load(harness: &Harness) -> Self {
        let who = Caller::account(
            &harness.tournament,
            &harness.accounts["coordinator"],
            Role::Coordinator,
        );
        let ids = harness.desk.write(&who, all).await;
        Self(ids.expect("the fixtures are sound"))
    }

    pub(crate) fn id(&self, key: &str) -> &str {
        &self.0[key]
    }

    /// A hand-in of racket `racket` (such as `P1/1`) at these tensions, String A over String B.
    pub(crate) fn hand_in(&self, racket: &str, mains: (&str, &str), crosses: (&str, &str)) -> Value {
        json!({
            "racket_id": self.id(racket),
            "spec": {
                "pieces": "two",
                "mains": {"string": {"string_id": self.id("SA")}, "tension": {"value": mains.0, "unit": mains.1}},
                "crosses": {"string": {"string_id": self.id("SB")}, "tension": {"value": crosses.0, "unit": crosses.1}},
            },
            "due_at": "2026-05-02T12:00:00Z",
            "condition": {"ok": true},
        })
    }
}

fn all(tx: &mut Tx<'_>) -> DeskResult<BTreeMap<String, String>> {
    let text = include_str!("../data/fixtures.json");
    let data: Value = serde_json::from_str(text).expect("the fixtures are JSON");
    let mut ids = BTreeMap::new();
    for item in items(&data, "frames") {
        let (key, rest) = keyed(item);
        let record = serde_json::from_value(rest).expect("a frame record");
        ids.insert(key, add_frame(tx, &record, None)?.id);
    }
    for item in items(&data, "strings") {
        let name = text_of(item, "name");
        let record = json!({"gauge_mm": item["gauge_mm"], "material": item["material"]});
        let record = serde_json::from_value(record).expect("a string record");
        ids.insert(text_of(item, "key"), add_string(tx, &name, &record)?.id);
    }
    players(tx, &data, &mut ids)?;
    workshop(tx, &data, &mut ids)?;
    Ok(ids)
}

fn players(tx: &mut Tx<'_>, data: &Value, ids: &mut BTreeMap<String, String>) -> DeskResult<()> {
    for item in items(data, "players") {
        let key = text_of(item, "key");
        let facts = PlayerFacts {
            display_name: text_of(&item["name"], "display"),
            badge: Some(format!("badge-{key}")),
            record: PlayerRecord {
                latin_name: item["name"]["latin"].as_str().map(str::to_owned),
                language: item["language"].as_str().map(str::to_owned),
                ..PlayerRecord::default()
            },
        };
        let player = register_player(tx, facts)?.id;
        for (place, frame) in item["rackets"].as_array().expect("rackets").iter().enumerate() {
            let facts = RacketFacts {
                player_id: player.clone(),
                frame_id: ids[frame.as_str().expect("a key")].clone(),
                label_code: None,
                record: RacketRecord {
                    number: Some((place + 1).to_string()),
                    ..RacketRecord::default()
                },
            };
            ids.insert(format!("{key}/{}", place + 1), register_racket(tx, facts)?.id);
        }
        ids.insert(key, player);
    }
    Ok(())
}

fn workshop(tx: &mut Tx<'_>, data: &Value, ids: &mut BTreeMap<String, String>) -> DeskResult<()> {
    for item in items(data, "stringers") {
        let record = StringerRecord {
            pace_factor: item["pace_factor"].as_f64().expect("a number"),
            ..StringerRecord::default()
        };
        let key = text_of(item, "key");
        ids.insert(
            key.clone(),
            add_stringer(tx, &format!("Stringer {key}"), &record)?.id,
        );
    }
    for item in items(data, "machines") {
        let (key, rest) = keyed(item);
        let facts = serde_json::from_value(rest).expect("a machine");
        let machine = add_machine(tx, &format!("Machine {key}"), &facts, None)?.id;
        let station = add_station(tx, &format!("Station {}", &key[1..]), &machine)?.id;
        open_station(tx, &station, &ids[&format!("W{}", &key[1..])])?;
        ids.insert(format!("ST{}", &key[1..]), station);
        ids.insert(key, machine);
    }
    Ok(())
}

fn items<'a>(data: &'a Value, name: &str) -> &'a Vec<Value> {
    data[name].as_array().expect("a list")
}

fn text_of(item: &Value, member: &str) -> String {
    item[member].as_str().expect("a text").to_owned()
}

fn keyed(item: &Value) -> (String, Value) {
    let mut rest = item.clone();
    let key = rest
        .as_object_mut()
        .and_then(|members| members.remove("key"))
        .expect("a key");
    (key.as_str().expect("a text").to_owned(), rest)
}
