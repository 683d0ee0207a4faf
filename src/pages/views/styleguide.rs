//! Every component in every state, for the admin and the tests that look at them.
//!
//! GET `/styleguide?place=counter|bench|wall&surface=day|night|paper`. No form of it does anything.
use askama::Template;

use crate::pages::parts::{Chip, ChipKind, Choice, Control, Field, Problem};
use crate::pages::shell::Shell;

/// The whole page.
#[derive(Debug, Template)]
#[template(path = "styleguide.html", config = ".askama.toml")]
pub struct Styleguide {
    pub shell: Shell,
    /// `counter`, `bench` or `wall`: each has its own sizes.
    pub place: String,
    /// The other views of this page: label and address.
    pub views: Vec<(String, String)>,
    pub chips: Vec<Chip>,
    pub fields: Vec<Field>,
    pub problem: Problem,
}

/// One of each chip, with an invented word.
pub fn all_chips() -> Vec<Chip> {
    [
        (ChipKind::Late, "late 8"),
        (ChipKind::Risk, "+3"),
        (ChipKind::Rush, "rush"),
        (ChipKind::Held, "held"),
        (ChipKind::Ready, "ready"),
        (ChipKind::Info, "changed"),
        (ChipKind::Plain, "+25"),
    ]
    .into_iter()
    .map(|(kind, word)| Chip::new(kind, word))
    .collect()
}

/// One of each field: plain, with hint and unit, wrong, each control.
pub fn all_fields() -> Vec<Field> {
    let choices = |chosen: &str| -> Vec<Choice> {
        ["kg", "lb"]
            .map(|unit| Choice::new(unit, unit).chosen(unit == chosen))
            .into()
    };
    vec![
        Field::new("plain", "Text", Control::Text).value("Example A."),
        Field::new("hinted", "Text with a hint", Control::Text)
            .hint("What tells it from its sisters.")
            .optional(),
        Field::new("united", "Number with a unit", Control::Number)
            .value("1.25")
            .unit("mm"),
        Field::new("timed", "Time of day", Control::Time).value("14:30"),
        Field::new("wrong", "A field with a fault", Control::Text)
            .value("24..5")
            .fault(Some("Give one number, or mains and crosses as 24/23.".to_owned())),
        Field::new("secret", "Password", Control::Password),
        Field::new("pin", "PIN", Control::Pin),
        Field::new("long", "Long text", Control::LongText).optional(),
        Field::new("listed", "A list", Control::Select(choices("kg"))),
        Field::new("one", "One of some", Control::One(choices("kg"))),
        Field::new("many", "Any of some", Control::Many(choices("lb"))).optional(),
        Field::new("ticked", "A tick", Control::Tick).hint("Its hint stands beside it."),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::Fault;
    use crate::pages::shell::Surface;

    fn page(place: &str, surface: Surface) -> Styleguide {
        Styleguide {
            shell: Shell::invented("Style guide", surface, ""),
            place: place.into(),
            views: vec![("Bench, Day".into(), "/styleguide?place=bench".into())],
            chips: all_chips(),
            fields: all_fields(),
            problem: Problem {
                faults: vec![Fault {
                    field: "wrong".into(),
                    words: "Give one number.".into(),
                }],
                reference: None,
            },
        }
    }

    #[test]
    fn every_chip_has_a_word_and_all_but_the_ordinary_one_a_glyph() {
        for (place, surface) in [
            ("counter", Surface::Day),
            ("bench", Surface::Day),
            ("wall", Surface::Night),
            ("counter", Surface::Paper),
        ] {
            let html = rendered(
                &format!("styleguide-{place}-{}", surface.class()),
                &page(place, surface),
            );
            for chip in all_chips() {
                assert!(html.contains(&format!("chip-{}", chip.kind.class())));
                assert!(!chip.word.is_empty());
                assert_eq!(chip.kind.glyph().is_empty(), chip.kind == ChipKind::Plain);
            }
            let text = words(&html);
            for state in ["Empty", "Loading", "Error", "Offline"] {
                assert!(text.contains(state), "{state}");
            }
        }
    }
}
