//! What a filled-in Hand In form asks for: players and rackets to register, orders to take in.
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::{hand_in_card, words};
use crate::craft::spec::{Pieces, Spec, StringFacts, StringSpec};
use crate::craft::tension::{Tension, TensionUnit};
use crate::desk::find;
use crate::desk::hand_in::HandIn;
use crate::desk::records::{DamageMark, DamagePlace, PlayerRecord, Purpose, RacketRecord};
use crate::desk::register_player::{PlayerFacts, register_player};
use crate::desk::register_racket::{RacketFacts, register_racket};
use crate::desk::{DeskError, DeskResult, Tx};
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
    let mut orders = Vec::new();
    for number in 1..=hand_in_card::lines_of(form) {
        let at = format!("/jobs/{}", number - 1);
        let said = |field: &str| form.get(&format!("line_{number}_{field}"));
        let chosen = said("racket_id");
        let known = card.rackets.iter().find(|one| one.racket.id == chosen);
        let racket_id = match known {
            Some(one) => one.racket.id.clone(),
            None if chosen == "new" => new_racket(tx, &player_id, said("frame_id"), said("marks"))?,
            None => {
                let words = format!("Choose which racket number {number} of this drop-off is.");
                return Err(DeskError::member(
                    format!("{at}/racket_id"),
                    "missing_member",
                    words,
                ));
            }
        };
        let last = known
            .and_then(|one| one.last.as_ref())
            .map(|sheet| sheet.spec.clone());
        let Some(due_at) = words::moment(zone, now, said("ready_by")) else {
            let words = "Give the time as the venue's clock shows it, such as 14:30.";
            return Err(DeskError::member(format!("{at}/due_at"), "invalid_value", words));
        };
        orders.push(HandIn {
            racket_id,
            spec: spec(form, last, &at, said("as_said"), said("unit"))?,
            due_at,
            purpose: match said("purpose") {
                "match" => Some(Purpose::Match),
                "practice" => Some(Purpose::Practice),
                "spare" => Some(Purpose::Spare),
                _ => None,
            },
            not_before_at: None,
            wants_stringer_id: None,
            condition_ok: form.get("condition") == "ok",
            damage: damage(form),
            code: None,
            insist: form.some("override").and_then(|_| form.some("override_reason")),
        });
    }
    Ok(orders)
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
    let places = form.all("damage").filter_map(|place| match place {
        "head_top" => Some(DamagePlace::HeadTop),
        "shoulders" => Some(DamagePlace::Shoulders),
        "throat" => Some(DamagePlace::Throat),
        "grommets" => Some(DamagePlace::Grommets),
        _ => None,
    });
    let mut places: Vec<DamagePlace> = places.collect();
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

fn spec(form: &Filled, last: Option<Spec>, at: &str, said: &str, unit: &str) -> DeskResult<Spec> {
    let wish = hand_in_card::wish_of(form);
    let mut spec = match (wish, last) {
        (Wish::Same, Some(last)) => return Ok(last),
        (Wish::Same, None) => {
            let words = "This racket was not strung here before; choose New spec and say how it is wanted.";
            return Err(DeskError::member(
                format!("{at}/racket_id"),
                "invalid_value",
                words,
            ));
        }
        (Wish::Change, Some(last)) => last,
        (Wish::Change | Wish::New, _) => {
            let (mains, crosses) = pulls(at, said, unit)?;
            plain(mains, crosses)
        }
    };
    if wish == Wish::Change && !said.is_empty() {
        let unit = if unit.is_empty() {
            spec.mains.tension.unit().symbol()
        } else {
            unit
        };
        (spec.mains.tension, spec.crosses.tension) = pulls(at, said, unit)?;
    }
    for (field, part) in [
        ("mains_string_id", &mut spec.mains),
        ("crosses_string_id", &mut spec.crosses),
    ] {
        if let Some(id) = form.some(field) {
            let words = "Choose a string of the list.";
            let id = id
                .parse()
                .map_err(|_fault| DeskError::member(format!("/{field}"), "unknown_reference", words))?;
            part.string = StringFacts {
                string_id: Some(id),
                ..StringFacts::default()
            };
        } else if let Some(own) = form.some("own_string") {
            part.string = StringFacts {
                name: Some(own),
                ..StringFacts::default()
            };
        }
    }
    if let Some(pieces) = form.some("pieces") {
        spec.pieces = if pieces == "one" { Pieces::One } else { Pieces::Two };
    }
    spec.as_said = Some(said.to_owned()).filter(|said| !said.is_empty());
    spec.note = form.some("note");
    Ok(spec)
}

/// "24/23" or "52", with a point or a comma, in the unit that was chosen.
fn pulls(at: &str, said: &str, unit: &str) -> DeskResult<(Tension, Tension)> {
    let unit = match unit {
        "kg" => TensionUnit::Kg,
        "lb" => TensionUnit::Lb,
        _ => {
            let words = "Ask the player: kilograms or pounds?";
            return Err(DeskError::member(format!("{at}/unit"), "missing_member", words));
        }
    };
    let (mains, crosses) = said.split_once('/').unwrap_or((said, said));
    let pull = |text: &str| {
        Tension::parse(&text.trim().replace(',', "."), unit).map_err(|_fault| {
            let words = "Give one number, or mains and crosses as 24/23.";
            DeskError::member(format!("{at}/spec/mains/tension"), "invalid_value", words)
        })
    };
    Ok((pull(mains)?, pull(crosses)?))
}

fn plain(mains: Tension, crosses: Tension) -> Spec {
    let part = |tension| StringSpec {
        string: StringFacts::default(),
        tension,
        pre_stretch: crate::craft::spec::PreStretch::None,
    };
    Spec {
        pieces: Pieces::Two,
        mains: part(mains),
        crosses: part(crosses),
        method: None,
        knot_extra: None,
        stencil: None,
        tension_label: false,
        string_savers: false,
        shoulder_pads: false,
        return_dampener: false,
        grip: None,
        grommets: None,
        lead: None,
        cut_out_only: false,
        cut_out_not_before_at: None,
        read_old_bed_first: false,
        as_said: None,
        note: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_number_is_for_both_and_a_slash_parts_them() {
        let (mains, crosses) = pulls("", "24,5/23", "kg").unwrap();
        assert_eq!((mains.value(), crosses.value()), ("24.5", "23"));
        let (mains, crosses) = pulls("", "52", "lb").unwrap();
        assert_eq!((mains.value(), crosses.value()), ("52", "52"));
    }

    #[test]
    fn a_number_without_a_unit_is_asked_about_not_guessed() {
        let DeskError::Invalid(faults) = pulls("/jobs/0", "52", "").unwrap_err() else {
            panic!("a shape fault");
        };
        assert_eq!(faults[0].pointer, "/jobs/0/unit");
    }
}
