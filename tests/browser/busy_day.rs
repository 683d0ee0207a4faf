//! A desk in the middle of its day: the fixtures' rackets, one in each state that a screen can show.
use serde_json::{Value, json};

use crate::tournament::{Tournament, reel_label};

/// On the reel that lasts for the whole day; the fixtures' own is enough for two rackets.
const CROSSES_REEL: &str = "REEL-SB-WHOLE-DAY";

/// The day after.
pub(crate) const NEXT_DAY: &str = "2026-05-03";

/// Where the screens of that day are.
pub(crate) struct BusyDay {
    /// A player with rackets in several states, and the page behind their ticket.
    pub(crate) player: String,
    pub(crate) link: String,
    /// Jobs by where they stand: `machine`, `checking`, `ready`.
    pub(crate) machine: String,
    pub(crate) checking: String,
    pub(crate) ready: String,
    /// A job that waits and can't be in time.
    pub(crate) late: String,
    /// A station that may take its next job.
    pub(crate) idle_station: String,
    /// A racket that was strung before, and whose it is.
    pub(crate) returning_player: String,
    pub(crate) returning_racket: String,
    /// A frame whose holes are on record.
    pub(crate) frame: String,
    /// A stringing machine.
    pub(crate) stringing_machine: String,
    /// A racket with a story.
    pub(crate) told_racket: String,
}

impl BusyDay {
    /// Lives the morning through the API.
    pub(crate) async fn of(tournament: &Tournament) -> Self {
        let day = Day { tournament };
        day.receive_crosses().await;
        day.publish_matches().await;
        let back = day.take_in("P4/1", "22", "kg").await;
        day.out(&back).await;
        let ready = day.take_in("P1/1", "24", "kg").await;
        day.through("ST1", &ready, "tied_off").await;
        day.pass(&ready, "B4").await;
        let checking = day.take_in("P1/2", "24", "kg").await;
        day.through("ST1", &checking, "tied_off").await;
        let machine = day.take_in("P1/3", "24", "kg").await;
        day.through("ST1", &machine, "mains_done").await;
        let badminton = day.take_in("P5/1", "25", "lb").await;
        day.through("ST2", &badminton, "mains_started").await;
        let held = day.take_in("P2/1", "55", "lb").await;
        day.act(&held, "hold", json!({"reason": "player asked to wait"}))
            .await;
        let rushed = day.take_in("P3/1", "54", "lb").await;
        day.act(&rushed, "rush", json!({"level": "court"})).await;
        let late = day.take_in("P6/1", "23.5", "kg").await;
        day.act(&late, "due", json!({"due_at": "2026-05-02T07:52:00Z"}))
            .await;
        for (racket, tension, unit) in [("P1/4", "24.5", "kg"), ("P3/2", "56", "lb"), ("P5/2", "26", "lb")] {
            day.take_in(racket, tension, unit).await;
        }
        day.tomorrow().await;
        Self {
            player: tournament.id("P1").to_owned(),
            link: tournament.player_page("P1").await,
            machine: id_of(&machine),
            checking: id_of(&checking),
            ready: id_of(&ready),
            late: id_of(&late),
            frame: tournament.id("F1").to_owned(),
            stringing_machine: tournament.id("M1").to_owned(),
            idle_station: tournament.id("ST3").to_owned(),
            returning_player: tournament.id("P4").to_owned(),
            returning_racket: tournament.id("P4/1").to_owned(),
            told_racket: tournament.id("P1/1").to_owned(),
        }
    }
}

struct Day<'a> {
    tournament: &'a Tournament,
}

fn id_of(job: &Value) -> String {
    job["id"].as_str().expect("an id").to_owned()
}

