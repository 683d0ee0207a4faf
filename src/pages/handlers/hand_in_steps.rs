//! The fields of a wish: the usual changes of a tension, one touch each, and what stands beside it.
use super::filled::Filled;
use super::spoken_strings::{AS_MAINS, OWN};
use crate::craft::tension::TensionUnit;
use crate::desk::find::RacketOnCard;
use crate::pages::parts::{Choice, Control, Field};

/// What leaves something as it was, at Hand In.
pub const AS_LAST_TIME: &str = "as last time";

/// The usual changes as they are spoken, in the unit of what they change; `unchanged` names what changes nothing.
pub fn steps(unit: Option<TensionUnit>, chosen: &str, unchanged: &str) -> Vec<Choice> {
    const KILOS: [(&str, &str); 4] = [
        ("one kilo down", "-1 kg"),
        ("half a kilo down", "-½ kg"),
        ("half a kilo up", "+½ kg"),
        ("one kilo up", "+1 kg"),
    ];
    const POUNDS: [(&str, &str); 4] = [
        ("two pounds down", "-2 lb"),
        ("one pound down", "-1 lb"),
        ("one pound up", "+1 lb"),
        ("two pounds up", "+2 lb"),
    ];
    let steps = if unit == Some(TensionUnit::Lb) {
        POUNDS
    } else {
        KILOS
    };
    let mut choices = vec![Choice::new("", unchanged).chosen(chosen.is_empty())];
    choices.extend(steps.map(|(words, label)| Choice::new(words, label).chosen(words == chosen)));
    choices
}

/// The unit in which a racket was strung last.
pub fn unit_of_last(rackets: &[RacketOnCard], racket: &str) -> Option<TensionUnit> {
    let known = rackets.iter().find(|one| one.racket.id == racket);
    let last = known.and_then(|one| one.last.as_ref());
    last.map(|sheet| sheet.spec.mains.tension.unit())
}

/// Strings, pieces and note; `unchanged` names what changes nothing, where something stands already.
pub fn spec_fields(form: &Filled, strings: &[Choice], unchanged: Option<&str>) -> Vec<Field> {
    let list = |name: &str, unsaid: &str, as_mains: bool| {
        let mut choices = vec![Choice::new("", unchanged.unwrap_or(unsaid))];
        if as_mains && unchanged.is_some() {
            choices.push(Choice::new(AS_MAINS, "the same as the mains"));
        }
        choices.push(Choice::new(OWN, "the player's own"));
        choices.extend(strings.iter().cloned());
        let chosen = choices.into_iter().map(|one| {
            let here = one.value == form.get(name);
            one.chosen(here)
        });
        Control::Select(chosen.collect())
    };
    let mut pieces = vec![
        Choice::new("two", "two pieces").chosen(form.get("pieces") == "two"),
        Choice::new("one", "one piece").chosen(form.get("pieces") == "one"),
    ];
    if let Some(unchanged) = unchanged {
        pieces.insert(0, Choice::new("", unchanged));
    }
    vec![
        Field::new(
            "mains_string_id",
            "Mains string",
            list("mains_string_id", "choose", false),
        )
        .free(),
        Field::new(
            "crosses_string_id",
            "Crosses string",
            list("crosses_string_id", "the same as the mains", true),
        )
        .free(),
        Field::new("own_string", "The player's own string", Control::Text)
            .value(form.get("own_string"))
            .free(),
        Field::new("pieces", "Pieces", Control::Select(pieces)).free(),
        Field::new("note", "Note for the bench", Control::LongText)
            .value(form.get("note"))
            .free(),
    ]
}
