//! The tournament of `tests/data/fixtures.json`, founded and entered through the running program's own doors.
use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use serde_json::{Value, json};

use crate::chromium::LAPTOP;
use crate::program::Program;
use crate::screen::Screen;

/// One for every account of the test.
pub(crate) const PASSWORD: &str = "nine courts and a roof";

/// A running program that knows everybody and everything of the fixtures.
pub(crate) struct Tournament {
    program: Program,
    /// By the fixtures' keys: `F1`, `SA`, `P1`, `P1/2` (second racket), `M1`, `ST1` (station at M1), `W1`.
    ids: BTreeMap<String, String>,
    /// The admin who founded it, signed in.
    pub(crate) admin: Screen,
}

impl Tournament {
    /// Starts the program, founds the tournament by its one-time link, and enters the fixtures by the API.
    pub(crate) async fn start() -> Self {
        let mut it = Self::founded().await;
        let text = include_str!("../data/fixtures.json");
        let data: Value = serde_json::from_str(text).expect("the fixtures are JSON");
        it.enter_stock(&data).await;
        it.enter_players(&data).await;
        it.enter_workshop(&data).await;
        it.enter_accounts().await;
        it
    }

    /// Starts the program and founds the tournament; nothing else is in it.
    pub(crate) async fn founded() -> Self {
        let mut program = Program::serve();
        let admin = Screen::of_size(&program.base, LAPTOP).await;
        found(&admin, &program.set_up_link()).await;
        Self {
            program,
            ids: BTreeMap::new(),
            admin,
        }
    }

    pub(crate) fn id(&self, key: &str) -> &str {
        &self.ids[key]
    }

    /// A browser of this size with this account signed in, at what its day begins with.
    pub(crate) async fn screen(&self, account: &str, size: (u32, u32)) -> Screen {
        self.screen_at(self.base(), account, size).await
    }

    /// Where the program is.
    pub(crate) fn base(&self) -> &str {
        &self.program.base
    }

    /// Ends the program; what it kept goes on in the next one.
    pub(crate) fn into_program(self) -> (Program, Screen) {
        (self.program, self.admin)
    }

    /// As [`Self::screen`], by another way to the program.
    pub(crate) async fn screen_at(&self, base: &str, account: &str, size: (u32, u32)) -> Screen {
        let screen = Screen::of_size(base, size).await;
        screen.sign_in(account, PASSWORD).await;
        screen
    }

    /// A browser of somebody who has no account.
    pub(crate) async fn stranger(&self, size: (u32, u32)) -> Screen {
        Screen::of_size(&self.program.base, size).await
    }

    /// Takes a racket (such as `P1/1`) in by the API for 14:00: String A over String B, mains, crosses and unit as given.
    pub(crate) async fn take_in(&self, desk: &Screen, racket: &str, pulls: (&str, &str, &str)) -> Value {
        let side = |string: &str, tension: &str| json!({"string": {"string_id": self.id(string)}, "tension": {"value": tension, "unit": pulls.2}});
        let order = json!({
            "racket_id": self.id(racket),
            "spec": {"pieces": "two", "mains": side("SA", pulls.0), "crosses": side("SB", pulls.1)},
            // Paris is two hours ahead of UTC in May
            "due_at": "2026-05-02T12:00:00Z",
            "condition": {"ok": true},
        });
        let (status, job) = desk.call("POST", "/v1/jobs", order).await;
        assert_eq!(status, 201, "{job}");
        job
    }

    /// The path of a player's page; the desk gets it anew.
    pub(crate) async fn player_page(&self, player: &str) -> String {
        let path = format!("/v1/players/{}/link", self.id(player));
        let (_, link) = self.admin.call("POST", &path, json!({})).await;
        link["path"].as_str().expect("a path").to_owned()
    }

    async fn enter_stock(&mut self, data: &Value) {
        for (key, frame) in keyed(&data["frames"]) {
            let id = self.admin.create("/v1/frames", frame).await;
            self.ids.insert(key, id);
        }
        for (key, mut string) in keyed(&data["strings"]) {
            let length_mm = take(&mut string, "stock_mm");
            let id = self.admin.create("/v1/strings", string).await;
            if length_mm != json!(0) {
                let reel = json!({"string_id": id, "kind": "reel_remainder", "length_mm": length_mm,
                                  "label_code": reel_label(&key)});
                self.admin.create("/v1/reels", reel).await;
            }
            self.ids.insert(key, id);
        }
    }

    async fn enter_players(&mut self, data: &Value) {
        for (key, mut player) in keyed(&data["players"]) {
            let frames = take(&mut player, "rackets");
            let id = self.admin.create("/v1/players", player).await;
            for (place, frame) in frames.as_array().expect("frames").iter().enumerate() {
                let number = place + 1;
                let frame = self.id(frame.as_str().expect("a key"));
                let racket = json!({"player_id": id, "frame_id": frame, "number": number.to_string()});
                let racket = self.admin.create("/v1/rackets", racket).await;
                self.ids.insert(format!("{key}/{number}"), racket);
            }
            self.ids.insert(key, id);
        }
    }

    async fn enter_workshop(&mut self, data: &Value) {
        for (key, mut stringer) in keyed(&data["stringers"]) {
            stringer["name"] = json!(format!("Stringer {key}"));
            let id = self.admin.create("/v1/stringers", stringer).await;
            self.ids.insert(key, id);
        }
        for (key, mut machine) in keyed(&data["machines"]) {
            machine["name"] = json!(format!("Machine {key}"));
            let id = self.admin.create("/v1/machines", machine).await;
            let number = &key[1..];
            let station = json!({"name": format!("Station {number}"), "machine_id": id});
            let station = self.admin.create("/v1/stations", station).await;
            let opening = json!({"stringer_id": self.id(&format!("W{number}"))});
            let path = format!("/v1/stations/{station}/actions/open");
            self.admin.create(&path, opening).await;
            self.ids.insert(format!("ST{number}"), station);
            self.ids.insert(key, id);
        }
    }

    async fn enter_accounts(&self) {
        for role in ["desk", "stringer", "coordinator"] {
            let mut account = json!({"sign_in": role, "display_name": format!("Example {role}"),
                                     "role": role, "password": PASSWORD});
            if role == "stringer" {
                account["stringer_id"] = json!(self.id("W1"));
            }
            self.admin.create("/v1/accounts", account).await;
        }
    }
}

/// What the player is told by when, as the venue's clocks show it: Paris is two hours ahead of UTC in May.
pub(crate) async fn safe_time(desk: &Screen, job: &str) -> String {
    let (_, job) = desk.call("GET", &format!("/v1/jobs/{job}"), Value::Null).await;
    let promised = job["promised_at"].as_str().expect("a promise");
    let at: DateTime<Utc> = promised.parse().expect("a time");
    (at + TimeDelta::hours(2)).format("%H:%M").to_string()
}

/// What stands on the reel of a string of the fixtures.
pub(crate) fn reel_label(key: &str) -> String {
    format!("REEL-{key}")
}

async fn found(admin: &Screen, link: &str) {
    admin.open(link).await;
    for (field, text) in [
        ("#tournament_name", "Demo Open"),
        ("#zone", "Europe/Paris"),
        ("#name", "Example Admin"),
        ("#login", "admin"),
        ("#password", PASSWORD),
        ("#password_again", PASSWORD),
    ] {
        admin.fill(field, text).await;
    }
    admin.tap("Start the desk").await;
    admin.arrived_at("/setup").await;
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
