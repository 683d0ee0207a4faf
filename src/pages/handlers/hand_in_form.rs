//! What a filled-in Hand In form asks for: players and rackets to register, orders to take in.
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::hand_in_photos::places;
use super::spoken_wish::{self, Spoken};
use super::{hand_in_card, words};
use crate::craft::sport::Sport;
use crate::desk::court_times::due_by::DueBy;
use crate::desk::find::{self, PlayerCard};
use crate::desk::hand_in::HandIn;
use crate::desk::records::{DamageMark, DamagePlace, PlayerRecord, Purpose, RacketRecord};
use crate::desk::register_player::{PlayerFacts, register_player};
use crate::desk::register_racket::{RacketFacts, register_racket};
use crate::desk::{DeskError, DeskResult, Tx, overview};

/// Registers what is new and reads the orders, in the transaction that takes them in.
///
/// # Errors
/// [`DeskError::Invalid`] with the pointer of the line.
pub fn orders(tx: &mut Tx<'_>, form: &Filled, zone: Tz, now: DateTime<Utc>) -> DeskResult<Vec<HandIn>> {
    let player_id = match form.some("player_id") {
        Some(id) => id,
        None => new_player(tx, form)?,
    };
    let card = find::card(tx.db, tx.caller.tournament(), &player_id)?;
    let lines = 1..=hand_in_card::lines_of(form);
    lines
        .map(|number| order(tx, form, &card, number, (zone, now)))
        .collect()
}

/// One line of the drop-off.
fn order(
    tx: &mut Tx<'_>,
    form: &Filled,
    card: &PlayerCard,
    number: usize,
    (zone, now): (Tz, DateTime<Utc>),
) -> DeskResult<HandIn> {
    let at = format!("/jobs/{}", number - 1);
    let said = |field: &str| form.get(&format!("line_{number}_{field}"));
    let chosen = said("racket_id");
    let known = card.rackets.iter().find(|one| one.racket.id == chosen);
    let (racket_id, sport) = match known {
        Some(one) => (one.racket.id.clone(), one.frame.sport),
        None if chosen == "new" => {
            let sport = sport_of(tx, said("frame_id"))?;
            let id = new_racket(tx, &card.player.id, said("frame_id"), said("marks"))?;
            (id, sport)
        }
        None => {
            let words = format!("Choose which racket number {number} of this drop-off is.");
            let pointer = format!("{at}/racket_id");
            return Err(DeskError::member(pointer, "missing_member", words));
        }
    };
    let last = known.and_then(|one| one.last.as_ref());
    let purpose = purpose(said("purpose"));
    let due = due(said("due"), said("ready_by"), purpose, &at, (zone, now))?;
    let spoken = Spoken {
        at: &at,
        number,
        // what was said in words goes before a tile
        said: if said("as_said").is_empty() {
            said("step")
        } else {
            said("as_said")
        },
        unit: said("unit"),
        sport,
    };
    Ok(HandIn {
        racket_id,
        spec: spoken_wish::spec(form, last.map(|sheet| sheet.spec.clone()), &spoken)?,
        due,
        purpose,
        not_before_at: None,
        wants_stringer_id: None,
        condition_ok: form.get("condition") == "ok",
        damage: damage(form),
        code: form.some(&format!("line_{number}_code")),
        insist: form.some("override").and_then(|_| form.some("override_reason")),
    })
}

/// A match by its tile, or the time that was typed.
fn due(
    tile: &str,
    typed: &str,
    purpose: Option<Purpose>,
    at: &str,
    (zone, now): (Tz, DateTime<Utc>),
) -> DeskResult<DueBy> {
    if let Some(id) = tile.strip_prefix("match:") {
        return Ok(DueBy::Match(id.to_owned()));
    }
    let time = words::moment(zone, now, typed);
    let follows = match tile {
        "" => purpose == Some(Purpose::Match),
        tile => tile == "next_match",
    };
    if time.is_none() && !(follows && typed.is_empty()) {
        let words = "Give the time as the venue's clock shows it, such as 14:30.";
        return Err(DeskError::member(format!("{at}/due_at"), "invalid_value", words));
    }
    DueBy::asked(None, time, follows, at)
}

fn purpose(said: &str) -> Option<Purpose> {
    match said {
        "match" => Some(Purpose::Match),
        "practice" => Some(Purpose::Practice),
        "spare" => Some(Purpose::Spare),
        _ => None,
    }
}

fn new_player(tx: &mut Tx<'_>, form: &Filled) -> DeskResult<String> {
    let facts = PlayerFacts {
        display_name: form.get("new_player_name").to_owned(),
        badge: None,
        record: PlayerRecord {
            country: form.some("new_player_country"),
            language: form.some("new_player_language"),
            ..PlayerRecord::default()
        },
    };
    Ok(register_player(tx, facts)?.id)
}

fn new_racket(tx: &mut Tx<'_>, player_id: &str, frame_id: &str, marks: &str) -> DeskResult<String> {
    let facts = RacketFacts {
        player_id: player_id.to_owned(),
        frame_id: frame_id.to_owned(),
        label_code: None,
        record: RacketRecord {
            marks: Some(marks.to_owned())
                .filter(|marks| !marks.is_empty())
                .into_iter()
                .collect(),
            ..RacketRecord::default()
        },
    };
    Ok(register_racket(tx, facts)?.id)
}

/// Cracks are a fact of the whole hoop; the place is where the eye found it.
fn damage(form: &Filled) -> Vec<DamageMark> {
    if form.get("condition") != "marked" {
        return Vec::new();
    }
    let cracked = form.has("damage", "cracked");
    let mut places = places(form);
    if places.is_empty() {
        places.push(DamagePlace::HeadTop);
    }
    let mark = |place| DamageMark {
        place,
        note: form.get("damage_note").to_owned(),
        cracked,
    };
    places.into_iter().map(mark).collect()
}

/// The sport of a frame; the desk refuses a frame that is not there when the racket is registered.
fn sport_of(tx: &mut Tx<'_>, frame_id: &str) -> DeskResult<Sport> {
    let frames = overview::frames(tx.db, tx.caller.tournament())?;
    let known = frames.into_iter().find(|(frame, _)| frame.id == frame_id);
    Ok(known.map_or(Sport::Tennis, |(_, record)| record.sport))
}
