//! Founds the demo's tournament through the same use cases as a real one.
use chrono_tz::Tz;

use crate::access::secrets::{Password, Pin};
use crate::craft::roles::Role;
use crate::craft::string_plan::request::StockKind;
use crate::demo::invented;
use crate::desk::found::{NewAccount, NewTournament, add_account};
use crate::desk::keep_stock::{NewPiece, add_string, receive_piece};
use crate::desk::keep_workshop::{add_machine, add_station, add_stringer};
use crate::desk::records::{PlayerRecord, RacketRecord, StringRecord, StringerRecord, TournamentSettings};
use crate::desk::refusal::DeskResult;
use crate::desk::register_player::{PlayerFacts, register_player};
use crate::desk::register_racket::{RacketFacts, register_racket};
use crate::desk::shifts::open_station;
use crate::desk::sign_in::fresh_token;
use crate::desk::{Caller, Desk, DeskError, Tx, keep_frame};

/// Where the invented tournament is played.
pub const VENUE: Tz = Tz::Europe__Paris;
/// Where its players collect their rackets.
const COLLECT_AT: &str = "Stringing desk, Gate B, beside Court 1";

/// The roles that get an account, and their PINs on registered devices.
const STAFF: [(Role, &str); 7] = [
    (Role::Desk, "2604"),
    (Role::Stringer, "3715"),
    (Role::Coordinator, "4826"),
    (Role::Runner, "5937"),
    (Role::Referee, "6048"),
    (Role::Accounts, "7159"),
    (Role::Admin, "8260"),
];
/// How many rackets each player brought.
const RACKETS_EACH: usize = 3;

/// A racket that can be handed in, again and again.
#[derive(Debug, Clone)]
pub struct DemoRacket {
    /// Its id.
    pub racket_id: String,
    /// Which of the invented frames it is.
    pub frame: usize,
    /// The string its owner wants.
    pub string_id: String,
    /// Its owner's ticket.
    pub ticket: String,
}

/// What was founded.
#[derive(Debug, Clone)]
pub struct Founded {
    /// The tournament.
    pub tournament: String,
    /// The password of every account, made up for this demo.
    pub password: String,
    /// Sign-in and PIN of every account.
    pub sign_ins: Vec<(String, String)>,
    /// An account at the desk.
    pub desk: Caller,
    /// An account that strings.
    pub stringer: Caller,
    /// An account that steers.
    pub coordinator: Caller,
    /// The open stations.
    pub stations: Vec<String>,
    /// The rackets.
    pub rackets: Vec<DemoRacket>,
}

/// Founds it all.
///
/// # Errors
/// [`DeskError`] only where the database fails.
pub async fn found(desk: &Desk) -> DeskResult<Founded> {
    let new = NewTournament {
        name: "Demo Open".to_owned(),
        time_zone: VENUE.name().to_owned(),
        settings: TournamentSettings {
            collect_at: Some(COLLECT_AT.to_owned()),
            ..TournamentSettings::default()
        },
    };
    let tournament = desk.found_tournament(new).await?;
    let password: String = fresh_token()?
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .take(12)
        .collect();
    let staff = hashed(&password)?;
    let system = Caller::system(&tournament);
    let ids = desk
        .write(&system, move |tx| {
            staff
                .into_iter()
                .map(|new| Ok(add_account(tx, new)?.id))
                .collect::<DeskResult<Vec<_>>>()
        })
        .await?;
    let caller = |role: Role| {
        let place = STAFF.iter().position(|(one, _)| *one == role).unwrap_or(0);
        Caller::account(&tournament, &ids[place], role)
    };
    let stations = desk.write(&caller(Role::Coordinator), workshop).await?;
    let rackets = desk.write(&caller(Role::Coordinator), owners).await?;
    Ok(Founded {
        desk: caller(Role::Desk),
        stringer: caller(Role::Stringer),
        coordinator: caller(Role::Coordinator),
        sign_ins: STAFF
            .iter()
            .map(|(role, pin)| (role.to_string(), (*pin).to_owned()))
            .collect(),
        tournament,
        password,
        stations,
        rackets,
    })
}

fn hashed(password: &str) -> DeskResult<Vec<NewAccount>> {
    let refused = |fault: crate::access::secrets::SecretFault| {
        DeskError::member("/password", "invalid_value", fault.to_string())
    };
    // one hash serves all: it is one password
    let password_hash = Password::parse(password)
        .and_then(|it| it.hash())
        .map_err(refused)?;
    STAFF
        .iter()
        .map(|(role, pin)| {
            Ok(NewAccount {
                sign_in: role.to_string(),
                display_name: format!("Demo {role}"),
                role: *role,
                password_hash: Some(password_hash.clone()),
                pin_hash: Some(Pin::parse(pin).and_then(|it| it.hash()).map_err(refused)?),
                stringer_id: None,
            })
        })
        .collect()
}

fn workshop(tx: &mut Tx<'_>) -> DeskResult<Vec<String>> {
    let mut stations = Vec::new();
    for (place, (name, facts)) in invented::machines()?.into_iter().enumerate() {
        let machine = add_machine(tx, name, &facts, None)?;
        let stringer = add_stringer(tx, invented::STRINGERS[place], &StringerRecord::default())?;
        let station = add_station(tx, &format!("Station {}", place + 1), &machine.id)?;
        open_station(tx, &station.id, &stringer.id)?;
        stations.push(station.id);
    }
    Ok(stations)
}

fn owners(tx: &mut Tx<'_>) -> DeskResult<Vec<DemoRacket>> {
    let mut frames = Vec::new();
    for record in invented::frames()? {
        frames.push(keep_frame::add_frame(tx, &record, None)?.id);
    }
    let strings = stock(tx)?;
    let mut rackets = Vec::new();
    for (place, (name, latin)) in invented::PLAYERS.into_iter().enumerate() {
        let player = register_player(
            tx,
            PlayerFacts {
                display_name: name.to_owned(),
                badge: Some(format!("DEMO-{}", place + 1)),
                record: PlayerRecord {
                    latin_name: latin.map(str::to_owned),
                    ..PlayerRecord::default()
                },
            },
        )?;
        // most play tennis; every fourth plays one of the other sports
        let frame = if place % 4 == 3 { 1 + (place / 4) % 2 } else { 0 };
        let string = if frame == 1 { 2 } else { place % 2 };
        for number in 1..=RACKETS_EACH {
            let facts = RacketFacts {
                player_id: player.id.clone(),
                frame_id: frames[frame].clone(),
                label_code: None,
                record: RacketRecord {
                    number: Some(number.to_string()),
                    ..RacketRecord::default()
                },
            };
            rackets.push(DemoRacket {
                racket_id: register_racket(tx, facts)?.id,
                frame,
                string_id: strings[string].clone(),
                ticket: player.link_token.clone().unwrap_or_default(),
            });
        }
    }
    Ok(rackets)
}

fn stock(tx: &mut Tx<'_>) -> DeskResult<Vec<String>> {
    let mut ids = Vec::new();
    for (name, gauge_mm, material, length_mm) in invented::STRINGS {
        let record = StringRecord {
            gauge_mm: Some(gauge_mm.to_owned()),
            material: Some(crate::storage::from_record(&format!("\"{material}\""))?),
        };
        let string = add_string(tx, name, &record)?;
        let reel = NewPiece {
            string_id: string.id.clone(),
            owner_player_id: None,
            label_code: None,
            kind: StockKind::ReelRemainder,
            length_mm,
        };
        receive_piece(tx, reel)?;
        ids.push(string.id);
    }
    Ok(ids)
}
