//! The day that is measured: players, rackets, stations, courts.
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use chrono::Timelike;
use serde_json::{Value, json};
use weftdesk::access::{Access, key_file};
use weftdesk::desk::court_times::change_order::put_order;
use weftdesk::desk::court_times::due_by::DueBy;
use weftdesk::desk::hand_in::hand_in;
use weftdesk::desk::keep_workshop::{add_machine, add_station, add_stringer};
use weftdesk::desk::records::{PlayerRecord, StringerRecord};
use weftdesk::desk::register_player::{PlayerFacts, register_player};
use weftdesk::desk::shifts::open_station;
use weftdesk::desk::{Clock, Desk, DeskResult, Tx};
use weftdesk::storage::Store;

use crate::http::Connection;
use crate::workshop::{self, Workshop};

pub(crate) const COURTS: usize = 20;
pub(crate) const MATCHES: usize = 12;
pub(crate) const STATIONS: usize = 20;
/// Players with rackets: four each.
const WITH_RACKETS: usize = 38;
/// Their matches are this many after the first of their court.
const THEIR_SEQ: usize = 6;

pub(crate) struct Waiting {
    pub(crate) code: String,
    player: usize,
}

pub(crate) struct Scene {
    pub(crate) token: String,
    pub(crate) jobs: Vec<Waiting>,
    day: String,
}

impl Scene {
    pub(crate) fn set(runtime: &tokio::runtime::Runtime, database: &str, folder: &Path) -> Self {
        let store = Store::open(database).expect("a database");
        let desk = Desk::new(store, Clock::real());
        let workshop = runtime.block_on(Workshop::found(&desk, WITH_RACKETS));
        assert_eq!(workshop.stations.len(), workshop::STATIONS);
        let more = desk.write(&workshop.coordinator, |tx| {
            more_stations(tx)?;
            opponents(tx)
        });
        runtime.block_on(more).expect("stations and opponents");
        let day = Clock::real()
            .desk()
            .with_timezone(&chrono_tz::Europe::Paris)
            .date_naive();
        let (order, memory) = (order(&day.to_string()), desk.court_memory());
        let put = desk.write(&workshop.coordinator, move |tx| {
            put_order(tx, day, &order, None, true, &memory)
        });
        runtime.block_on(put).expect("an order of play");
        let mut jobs = Vec::new();
        for racket in &workshop.rackets {
            let mut one = workshop.hand_in(&desk, &racket.id);
            one.due = DueBy::NextMatch { until_known: None };
            let taken = desk.write(&workshop.coordinator, move |tx| hand_in(tx, one));
            let taken = runtime.block_on(taken).expect("it is taken in");
            let player = racket
                .badge
                .trim_start_matches("badge-")
                .parse()
                .expect("a number");
            jobs.push(Waiting {
                code: taken.code,
                player,
            });
        }
        Self {
            token: token(folder, &workshop),
            jobs,
            day: day.to_string(),
        }
    }

    /// All first matches have begun, and the first plan is made.
    pub(crate) fn settle(&self, desk: &mut Connection) {
        for court in 1..=COURTS {
            self.tell(
                desk,
                u64::try_from(court).expect("a number"),
                &format!("M{court}-1"),
                "started",
            );
        }
        let planned = |desk: &mut Connection| {
            let (_, plan) = desk.get("/v1/schedule");
            let plan: Value = serde_json::from_slice(&plan).expect("JSON");
            plan["plan"]["lanes"]
                .as_array()
                .is_some_and(|lanes| lanes.len() == STATIONS)
        };
        for _ in 0..600 {
            if planned(desk) {
                break;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        assert!(planned(desk), "a minute without a plan");
        std::thread::sleep(Duration::from_secs(3));
    }

    /// One event of a court, now.
    pub(crate) fn tell(&self, desk: &mut Connection, n: u64, played: &str, kind: &str) {
        let mut event =
            json!({"src": "referee", "n": n, "at": Clock::real().desk(), "match": played, "type": kind});
        if kind == "finished" {
            event["winner"] = json!(1);
        }
        let path = format!("/v1/order-of-play/{}/events?confirm=true", self.day);
        let (status, answer) = desk.post(&path, &format!("court-{n}"), &event.to_string());
        assert_eq!(status, 200, "{}", String::from_utf8_lossy(&answer));
    }

    /// The rackets whose players play on this court.
    pub(crate) fn jobs_of_court(&self, court: usize) -> Vec<&Waiting> {
        self.jobs
            .iter()
            .filter(|job| (job.player - 1) % COURTS + 1 == court)
            .collect()
    }
}

fn more_stations(tx: &mut Tx<'_>) -> DeskResult<()> {
    let facts =
        json!({"clamps": "fixed_swivel", "pull": "constant", "units": [{"unit": "kg", "step": "0.1"}]});
    let facts = serde_json::from_value(facts).expect("a machine");
    for number in workshop::STATIONS + 1..=STATIONS {
        let machine = add_machine(tx, &format!("Machine {number}"), &facts, None)?.id;
        let stringer = add_stringer(tx, &format!("Stringer {number}"), &StringerRecord::default())?.id;
        let station = add_station(tx, &format!("Station {number}"), &machine)?.id;
        open_station(tx, &station, &stringer)?;
    }
    Ok(())
}

/// Whoever else plays, without a racket at the desk.
fn opponents(tx: &mut Tx<'_>) -> DeskResult<()> {
    for number in 1..=COURTS * MATCHES * 2 {
        let facts = PlayerFacts {
            display_name: format!("Example Opponent {number}"),
            badge: Some(format!("opponent-{number}")),
            record: PlayerRecord::default(),
        };
        register_player(tx, facts)?;
    }
    Ok(())
}

/// Twenty courts of twelve matches from now on; those with rackets here play the sixth and the seventh.
fn order(day: &str) -> String {
    let now = Clock::real().desk().with_timezone(&chrono_tz::Europe::Paris);
    let first = format!("{:02}:{:02}", now.hour(), now.minute());
    let mut text = String::from("day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n");
    for court in 1..=COURTS {
        for seq in 1..=MATCHES {
            let start = if seq == 1 {
                format!("starting_at,{first}")
            } else {
                "followed_by,".to_owned()
            };
            let number = (court - 1) * MATCHES + seq;
            let ours = court + COURTS * seq.saturating_sub(THEIR_SEQ);
            let first = if (THEIR_SEQ..THEIR_SEQ + 2).contains(&seq) && ours <= WITH_RACKETS {
                format!("badge-{ours}")
            } else {
                format!("opponent-{number}")
            };
            let second = format!("opponent-{}", number + COURTS * MATCHES);
            text += &format!("{day},C{court},{seq},M{court}-{seq},MS,bo3_tb,{start},{first},{second}\n");
        }
    }
    text
}

/// The access token that the program's key signs for the workshop's coordinator.
fn token(folder: &Path, workshop: &Workshop) -> String {
    let key = key_file::load_or_create(&folder.join("signing.key")).expect("a key");
    let clock = Clock::real();
    let access = Access::new(&key, "weftdesk", false, Arc::new(move || clock.wall())).expect("tokens");
    access.issue(&workshop.identity()).expect("a token")
}
