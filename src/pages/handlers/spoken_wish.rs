//! A wish as people say it, with the fields beside it, as a spec: at Hand In, and when it changes later.
use super::filled::Filled;
use super::hand_in_card;
use super::spoken_strings::{self, Crosses};
#[cfg(test)]
use super::words;
use crate::craft::spec::{Pieces, Spec, StringFacts, StringSpec};
use crate::craft::sport::Sport;
use crate::craft::tension::{Tension, TensionUnit};
use crate::craft::wishes::{Missing, ResolvedWish, WishAnswer, WishContext, resolve_wish};
use crate::desk::{DeskError, DeskResult};
use crate::pages::views::hand_in::Wish;

/// A wish as it was spoken.
pub struct Spoken<'a> {
    /// The pointer of the racket it is for.
    pub at: &'a str,
    /// Which racket of the drop-off, from 1.
    pub number: usize,
    pub said: &'a str,
    /// `kg`, `lb` or not asked yet.
    pub unit: &'a str,
    pub sport: Sport,
}

/// The spec that a line of Hand In asks for.
///
/// # Errors
/// [`DeskError::Invalid`] with the pointer of the line or of the field.
pub fn spec(form: &Filled, last: Option<Spec>, spoken: &Spoken<'_>) -> DeskResult<Spec> {
    let wish = hand_in_card::wish_of(form);
    let spec = match (wish, last) {
        (Wish::Same, Some(last)) => return Ok(last),
        (Wish::Same, None) => {
            let words = "This racket was not strung here before; choose New spec and say how it is wanted.";
            let pointer = format!("{}/racket_id", spoken.at);
            return Err(DeskError::member(pointer, "invalid_value", words));
        }
        (Wish::Change, Some(last)) => {
            let spec = match spoken.said {
                "" => last,
                _ => wished(spoken, Before::last(Some(&last)), Some(last.clone()))?,
            };
            return beside(form, spec, false);
        }
        // a new spec begins with nothing, though a wish may be counted from the last one
        (Wish::Change | Wish::New, last) => wished(spoken, Before::last(last.as_ref()), None)?,
    };
    beside(form, spec, true)
}

/// What was said of a tension: by a tile, or in words.
///
/// # Errors
/// [`DeskError::Invalid`] where both say something.
pub fn said<'a>(tile: &'a str, words: &'a str, at: &str) -> DeskResult<&'a str> {
    if !tile.is_empty() && !words.is_empty() {
        let fault = format!(
            "\u{201c}{tile}\u{201d} is tapped and \u{201c}{words}\u{201d} is written: which of the two? Empty the box, or tap the first tile."
        );
        let pointer = format!("{at}/spec/mains/tension");
        return Err(DeskError::member(pointer, "invalid_value", fault));
    }
    Ok(if words.is_empty() { tile } else { words })
}

/// From what a change is counted.
#[derive(Debug, Clone, Copy)]
struct Before<'a> {
    /// What is asked for now.
    now: Option<&'a Spec>,
    /// How it was strung the last time.
    last: Option<&'a Spec>,
}

impl<'a> Before<'a> {
    fn last(last: Option<&'a Spec>) -> Self {
        Self { now: None, last }
    }
}

/// The spec of a racket that is in, with what the form changes of it; what the form does not name stays.
/// `last`: how it was strung before, for those who name last time.
///
/// # Errors
/// As [`spec`]; and where nothing is changed.
pub fn changed(form: &Filled, now: &Spec, last: Option<&Spec>, sport: Sport) -> DeskResult<Spec> {
    let spoken = Spoken {
        at: "",
        number: 1,
        said: said(form.get("step"), form.get("as_said"), "")?,
        unit: form.get("unit"),
        sport,
    };
    let spec = match spoken.said {
        "" => now.clone(),
        _ => wished(&spoken, Before { now: Some(now), last }, Some(now.clone()))?,
    };
    let spec = beside(form, spec, false)?;
    if spec == *now {
        let words = "Say what shall change: the tension, a string, the pieces or the note.";
        return Err(DeskError::member("/as_said", "missing_member", words));
    }
    Ok(spec)
}

