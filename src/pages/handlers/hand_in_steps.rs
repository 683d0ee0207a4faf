//! The usual changes of a tension, one touch each.
use crate::craft::tension::TensionUnit;
use crate::desk::find::RacketOnCard;
use crate::pages::parts::Choice;

/// The usual changes upon last time as they are spoken, in the unit of last time.
pub fn steps(rackets: &[RacketOnCard], racket: &str, chosen: &str) -> Vec<Choice> {
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
    let last = rackets
        .iter()
        .find(|one| one.racket.id == racket)
        .and_then(|one| one.last.as_ref());
    let unit = last.map(|sheet| sheet.spec.mains.tension.unit());
    let steps = if unit == Some(TensionUnit::Lb) {
        POUNDS
    } else {
        KILOS
    };
    let mut choices = vec![Choice::new("", "as last time").chosen(chosen.is_empty())];
    choices.extend(steps.map(|(words, label)| Choice::new(words, label).chosen(words == chosen)));
    choices
}
