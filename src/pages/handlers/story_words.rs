//! What happened to a racket, in sentences that stand in a dispute: names, old and new values, the venue's times.
use std::collections::HashMap;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::words;
use crate::craft::custody::Custody;
use crate::craft::job::{JobPhase, JobState};
use crate::desk::hand_out::PickupRecord;
use crate::desk::log::LogEntry;

/// Who and what is called how.
pub struct Names {
    /// Accounts by id.
    pub people: HashMap<String, String>,
    /// Stations by id.
    pub stations: HashMap<String, String>,
    /// Machines by id.
    pub machines: HashMap<String, String>,
    /// What is kept of each pick-up of the story, by its id.
    pub pickups: HashMap<String, PickupRecord>,
    pub zone: Tz,
}

/// Where a racket is, by the names of the places.
pub fn place(names: &Names, custody: &str) -> String {
    match custody.parse() {
        Ok(Custody::Station(id)) => format!("at {}", names.station(&id)),
        Ok(place) => place.words(),
        Err(_) => custody.to_owned(),
    }
}

impl Names {
    fn station(&self, id: &str) -> String {
        let name = self.stations.get(id);
        name.cloned()
            .unwrap_or_else(|| "a station that is gone".to_owned())
    }

    fn person(&self, id: &str) -> String {
        let name = self.people.get(id);
        name.cloned().unwrap_or_else(|| "somebody".to_owned())
    }
}

/// One entry of the log, read.
struct Told<'a> {
    entry: &'a LogEntry,
    names: &'a Names,
}

/// What happened and what more is known of it.
pub fn sentence(entry: &LogEntry, names: &Names) -> (String, Vec<String>) {
    let told = Told { entry, names };
    let detail = told.detail();
    (told.what(), detail.into_iter().flatten().collect())
}

