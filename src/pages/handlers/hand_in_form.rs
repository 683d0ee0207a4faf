//! What a filled-in Hand In form asks for: players and rackets to register, orders to take in.
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::spoken_wish::{self, Spoken};
use super::{hand_in_card, hand_in_condition, hand_in_due};
use crate::craft::sport::Sport;
use crate::desk::find::{self, PlayerCard};
use crate::desk::hand_in::HandIn;
use crate::desk::records::{PlayerRecord, Purpose, RacketRecord};
use crate::desk::register_player::{PlayerFacts, register_player};
use crate::desk::register_racket::{RacketFacts, register_racket};
use crate::desk::{DeskError, DeskResult, Tx, overview};
use crate::pages::views::hand_in::Wish;

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
    let due = hand_in_due::Said {
        tile: said("due"),
        typed: said("ready_by"),
        day: said("day"),
        purpose,
    };
    let due = hand_in_due::asked(due, &at, (zone, now))?;
    let (condition_ok, damage) = hand_in_condition::seen(form, number, &at)?;
    let spoken = Spoken {
        at: &at,
        number,
        // the tiles belong to a change; those of one that was left again come along unseen
        said: match hand_in_card::wish_of(form) {
            Wish::Change => spoken_wish::said(said("step"), said("as_said"), &at)?,
            Wish::Same | Wish::New => said("as_said"),
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
        condition_ok,
        damage,
        code: form.some(&format!("line_{number}_code")),
        insist: form.some("override").and_then(|_| form.some("override_reason")),
    })
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

/// The sport of a frame; the desk refuses a frame that is not there when the racket is registered.
fn sport_of(tx: &mut Tx<'_>, frame_id: &str) -> DeskResult<Sport> {
    let frames = overview::frames(tx.db, tx.caller.tournament())?;
    let known = frames.into_iter().find(|(frame, _)| frame.id == frame_id);
    Ok(known.map_or(Sport::Tennis, |(_, record)| record.sport))
}
