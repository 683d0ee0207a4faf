//! A tournament with eight stations and rackets to string, brought in through the desk's use cases.
//!
//! Test targets and benchmarks take it in with `#[path = "../support/workshop.rs"] mod workshop;`.
use serde_json::{Value, json};
use weftdesk::access::Identity;
use weftdesk::craft::roles::Role;
use weftdesk::desk::court_times::due_by::DueBy;
use weftdesk::desk::found::{NewAccount, NewTournament, add_account};
use weftdesk::desk::hand_in::HandIn;
use weftdesk::desk::keep_frame::add_frame;
use weftdesk::desk::keep_stock::add_string;
use weftdesk::desk::keep_workshop::{add_machine, add_station, add_stringer};
use weftdesk::desk::records::{PlayerRecord, RacketRecord, StringRecord, StringerRecord, TournamentSettings};
use weftdesk::desk::register_player::{PlayerFacts, register_player};
use weftdesk::desk::register_racket::{RacketFacts, register_racket};
use weftdesk::desk::shifts::open_station;
use weftdesk::desk::{Caller, Desk, DeskResult, Tx};

/// So many stations pull at once.
pub(crate) const STATIONS: usize = 8;
const RACKETS_EACH: usize = 4;

/// A racket and what its owner shows to get it back.
#[derive(Debug, Clone)]
pub(crate) struct Racket {
    pub(crate) id: String,
    pub(crate) badge: String,
}

/// Everybody and everything that the load works with.
#[derive(Debug, Clone)]
pub(crate) struct Workshop {
    pub(crate) tournament: String,
    pub(crate) coordinator: Caller,
    pub(crate) stations: Vec<String>,
    pub(crate) rackets: Vec<Racket>,
    pub(crate) string_id: String,
}

impl Workshop {
    /// Founds it; `players` bring four rackets each.
    pub(crate) async fn found(desk: &Desk, players: usize) -> Self {
        let new = NewTournament {
            name: "Demo Open".to_owned(),
            time_zone: "Europe/Paris".to_owned(),
            settings: TournamentSettings::default(),
        };
        let tournament = desk.found_tournament(new).await.expect("a tournament");
        let account = NewAccount {
            sign_in: "coordinator".to_owned(),
            display_name: "Example Coordinator".to_owned(),
            role: Role::Coordinator,
            password_hash: None,
            pin_hash: None,
            stringer_id: None,
        };
        let founder = Caller::system(&tournament);
        let added = desk.write(&founder, |tx| add_account(tx, account));
        let account = added.await.expect("an account").id;
        let coordinator = Caller::account(&tournament, &account, Role::Coordinator);
        let brought = desk.write(&coordinator, move |tx| {
            let stations = stations(tx)?;
            let string_id = add_string(tx, "String A", &StringRecord::default())?.id;
            Ok((stations, string_id, rackets(tx, players)?))
        });
        let (stations, string_id, rackets) = brought.await.expect("the workshop is furnished");
        Self {
            tournament,
            coordinator,
            stations,
            rackets,
            string_id,
        }
    }

    /// Whose token the coordinator carries over the API.
    pub(crate) fn identity(&self) -> Identity {
        Identity {
            sub: self.coordinator.account_id.clone().expect("an account"),
            tid: self.tournament.clone(),
            role: Role::Coordinator.as_str().to_owned(),
            sid: "ses_of_the_test".to_owned(),
            did: None,
        }
    }

    /// How every owner wants it.
    pub(crate) fn spec(&self) -> Value {
        let side = |kg: &str| json!({"string": {"string_id": self.string_id}, "tension": {"value": kg, "unit": "kg"}});
        json!({"pieces": "two", "mains": side("24.5"), "crosses": side("23.5")})
    }

    /// What the desk takes when this racket comes over the counter.
    pub(crate) fn hand_in(&self, desk: &Desk, racket: &str) -> HandIn {
        HandIn {
            racket_id: racket.to_owned(),
            spec: serde_json::from_value(self.spec()).expect("a spec"),
            due: DueBy::Time(desk.clock().desk() + chrono::TimeDelta::hours(2)),
            purpose: None,
            not_before_at: None,
            wants_stringer_id: None,
            condition_ok: true,
            damage: Vec::new(),
            code: None,
            insist: None,
        }
    }
}

fn stations(tx: &mut Tx<'_>) -> DeskResult<Vec<String>> {
    let facts =
        json!({"clamps": "fixed_swivel", "pull": "constant", "units": [{"unit": "kg", "step": "0.1"}]});
    let facts = serde_json::from_value(facts).expect("a machine");
    (1..=STATIONS)
        .map(|number| {
            let machine = add_machine(tx, &format!("Machine {number}"), &facts, None)?.id;
            let stringer = add_stringer(tx, &format!("Stringer {number}"), &StringerRecord::default())?.id;
            let station = add_station(tx, &format!("Station {number}"), &machine)?.id;
            open_station(tx, &station, &stringer)?;
            Ok(station)
        })
        .collect()
}

fn rackets(tx: &mut Tx<'_>, players: usize) -> DeskResult<Vec<Racket>> {
    let fixtures: Value = serde_json::from_str(include_str!("../data/fixtures.json")).expect("JSON");
    let mut frame = fixtures["frames"][0].clone();
    frame.as_object_mut().expect("a frame").remove("key");
    let frame = add_frame(tx, &serde_json::from_value(frame).expect("a frame record"), None)?.id;
    let mut rackets = Vec::new();
    for number in 1..=players {
        let badge = format!("badge-{number}");
        let facts = PlayerFacts {
            display_name: format!("Example Player {number}"),
            badge: Some(badge.clone()),
            record: PlayerRecord::default(),
        };
        let player = register_player(tx, facts)?.id;
        for _ in 0..RACKETS_EACH {
            let facts = RacketFacts {
                player_id: player.clone(),
                frame_id: frame.clone(),
                label_code: None,
                record: RacketRecord::default(),
            };
            let id = register_racket(tx, facts)?.id;
            rackets.push(Racket {
                id,
                badge: badge.clone(),
            });
        }
    }
    Ok(rackets)
}
