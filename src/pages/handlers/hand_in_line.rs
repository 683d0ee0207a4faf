//! One racket of a drop-off on the card, filled with what is known and what was typed.
use super::filled::Filled;
use super::hand_in_card::{is_in, lines_of};
use super::hand_in_due::Said;
use super::hand_in_steps::{AS_LAST_TIME, steps, unit_of_last};
use super::visit::Visitor;
use super::{hand_in_condition, hand_in_due, hand_in_photos, words};
use crate::desk::court_times::coming_matches::ComingMatches;
use crate::desk::find::RacketOnCard;
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::hand_in::{Line, Wish};

/// What all lines of a card have in common.
pub struct Known<'a> {
    pub visitor: &'a Visitor,
    pub rackets: &'a [RacketOnCard],
    /// The racket of the first line.
    pub first: &'a str,
    pub frames: &'a [Choice],
    pub coming: &'a ComingMatches,
    pub wish: Wish,
}

/// The line of this number.
pub fn line(known: &Known<'_>, form: &Filled, number: usize) -> Line {
    let (rackets, wish) = (known.rackets, known.wish);
    let name = |field: &str| format!("line_{number}_{field}");
    let said = |field: &str| said(form, number, field);
    let racket = match (number, form.some(&name("racket_id"))) {
        (1, _) => known.first.to_owned(),
        (_, Some(chosen)) => chosen,
        (_, None) => next_free(form, number, rackets, known.first),
    };
    let units = ["kg", "lb"].map(|unit| Choice::new(unit, unit).chosen(said("unit") == unit));
    let purposes =
        ["match", "practice", "spare"].map(|word| Choice::new(word, word).chosen(said("purpose") == word));
    let due = Said {
        tile: &said("due"),
        typed: &said("ready_by"),
        day: &said("day"),
        purpose: None,
    };
    let (due, ready_by, day) = hand_in_due::fields(known.visitor, known.coming, name, due);
    let step = steps(unit_of_last(rackets, &racket), &said("step"), AS_LAST_TIME);
    Line {
        number,
        last: last_spec(rackets, &racket),
        racket_id: racket.clone(),
        racket: Field::new(
            name("racket_id"),
            "Racket",
            Control::Select(choices(rackets, &racket, wish)),
        ),
        new_racket: if wish == Wish::New {
            new_racket(form, number, known.frames)
        } else {
            Vec::new()
        },
        step: Field::new(name("step"), "Tension", Control::One(step)).free(),
        as_said: spoken(name("as_said"), wish).value(said("as_said")),
        // the words may carry it; where they do not, the desk asks
        unit: Field::new(name("unit"), "Unit", Control::One(units.into())).free(),
        due,
        ready_by,
        day,
        purpose: Field::new(name("purpose"), "For", Control::Select(purposes.into())),
        condition: hand_in_condition::shown(form, number),
        may_leave: lines_of(form) > 1,
        photo: hand_in_photos::field(number),
        photo_again: None,
        code: Field::new(
            name("code"),
            format!("Code on the tag of racket {number}"),
            Control::Text,
        )
        .value(form.get(&name("code")))
        .free(),
    }
}

fn spoken(name: String, wish: Wish) -> Field {
    Field {
        // a change of the string alone keeps the tensions
        required: wish == Wish::New,
        free: true,
        ..Field::new(name, "Tension as spoken", Control::Text).hint(match wish {
            Wish::New => "24/23, 24 and a half",
            Wish::Same | Wish::Change => "24/23, 24 and a half, one kilo down on last time",
        })
    }
}

fn choices(rackets: &[RacketOnCard], chosen: &str, wish: Wish) -> Vec<Choice> {
    let free = rackets.iter().filter(|one| !is_in(one));
    let mut choices: Vec<Choice> = free
        .map(|one| {
            let label = format!("{}, {}", words::racket(&one.record), one.frame.name);
            let label = label.trim_start_matches(", ").to_owned();
            Choice::new(one.racket.id.clone(), label).chosen(one.racket.id == chosen)
        })
        .collect();
    if wish == Wish::New {
        choices.push(Choice::new("new", "A new racket").chosen(chosen == "new"));
    }
    choices
}

fn new_racket(form: &Filled, number: usize, frames: &[Choice]) -> Vec<Field> {
    let name = |field: &str| format!("line_{number}_{field}");
    let said = |field: &str| said(form, number, field);
    let frame = said("frame_id");
    let frames = frames.iter().cloned().map(|one| {
        let here = one.value == frame;
        one.chosen(here)
    });
    vec![
        Field::new(
            name("frame_id"),
            "Frame of a new racket",
            Control::Select(frames.collect()),
        )
        .free(),
        Field::new(name("marks"), "Marks of a new racket", Control::Text)
            .hint("What tells it from its sisters: dots, grip colour.")
            .value(said("marks"))
            .free(),
    ]
}

/// The first racket of the player that is not in and on none of the lines before.
fn next_free(form: &Filled, number: usize, rackets: &[RacketOnCard], first: &str) -> String {
    let taken = |id: &str| {
        let before = (2..number).any(|line| form.get(&format!("line_{line}_racket_id")) == id);
        id == first || before
    };
    let free = rackets.iter().find(|one| !is_in(one) && !taken(&one.racket.id));
    free.map_or_else(|| "new".to_owned(), |one| one.racket.id.clone())
}

/// What a line says in a field; one that nobody has filled in yet is copied from the first.
fn said(form: &Filled, number: usize, field: &str) -> String {
    let own = form.has_field(&format!("line_{number}_{field}"));
    let from = if own { number } else { 1 };
    form.get(&format!("line_{from}_{field}")).to_owned()
}

fn last_spec(rackets: &[RacketOnCard], id: &str) -> String {
    let racket = rackets.iter().find(|one| one.racket.id == id);
    let sheet = racket.and_then(|one| one.last.as_ref());
    sheet.map_or_else(String::new, |sheet| {
        let (mains, crosses) = words::spec_lines(&sheet.spec);
        format!("{mains} / {crosses}")
    })
}