impl Told<'_> {
    fn text(&self, name: &str) -> Option<&str> {
        self.entry.data.get(name).and_then(|value| value.as_str())
    }

    fn station(&self, name: &str) -> String {
        self.text(name)
            .map_or_else(|| "a station".to_owned(), |id| self.names.station(id))
    }

    fn phase(&self, name: &str) -> String {
        let phase: Option<JobPhase> = self.text(name).and_then(|phase| phase.parse().ok());
        phase.map_or_else(|| "nothing yet".to_owned(), JobPhase::caption)
    }

    fn time(&self, name: &str) -> Option<String> {
        let at = self.text(name)?;
        let at: DateTime<Utc> = at.parse().ok()?;
        let day = self.entry.at.with_timezone(&self.names.zone).date_naive();
        Some(words::time_on(self.names.zone, day, at))
    }

    /// "14:20 → 14:35".
    fn changed(&self, after: &str) -> String {
        let none = || "none".to_owned();
        let before = self.time("before").unwrap_or_else(none);
        format!("{before} → {}", self.time(after).unwrap_or_else(none))
    }

    fn what(&self) -> String {
        let fixed = match self.entry.kind.as_str() {
            "job.announced" => "Announced",
            "job.received" => "Taken in",
            "job.acknowledged" => "The changed wish was seen at the bench",
            "job.amended" => "Wish changed",
            "job.paused" => "Paused",
            "job.resumed" => "Gone on",
            "job.restarted" => "Begun again",
            "job.strung" => "Strung",
            "job.failed_check" => "Not passed: to be strung again",
            "job.held" => "Held",
            "job.released" => "No longer held",
            "job.unrushed" => "No longer rushed",
            "job.back" => "Back at the desk: the hand-out was taken back",
            "job.cancelled" => "Cancelled: not to be strung",
            "job.recalled" => "Called back",
            "job.corrected" => "Corrected by hand",
            "job.picked_up" => "A runner took it off the shelf",
            "job.court_call_ended" => "The court does not wait any more",
            "racket.registered" => "Racket registered",
            "racket.corrected" => "What is known of the racket was corrected",
            "racket.photo_kept" => "Photo kept",
            "racket.photo_removed" => "Photo removed",
            "racket.damaged" => "Damage noted",
            _ => return self.what_with_names(),
        };
        fixed.to_owned()
    }

    fn what_with_names(&self) -> String {
        match self.entry.kind.as_str() {
            "job.assigned" => format!("Given to {}", self.station("station_id")),
            "job.unassigned" => format!("Taken from {}; it waits again", self.station("at_station_id")),
            "job.refused" => format!("Not taken at {}; it waits again", self.station("at_station_id")),
            "job.started" => format!("On the machine at {}", self.station("station_id")),
            "job.handed_over" => format!(
                "Handed over from {} to {}",
                self.station("from_station_id"),
                self.station("to_station_id")
            ),
            "job.phase" => format!("At the machine: {}", self.phase("phase").to_lowercase()),
            "job.phase_undone" => format!("Taken back: {}", self.phase("undone").to_lowercase()),
            "job.checked" => {
                let good = self.entry.data["good"].as_bool().unwrap_or_default();
                format!("Checked: {}", if good { "good" } else { "not good" })
            }
            "job.ready" => format!("Ready, slot {}", self.text("slot").unwrap_or("none")),
            "job.rushed" if self.text("level") == Some("court") => {
                "Before all others, for the court".to_owned()
            }
            "job.rushed" => "Rushed".to_owned(),
            "job.due_changed" => format!("Ready by: {}", self.changed("due_at")),
            "job.promise_changed" => format!("Time told to the player: {}", self.changed("promised_at")),
            "job.out" => self.out().to_owned(),
            "job.court_called" => format!("Called to {}", self.text("court").unwrap_or("the court")),
            "job.printed" => self.printed(),
            "job.insisted" => "Insisted on".to_owned(),
            "job.machine_allowed" => {
                let machine = self.text("machine_id").and_then(|id| self.names.machines.get(id));
                let machine = machine.map_or("the machine", String::as_str);
                format!("Allowed on {machine} without its calibration")
            }
            "job.method_chosen" => format!(
                "Weave: {} → {}",
                said(self.text("weave_method_before").unwrap_or("none")),
                said(self.text("weave_method").unwrap_or("none"))
            ),
            "racket.moved" => {
                let at = |name: &str| place(self.names, self.text(name).unwrap_or_default());
                format!("Moved: {} → {}", at("from"), at("to"))
            }
            other => said(other),
        }
    }

    fn out(&self) -> &'static str {
        match self.text("how") {
            Some("give_back") => "Given back as it is",
            Some("court_release") => "Released to the court without the check",
            Some("return") => "Given back: its job was cancelled",
            _ => "Given out",
        }
    }

    fn printed(&self) -> String {
        let copy = self.entry.data["copy"].as_i64().unwrap_or(1);
        format!(
            "Printed: {}, copy {copy}",
            said(self.text("what").unwrap_or("paper"))
        )
    }

    fn detail(&self) -> [Option<String>; 8] {
        let received = matches!(self.entry.kind.as_str(), "job.received" | "job.announced");
        let when = |name: &str, lead: &str| {
            self.time(name)
                .filter(|_| received)
                .map(|at| format!("{lead} {at}"))
        };
        let cause = self
            .text("cause")
            .filter(|_| self.entry.kind == "job.promise_changed");
        let photo = self.entry.kind.starts_with("racket.photo_");
        let places = self.entry.data["places"].as_array().into_iter().flatten();
        let places: Vec<String> = places.filter_map(|one| one.as_str()).map(said).collect();
        let corrected = self.entry.kind == "job.corrected";
        [
            when("due_at", "ready by"),
            when("promised_at", "told the player about"),
            cause.map(because),
            self.text("place").filter(|_| photo).map(said),
            (!places.is_empty()).then(|| places.join(", ")),
            corrected.then(|| format!("{} → {}", self.state("from"), self.state("state"))),
            self.collected(),
            self.text("reason").or_else(|| self.text("why")).map(said),
        ]
    }

    fn state(&self, name: &str) -> String {
        let state: Option<JobState> = self.text(name).and_then(|state| state.parse().ok());
        state.map_or_else(|| "none".to_owned(), |state| state.words().to_owned())
    }

    /// To whom it went, and what proved it.
    fn collected(&self) -> Option<String> {
        if self.entry.kind != "job.out" {
            return None;
        }
        let pickup = self.text("pickup_id").and_then(|id| self.names.pickups.get(id));
        let collector = pickup.map_or(self.text("collector"), |one| one.collector.as_deref());
        let proof = pickup.map_or(self.text("proof"), |one| Some(one.proof.as_str()));
        let second = pickup.and_then(|one| one.second_account_id.as_ref());
        let to = collector.map(|name| format!("to {name}"));
        let proved = proof.map(|proof| match (proof, second) {
            ("second_person", Some(id)) => {
                let why = pickup
                    .and_then(|one| one.reason.as_deref())
                    .unwrap_or("no reason");
                format!("without proof ({why}), {} vouched", self.names.person(id))
            }
            ("second_person", None) => "without proof, a second person vouched".to_owned(),
            ("ticket", _) => "proved by the ticket".to_owned(),
            ("phone_code", _) => "proved by the code on the phone".to_owned(),
            ("badge", _) => "proved by the badge".to_owned(),
            ("delegate", _) => "named by the player".to_owned(),
            ("at_court", _) => "at the court".to_owned(),
            (other, _) => said(other),
        });
        let parts: Vec<String> = to.into_iter().chain(proved).collect();
        (!parts.is_empty()).then(|| parts.join(", "))
    }
}

