//! Check: three things to look at, an optional reading, then pass or fail.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/check/{job_id}` | |
//! | POST | `/jobs/{id}/do/pass` | `weave_ok`, `tie_offs_ok`, `grommets_ok` (each `yes`); `reading` with `instrument` (unit, `@`, name) or `instrument_name` and `instrument_unit`; `slot`, or `free_slot` as proposed; `reason` when the reading is far off; `once` |
//! | POST | `/jobs/{id}/do/fail` | the same fields, `fail_reason` (a chip) |
//!
//! Both buttons belong to one form; the second one carries its own address.
use askama::Template;

use crate::pages::parts::{Choice, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "check.html", config = ".askama.toml")]
pub struct CheckScreen {
    pub shell: Shell,
    pub job_id: String,
    /// It is in check, so "Strung" can be taken back.
    pub strung: bool,
    pub code: String,
    pub player: String,
    pub racket: String,
    /// What was asked, to compare: "M 24 kg String A 1.25".
    pub asked: Vec<String>,
    /// `weave_ok`, `tie_offs_ok`, `grommets_ok`.
    pub points: Vec<Choice>,
    /// Instruments that were used before, with their units; empty before the first reading.
    pub instruments: Vec<Choice>,
    pub instrument_name: Field,
    pub instrument_unit: Field,
    pub reading: String,
    /// "Expected 96-104 % of this racket's last readings"; empty without any.
    pub expected: String,
    /// "now 88 %": the reading is far from what is expected.
    pub far_off: String,
    /// What may be the cause, the likeliest first.
    pub causes: Vec<String>,
    /// Asked for only when the reading is far off.
    pub reason: Option<Field>,
    pub fail_reasons: Vec<Choice>,
    /// Scanned or typed.
    pub slot: Field,
    /// The next free slot.
    pub free_slot: String,
    pub take_free_slot: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::Control;
    use crate::pages::shell::Surface;

    fn screen() -> CheckScreen {
        CheckScreen {
            shell: Shell::invented("Check", Surface::Day, "Next Up"),
            job_id: "j1".into(),
            strung: true,
            code: "K7M4G".into(),
            player: "Example A.".into(),
            racket: "●●● white grip".into(),
            asked: vec![
                "Mains 24 kg String A 1.25".into(),
                "Crosses 23 kg String B 1.30".into(),
            ],
            points: vec![
                Choice::new("weave_ok", "Weave").hint("over, under, no miss"),
                Choice::new("tie_offs_ok", "Tie-offs").hint("tight, trimmed"),
                Choice::new("grommets_ok", "Grommets").hint("whole, seated"),
            ],
            instruments: vec![Choice::new("DT@Meter 1", "Meter 1, DT").chosen(true)],
            instrument_name: Field::new("instrument_name", "Its name", Control::Text).optional(),
            instrument_unit: Field::new("instrument_unit", "Its unit", Control::Text).optional(),
            reading: String::new(),
            expected: "Expected 96-104 % of this racket's last readings".into(),
            far_off: String::new(),
            causes: Vec::new(),
            reason: None,
            fail_reasons: vec![
                Choice::new("misweave", "Misweave"),
                Choice::new("tie_off", "Tie-off"),
            ],
            slot: Field::new("slot", "Scan the slot", Control::Text).optional(),
            free_slot: "B 12".into(),
            take_free_slot: true,
        }
    }

    #[test]
    fn three_points_and_a_reading_lead_to_the_shelf() {
        let html = rendered("check", &screen());
        for name in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
            assert!(html.contains(&format!("name=\"{name}\" value=\"yes\"")));
        }
        assert!(
            html.contains("action=\"/jobs/j1/do/pass\"") && html.contains("formaction=\"/jobs/j1/do/fail\"")
        );
        assert!(words(&html).contains("Expected 96-104 %"));
        assert!(html.contains("inputmode=\"decimal\"") && html.contains("data-keys=\"reading\""));
    }

    #[test]
    fn a_reading_far_off_names_causes_and_asks_for_a_reason() {
        let page = CheckScreen {
            far_off: "now 88 %".into(),
            causes: vec!["Measure again".into(), "Wrong racket".into()],
            reason: Some(Field::new("reason", "Pass all the same because", Control::Text)),
            ..screen()
        };
        let text = words(&rendered("check-far-off", &page));
        assert!(text.contains("now 88 %") && text.contains("Measure again"));
    }

    #[test]
    fn before_the_first_reading_the_instrument_is_named() {
        let page = CheckScreen {
            instruments: Vec::new(),
            ..screen()
        };
        let text = words(&rendered("check-no-instrument", &page));
        assert!(text.contains("Name the instrument") && text.contains("B 12 is free"));
    }
}
