//! What a filled-in Hand In form asks for: players and rackets to register, orders to take in.
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::hand_in_photos::places;
use super::{hand_in_card, words};
use crate::craft::spec::{Pieces, Spec, StringFacts, StringSpec};
use crate::craft::sport::Sport;
use crate::craft::tension::{Tension, TensionUnit};
use crate::craft::wishes::{Missing, ResolvedWish, WishAnswer, WishContext, resolve_wish};
use crate::desk::court_times::due_by::DueBy;
use crate::desk::find::{self, PlayerCard};
use crate::desk::hand_in::HandIn;
use crate::desk::records::{DamageMark, DamagePlace, PlayerRecord, Purpose, RacketRecord};
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
        spec: spec(form, last.map(|sheet| sheet.spec.clone()), &spoken)?,
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

/// The wish of one line, as it was spoken.
struct Spoken<'a> {
    /// The pointer of the line.
    at: &'a str,
    /// Which racket of the drop-off, from 1.
    number: usize,
    said: &'a str,
    /// `kg`, `lb` or not asked yet.
    unit: &'a str,
    sport: Sport,
}

fn spec(form: &Filled, last: Option<Spec>, spoken: &Spoken<'_>) -> DeskResult<Spec> {
    let wish = hand_in_card::wish_of(form);
    let mut spec = match (wish, last) {
        (Wish::Same, Some(last)) => return Ok(last),
        (Wish::Same, None) => {
            let words = "This racket was not strung here before; choose New spec and say how it is wanted.";
            let pointer = format!("{}/racket_id", spoken.at);
            return Err(DeskError::member(pointer, "invalid_value", words));
        }
        (Wish::Change, Some(last)) if spoken.said.is_empty() => last,
        (Wish::Change, Some(last)) => wished(spoken, Some(&last), Some(last.clone()))?,
        // a new spec begins with nothing, though a wish may be counted from the last one
        (Wish::Change | Wish::New, last) => wished(spoken, last.as_ref(), None)?,
    };
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
    if let Some(note) = form.some("note") {
        spec.note = Some(note);
    }
    Ok(spec)
}

/// `base`, or a plain spec, with the tensions of the wish.
fn wished(spoken: &Spoken<'_>, last: Option<&Spec>, base: Option<Spec>) -> DeskResult<Spec> {
    let resolved = resolved(spoken, last)?;
    let racket = match resolved.rackets.as_slice() {
        [only] => only,
        many => many.get(spoken.number - 1).ok_or_else(|| {
            let words = format!(
                "The wish names {} rackets; this is number {}.",
                many.len(),
                spoken.number
            );
            DeskError::member(format!("{}/spec/mains/tension", spoken.at), "out_of_range", words)
        })?,
    };
    let (mains, crosses) = (racket.mains.clone(), racket.crosses.clone());
    let mut spec = match base {
        Some(mut base) => {
            (base.mains.tension, base.crosses.tension) = (mains, crosses);
            base
        }
        None => plain(mains, crosses),
    };
    if let Some(pieces) = resolved.pieces {
        spec.pieces = pieces;
    }
    spec.as_said = Some(resolved.as_said);
    if !resolved.remarks.is_empty() {
        spec.note = Some(resolved.remarks.join("; "));
    }
    Ok(spec)
}

/// The wish in numbers; what is open is asked, never guessed.
fn resolved(spoken: &Spoken<'_>, last: Option<&Spec>) -> DeskResult<ResolvedWish> {
    let context = WishContext {
        sport: spoken.sport,
        usual_unit: match spoken.unit {
            "kg" => Some(TensionUnit::Kg),
            "lb" => Some(TensionUnit::Lb),
            _ => last.map(|last| last.mains.tension.unit()),
        },
        last,
    };
    let tension = format!("{}/spec/mains/tension", spoken.at);
    match resolve_wish(spoken.said, &context) {
        Ok(WishAnswer::Resolved(wish)) => Ok(wish),
        Ok(WishAnswer::Needs(needs)) if needs.what == Missing::Unit && spoken.unit.is_empty() => {
            let words = "Ask the player: kilograms or pounds?";
            let pointer = format!("{}/unit", spoken.at);
            Err(DeskError::member(pointer, "missing_member", words))
        }
        Ok(WishAnswer::Needs(needs)) => {
            let choices: Vec<String> = needs.choices.into_iter().map(|one| one.wish).collect();
            let words = if choices.is_empty() {
                format!("Ask the player: {}", needs.question)
            } else {
                format!(
                    "Ask the player: {} Write: {}.",
                    needs.question,
                    choices.join(", or ")
                )
            };
            Err(DeskError::member(tension, "missing_member", words))
        }
        Err(fault) => Err(DeskError::member(tension, "invalid_value", fault.to_string())),
    }
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

    fn spoken<'a>(said: &'a str, unit: &'a str, number: usize) -> Spoken<'a> {
        Spoken {
            at: "/jobs/0",
            number,
            said,
            unit,
            sport: Sport::Tennis,
        }
    }

    #[track_caller]
    fn check(said: &str, unit: &str, number: usize, mains: &str, crosses: &str) {
        let spec = wished(&spoken(said, unit, number), None, None).unwrap();
        let pulls = [&spec.mains.tension, &spec.crosses.tension].map(words::tension);
        assert_eq!(pulls, [mains, crosses], "{said}");
        assert_eq!(spec.as_said.as_deref(), Some(said));
    }

    #[test]
    fn wishes_become_tensions_as_they_are_spoken() {
        check("24,5/23", "kg", 1, "24.5 kg", "23 kg");
        check("52", "lb", 1, "52 lb", "52 lb");
        check("24 and a half", "kg", 1, "24.5 kg", "24.5 kg");
        check("one each at 24, 25 and 26", "kg", 3, "26 kg", "26 kg");
    }

    #[test]
    fn a_number_without_a_unit_is_asked_about_not_guessed() {
        let DeskError::Invalid(faults) = wished(&spoken("24/23", "", 1), None, None).unwrap_err() else {
            panic!("a shape fault");
        };
        assert_eq!(faults[0].pointer, "/jobs/0/unit");
    }

    #[test]
    fn every_tile_of_a_change_is_a_wish_that_is_understood() {
        let last = |unit| {
            let said = if unit == "kg" { "24/23" } else { "52/50" };
            wished(&spoken(said, unit, 1), None, None).unwrap()
        };
        for (tile, unit, mains) in [
            ("one kilo down", "kg", "23"),
            ("half a kilo down", "kg", "23.5"),
            ("half a kilo up", "kg", "24.5"),
            ("one kilo up", "kg", "25"),
            ("two pounds down", "lb", "50"),
            ("one pound down", "lb", "51"),
            ("one pound up", "lb", "53"),
            ("two pounds up", "lb", "54"),
        ] {
            let spec = wished(&spoken(tile, "", 1), Some(&last(unit)), None).unwrap();
            assert_eq!(spec.mains.tension.value(), mains, "{tile}");
        }
    }

    #[test]
    fn one_kilo_down_is_counted_from_the_last_time() {
        let last = wished(&spoken("24/23", "kg", 1), None, None).unwrap();
        let spec = wished(&spoken("one kilo down on last time", "", 1), Some(&last), None).unwrap();
        assert_eq!(spec.mains.tension.value(), "23");
        assert_eq!(spec.crosses.tension.value(), "22");
    }
}