/// Why the player was told another time.
fn because(cause: &str) -> String {
    let words = match cause {
        "time_passed" => "because time has passed",
        "job.due_changed" => "because its ready-by changed",
        _ => "because other work came before it or moved",
    };
    words.to_owned()
}

fn said(text: &str) -> String {
    text.replace(['_', '.'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn told(kind: &str, data: serde_json::Value) -> String {
        let names = Names {
            people: HashMap::new(),
            stations: HashMap::from([("stn_1".to_owned(), "Station 2".to_owned())]),
            machines: HashMap::new(),
            pickups: HashMap::new(),
            zone: "Europe/Paris".parse().unwrap(),
        };
        let entry = LogEntry {
            sequence: 1,
            id: "evt_1".into(),
            kind: kind.into(),
            subject: "job_1".into(),
            at: "2026-05-02T10:00:00Z".parse().unwrap(),
            device_at: None,
            account_id: None,
            device_id: None,
            data,
        };
        let (what, detail) = sentence(&entry, &names);
        std::iter::once(what).chain(detail).collect::<Vec<_>>().join("; ")
    }

    #[test]
    fn times_places_and_changes_are_told_with_their_names_and_both_values() {
        let due = json!({"before": "2026-05-02T12:20:00Z", "due_at": "2026-05-02T12:35:00Z"});
        assert_eq!(told("job.due_changed", due), "Ready by: 14:20 → 14:35");
        let promise = json!({"before": null, "promised_at": "2026-05-02T12:35:00Z", "cause": "time_passed"});
        assert_eq!(
            told("job.promise_changed", promise),
            "Time told to the player: none → 14:35; because time has passed"
        );
        let moved = json!({"from": "station:stn_1", "to": "shelf:A10"});
        assert_eq!(
            told("racket.moved", moved),
            "Moved: at Station 2 → on the shelf, slot A10"
        );
        let out = json!({"how": "give_back", "proof": "delegate", "collector": "Coach Example"});
        assert_eq!(
            told("job.out", out),
            "Given back as it is; to Coach Example, named by the player"
        );
    }
}
