//! The condition check of each racket of a drop-off: all fine, or where the damage is.
use super::filled::Filled;
use crate::desk::records::{DamageMark, DamagePlace};
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::Choice;
use crate::pages::views::hand_in::Condition;

/// The places a person looks at, and what is a fact of the whole hoop.
const SPOTS: [(&str, &str); 5] = [
    ("head_top", "Head top"),
    ("shoulders", "Shoulders"),
    ("throat", "Throat"),
    ("grommets", "Grommets"),
    (CRACKED, "The hoop is cracked"),
];
const CRACKED: &str = "cracked";

/// What a form says of the condition of one racket.
struct Said<'a> {
    form: &'a Filled,
    /// Stands before the names of its fields.
    of: String,
}

impl<'a> Said<'a> {
    /// A page that a device kept from before asks once for all rackets.
    fn of(form: &'a Filled, number: usize) -> Self {
        let own = format!("line_{number}_");
        let once = form.has_field("condition") && !form.has_field(&format!("{own}condition"));
        Self {
            form,
            of: if once { String::new() } else { own },
        }
    }

    fn name(&self, field: &str) -> String {
        format!("{}{field}", self.of)
    }

    fn condition(&self) -> &'a str {
        self.form.get(&self.name("condition"))
    }

    fn note(&self) -> &'a str {
        self.form.get(&self.name("damage_note"))
    }

    fn ticked(&self, spot: &str) -> bool {
        self.form.has(&self.name("damage"), spot)
    }

    /// What was ticked or written is damage, whatever the tile above it says.
    fn is_marked(&self) -> bool {
        let seen = SPOTS.iter().any(|(spot, _)| self.ticked(spot)) || !self.note().is_empty();
        seen || self.condition() == "marked"
    }

    fn places(&self) -> Vec<DamagePlace> {
        let ticked = SPOTS.iter().filter(|(spot, _)| self.ticked(spot));
        ticked.filter_map(|(spot, _)| DamagePlace::named(spot)).collect()
    }
}

/// Whether the four places of this racket were found fine, and the damage that was seen; `at` is its pointer.
///
/// # Errors
/// [`DeskError::Invalid`] where damage is seen and no place is ticked.
pub fn seen(form: &Filled, number: usize, at: &str) -> DeskResult<(bool, Vec<DamageMark>)> {
    let said = Said::of(form, number);
    if !said.is_marked() {
        return Ok((said.condition() == "ok", Vec::new()));
    }
    let places = said.places();
    if places.is_empty() {
        let words = format!(
            "Racket {number}: tick where the damage is. If all four places are fine, choose that and empty the box below."
        );
        return Err(DeskError::member(format!("{at}/damage"), "missing_member", words));
    }
    let mark = |place| DamageMark {
        place,
        note: said.note().to_owned(),
        // a crack is a fact of the whole hoop; the place is where the eye found it
        cracked: said.ticked(CRACKED),
    };
    Ok((false, places.into_iter().map(mark).collect()))
}

/// The place that was ticked for this racket, if it is one: then its photo is of that.
pub fn only_place(form: &Filled, number: usize) -> Option<DamagePlace> {
    match Said::of(form, number).places().as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}

/// The check as it is shown.
pub fn shown(form: &Filled, number: usize) -> Condition {
    let said = Said::of(form, number);
    let name = |field: &str| format!("line_{number}_{field}");
    let places = SPOTS.map(|(spot, label)| Choice::new(spot, label).chosen(said.ticked(spot)));
    Condition {
        name: name("condition"),
        marked: said.is_marked(),
        places_name: name("damage"),
        places: places.into(),
        note_name: name("damage_note"),
        note: said.note().to_owned(),
        fault: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(fields: &[(&str, &str)]) -> Filled {
        let mut form = Filled::default();
        for (name, value) in fields {
            form.put(*name, *value);
        }
        form
    }

    #[test]
    fn a_ticked_place_is_damage_and_each_racket_has_its_own() {
        let form = form(&[
            ("line_1_condition", "ok"),
            ("line_1_damage", "shoulders"),
            ("line_1_damage", "cracked"),
            ("line_2_condition", "ok"),
        ]);
        let (fine, damage) = seen(&form, 1, "/jobs/0").unwrap();
        assert!(!fine && damage[0].cracked && damage.len() == 1);
        assert_eq!(damage[0].place, DamagePlace::Shoulders);
        assert!(matches!(seen(&form, 2, "/jobs/1"), Ok((true, damage)) if damage.is_empty()));
        assert_eq!(only_place(&form, 1), Some(DamagePlace::Shoulders));
    }

    #[test]
    fn damage_without_a_place_is_asked_about_not_put_somewhere() {
        for fields in [
            [("line_1_condition", "marked"), ("line_1_damage_note", "")],
            [("line_1_condition", "ok"), ("line_1_damage_note", "a dent")],
            [("line_1_condition", "ok"), ("line_1_damage", "cracked")],
        ] {
            let Err(DeskError::Invalid(faults)) = seen(&form(&fields), 1, "/jobs/0") else {
                panic!("{fields:?}");
            };
            assert_eq!(faults[0].pointer, "/jobs/0/damage");
        }
    }

    #[test]
    fn a_page_kept_from_before_speaks_for_all_its_rackets() {
        let form = form(&[
            ("condition", "marked"),
            ("damage", "throat"),
            ("damage_note", "a dent"),
        ]);
        for number in [1, 2] {
            let (_, damage) = seen(&form, number, "").unwrap();
            assert_eq!(
                (damage[0].place, damage[0].note.as_str()),
                (DamagePlace::Throat, "a dent")
            );
        }
    }
}
