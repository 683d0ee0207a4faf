//! What the desk says when it refuses, in French: its English sentences are the keys.
//!
//! `{}` stands for what the desk puts in (a number, a name, a code) and is carried over in
//! order. A test reads the desk's source and fails for a sentence without a line here.

mod house;
mod jobs;
mod set_up;
mod values;
mod wishes;

use house::HOUSE;
use jobs::JOBS;
use set_up::SET_UP;
use values::VALUES;
use wishes::WISHES;

/// The French of one of the desk's sentences, or of several in a row; `None` for any other text.
#[must_use]
pub fn french(english: &str) -> Option<String> {
    // several first: the last gap of a sentence would take in the sentences behind it
    several(english)
        .or_else(|| one(english))
        .or_else(|| quoted(english))
}

/// A spoken wish with what is said about it.
fn quoted(english: &str) -> Option<String> {
    let (said, about) = english.strip_prefix('"')?.split_once("\": ")?;
    let about = several(about).or_else(|| one(about))?;
    Some(format!("« {said} » : {about}"))
}

fn all() -> impl Iterator<Item = &'static (&'static str, &'static str)> {
    JOBS.iter().chain(HOUSE).chain(WISHES).chain(SET_UP).chain(VALUES)
}

fn one(english: &str) -> Option<String> {
    all().find_map(|(key, french)| {
        let filled = fillings(key, english)?;
        Some(fill(french, &filled))
    })
}

/// Sentences that the desk joined by a space.
fn several(english: &str) -> Option<String> {
    let mut ends = english.match_indices(". ").map(|(at, _)| at + 1);
    let (first, rest) = ends.find_map(|at| {
        let (head, rest) = english.split_at(at);
        Some((one(head)?, rest.trim_start()))
    })?;
    Some(format!("{first} {}", french(rest)?))
}

/// What stands in `text` where `key` has `{}`.
fn fillings<'a>(key: &str, text: &'a str) -> Option<Vec<&'a str>> {
    let mut parts = key.split("{}");
    let mut rest = text.strip_prefix(parts.next()?)?;
    let mut filled = Vec::new();
    let mut parts = parts.peekable();
    while let Some(part) = parts.next() {
        let at = if parts.peek().is_none() {
            // the last part ends the text
            rest.len()
                .checked_sub(part.len())
                .filter(|_| rest.ends_with(part))?
        } else {
            rest.find(part)?
        };
        filled.push(&rest[..at]);
        rest = &rest[at + part.len()..];
    }
    rest.is_empty().then_some(filled)
}

fn fill(french: &str, filled: &[&str]) -> String {
    let mut filled = filled.iter();
    let mut text = String::new();
    for (place, part) in french.split("{}").enumerate() {
        if place > 0 {
            text += &filled.next().map_or_else(String::new, |word| words(word));
        }
        text += part;
    }
    text
}

/// States, phases, parts of the bed and places in a row as they are called in French; anything else stays.
fn words(english: &str) -> String {
    let listed = english.replace(" or ", ", ");
    let names: Vec<&str> = listed.split(", ").collect();
    let Some(mut french) = names.iter().map(|name| word(name)).collect::<Option<Vec<_>>>() else {
        return english.to_owned();
    };
    match (french.pop(), french.is_empty()) {
        (Some(last), true) => last.to_owned(),
        (Some(last), false) => format!("{} ou {last}", french.join(", ")),
        (None, _) => english.to_owned(),
    }
}

fn word(english: &str) -> Option<&'static str> {
    const WORDS: &[(&str, &str)] = &[
        ("expected", "attendu"),
        ("waiting", "en attente"),
        ("assigned", "attribué"),
        ("on the machine", "sur la machine"),
        ("being checked", "au contrôle"),
        ("ready", "prêt"),
        ("out", "sorti"),
        ("cancelled", "annulé"),
        ("mounted", "monté"),
        ("mains started", "montants commencés"),
        ("mains done", "montants finis"),
        ("crosses done", "travers finis"),
        ("tied off", "noué"),
        ("mains", "montants"),
        ("crosses", "travers"),
        ("1st", "1er"),
        ("2nd", "2e"),
        ("3rd", "3e"),
        ("4th", "4e"),
        ("5th", "5e"),
    ];
    let found = WORDS.iter().find(|(key, _)| *key == english);
    found.map(|(_, french)| *french)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_put_in_is_carried_over_and_states_are_named_in_french() {
        assert_eq!(
            french("The job is waiting. Finish is for a job that is on the machine.").as_deref(),
            Some("Le travail est en attente. « Finish » vaut pour un travail qui est sur la machine.")
        );
        assert_eq!(
            french("This racket is already in as K7M4G, since 10:05 UTC.").as_deref(),
            Some("Cette raquette est déjà là sous le code K7M4G, depuis 10:05 UTC.")
        );
        assert_eq!(
            french("33 kg is above this frame's range 22-28 kg. Ask the owner; if they insist, send `override` with a reason.").as_deref(),
            Some("33 kg dépasse la plage de ce cadre, 22-28 kg. Demandez au propriétaire ; s’il insiste, envoyez `override` avec un motif.")
        );
        assert_eq!(
            french("\"deux kilos\": \"deux\" is not understood here. Leave it out, or write it behind a semicolon as a remark.").as_deref(),
            Some("« deux kilos » : « deux » n’est pas compris ici. Enlevez-le, ou écrivez-le après un point-virgule comme remarque.")
        );
        assert_eq!(french("Something that nobody wrote."), None);
    }

    #[test]
    fn every_line_carries_as_much_over_as_it_takes_in() {
        for (english, french) in all() {
            let count = |text: &str| text.matches("{}").count();
            assert_eq!(count(english), count(french), "{english}");
        }
    }
}