impl Day<'_> {
    async fn receive_crosses(&self) {
        let reel = json!({"string_id": self.tournament.id("SB"), "kind": "reel_remainder",
                          "length_mm": 200_000, "label_code": CROSSES_REEL});
        self.tournament.admin.create("/v1/reels", reel).await;
    }

    /// The next day's order of play, and the odds of that day played to the end.
    async fn tomorrow(&self) {
        let played = |id: &str, court: &str, seq: u32, start: Value, sides: Value| {
            json!({"id": id, "court": court, "seq": seq, "format": "bo3_tb", "draw": "WS", "round": "QF",
                   "start": start, "sides": sides})
        };
        let at = |time: &str| json!({"rule": "not_before", "time": time});
        let id = |key: &str| self.tournament.id(key);
        let order = json!({
            "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": NEXT_DAY, "version": 1,
            "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false},
                       {"id": "C2", "label": "Court 2", "surface": "clay", "covered": false}],
            "matches": [
                played("M1", "C1", 1, at("11:00"), json!([[id("P1")], [id("P2")]])),
                played("M2", "C1", 2, at("12:30"), json!([[id("P3")], ["TBD"]])),
                played("M3", "C1", 3, at("15:00"), json!([["TBD"], ["TBD"]])),
                played("M4", "C2", 1, at("11:00"), json!([[id("P4")], [id("P6")]])),
                played("M5", "C2", 2, at("12:30"), json!([["TBD"], ["TBD"]])),
            ],
        });
        let admin = &self.tournament.admin;
        let (status, answer) = admin
            .call("PUT", &format!("/v1/order-of-play/{NEXT_DAY}"), order)
            .await;
        assert_eq!(status, 201, "{answer}");
        admin.open(&format!("/tomorrow?day={NEXT_DAY}")).await;
        admin.reads("#odds-title", "Odds").await;
    }

    /// Two courts, one of them under a roof; the second match is a known player's.
    async fn publish_matches(&self) {
        let admin = &self.tournament.admin;
        let played = |id: &str, court: &str, seq: u32, start: Value, one: &str| {
            json!({"id": id, "court": court, "seq": seq, "format": "bo3_tb", "draw": "WS", "round": "R16",
                   "start": start, "sides": [[one], ["TBD"]]})
        };
        let order = json!({
            "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": "2026-05-02", "version": 1,
            "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false},
                       {"id": "C2", "label": "Court 2", "surface": "hard", "covered": true}],
            "matches": [
                played("M11", "C1", 1, json!({"rule": "starting_at", "time": "11:00"}), "TBD"),
                played("M12", "C1", 2, json!({"rule": "followed_by"}), self.tournament.id("P1")),
                played("M13", "C2", 1, json!({"rule": "not_before", "time": "15:00"}), self.tournament.id("P2")),
            ],
        });
        let (status, answer) = admin.call("PUT", "/v1/order-of-play/2026-05-02", order).await;
        assert_eq!(status, 201, "{answer}");
    }

    async fn take_in(&self, racket: &str, tension: &str, unit: &str) -> Value {
        self.tournament
            .take_in(&self.tournament.admin, racket, (tension, tension, unit))
            .await
    }

    async fn act(&self, job: &Value, action: &str, evidence: Value) {
        let path = format!("/v1/jobs/{}/actions/{action}", id_of(job));
        self.tournament.admin.create(&path, evidence).await;
    }

    /// Strings it at a station up to this phase; the last one goes on to its check.
    async fn through(&self, station: &str, job: &Value, phase: &str) {
        let to = json!({"station_id": self.tournament.id(station)});
        self.act(job, "assign", to).await;
        let scans = json!({"tag": job["tag_code"], "mains": reel_label("SA"), "crosses": CROSSES_REEL});
        self.act(job, "start", scans).await;
        self.act(job, "phase", json!({"phase": phase})).await;
        if phase == "tied_off" {
            self.act(job, "finish", json!({})).await;
        }
    }

    async fn pass(&self, job: &Value, slot: &str) {
        let points = json!({"weave": true, "tie_offs": true, "grommets": true});
        let path = format!("/v1/jobs/{}/checks", id_of(job));
        self.tournament.admin.create(&path, points).await;
        self.act(job, "pass", json!({"slot": slot})).await;
    }

    /// The racket was here before: strung and handed out.
    async fn out(&self, job: &Value) {
        self.through("ST1", job, "tied_off").await;
        self.pass(job, "A1").await;
        let page = self.tournament.player_page("P4").await;
        let secret = page.rsplit('/').next();
        let pickup = json!({"job_ids": [id_of(job)], "tags": [job["tag_code"]],
                            "proof": {"kind": "ticket", "token": secret}});
        self.tournament.admin.create("/v1/pickups", pickup).await;
    }
}