/// `spec` with the strings, pieces and note that stand in fields of their own; a new one names no string yet.
fn beside(form: &Filled, mut spec: Spec, is_new: bool) -> DeskResult<Spec> {
    let (mains, crosses) = spoken_strings::said(form, is_new)?;
    if let Some(mains) = mains {
        spec.mains.string = mains;
    }
    match crosses {
        Crosses::Stay => {}
        Crosses::AsMains => spec.crosses.string = spec.mains.string.clone(),
        Crosses::Are(facts) => spec.crosses.string = facts,
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
fn wished(spoken: &Spoken<'_>, before: Before<'_>, base: Option<Spec>) -> DeskResult<Spec> {
    let resolved = resolved(spoken, before)?;
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
fn resolved(spoken: &Spoken<'_>, Before { now, last }: Before<'_>) -> DeskResult<ResolvedWish> {
    let context = WishContext {
        sport: spoken.sport,
        usual_unit: now.or(last).map(|spec| spec.mains.tension.unit()),
        chosen_unit: match spoken.unit {
            "kg" => Some(TensionUnit::Kg),
            "lb" => Some(TensionUnit::Lb),
            _ => None,
        },
        last,
        now,
    };
    let tension = format!("{}/spec/mains/tension", spoken.at);
    match resolve_wish(spoken.said, &context) {
        Ok(WishAnswer::Resolved(wish)) => Ok(wish),
        Ok(WishAnswer::Needs(needs)) if needs.what == Missing::Unit && spoken.unit.is_empty() => {
            let words = "Ask the player: kilograms or pounds?";
            let pointer = format!("{}/unit", spoken.at);
            Err(DeskError::member(pointer, "missing_member", words))
        }
        // a unit was tapped in which nobody asks for that
        Ok(WishAnswer::Needs(needs)) if needs.what == Missing::Unit => {
            let others: Vec<&str> = needs.choices.iter().map(|one| one.label.as_str()).collect();
            let words = format!(
                "{} {unit} is not what players of {} ask for: did they mean {}? If it is meant so, write {unit} behind the number.",
                spoken.said,
                spoken.sport.name(),
                others.join(" or "),
                unit = spoken.unit,
            );
            let pointer = format!("{}/unit", spoken.at);
            Err(DeskError::member(pointer, "invalid_value", words))
        }
        Ok(WishAnswer::Needs(needs)) => {
            let choices: Vec<String> = needs
                .choices
                .into_iter()
                .map(|one| one.wish.trim_end_matches('.').to_owned())
                .collect();
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
        let spec = wished(&spoken(said, unit, number), Before::last(None), None).unwrap();
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
        let DeskError::Invalid(faults) =
            wished(&spoken("24/23", "", 1), Before::last(None), None).unwrap_err()
        else {
            panic!("a shape fault");
        };
        assert_eq!(faults[0].pointer, "/jobs/0/unit");
    }

    #[test]
    fn every_tile_of_a_change_is_a_wish_that_is_understood() {
        let last = |unit| {
            let said = if unit == "kg" { "24/23" } else { "52/50" };
            wished(&spoken(said, unit, 1), Before::last(None), None).unwrap()
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
            let spec = wished(&spoken(tile, "", 1), Before::last(Some(&last(unit))), None).unwrap();
            assert_eq!(spec.mains.tension.value(), mains, "{tile}");
        }
    }

    #[test]
    fn one_kilo_down_is_counted_from_the_last_time() {
        let last = wished(&spoken("24/23", "kg", 1), Before::last(None), None).unwrap();
        let said = spoken("one kilo down on last time", "", 1);
        let spec = wished(&said, Before::last(Some(&last)), None).unwrap();
        assert_eq!(spec.mains.tension.value(), "23");
        assert_eq!(spec.crosses.tension.value(), "22");
    }

    fn change(fields: &[(&str, &str)]) -> DeskResult<Spec> {
        let mut form = Filled::default();
        for (name, value) in fields {
            form.put(*name, *value);
        }
        let of = |said| wished(&spoken(said, "kg", 1), Before::last(None), None).unwrap();
        changed(&form, &of("26/25"), Some(&of("24/23")), Sport::Tennis)
    }

    #[test]
    fn a_change_counts_from_what_is_asked_now_unless_it_names_last_time() {
        let mains = |fields: &[(&str, &str)]| change(fields).unwrap().mains.tension.value().to_owned();
        assert_eq!(mains(&[("step", "one kilo down")]), "25");
        assert_eq!(mains(&[("as_said", "one kilo down")]), "25");
        assert_eq!(mains(&[("as_said", "one kilo down on last time")]), "23");
        assert_eq!(mains(&[("as_said", "same as last time")]), "24");
    }

    #[track_caller]
    fn asks(fields: &[(&str, &str)], pointer: &str) {
        let Err(DeskError::Invalid(faults)) = change(fields) else {
            panic!("{fields:?} is taken");
        };
        assert_eq!(faults[0].pointer, pointer, "{}", faults[0].detail);
    }

    #[test]
    fn two_answers_that_differ_are_asked_about() {
        asks(
            &[("step", "one kilo down"), ("as_said", "25")],
            "/spec/mains/tension",
        );
        // 24 lb is 10.9 kg
        asks(&[("as_said", "24/23"), ("unit", "lb")], "/unit");
    }
}
