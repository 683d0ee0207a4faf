//! Next Up: the one next job of a station.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/next-up` | `station` |
//! | POST | `/next-up` | `station`, `once`: takes the best job for this station |
//! | POST | `/jobs/{id}/do/start` | `tag_code`, `mains_scan`, `crosses_scan` or `strings_by_name=yes`, `once` |
//! | POST | `/next-up/off` | `station`, `once`: a break; what was not begun waits for any station |
//! | POST | `/next-up/on` | `station`, `stringer`, `once` |
//! | POST | `/next-up/refuse` | `station`, `job`, `reason` (a chip), `once`: the next job is offered |
use askama::Template;

use super::photos::Photos;
use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "next_up.html", config = ".askama.toml")]
pub struct NextUp {
    pub shell: Shell,
    /// Stations to choose from; empty when this device has its own.
    pub stations: Vec<Choice>,
    pub station_id: String,
    /// "Station 3".
    pub station: String,
    pub stringer: String,
    /// What stands in the way of its machine, and where it is checked.
    pub machine_trouble: Option<MachineTrouble>,
    /// "rain on Court 1, Court 2: 6 rackets wait on it"; empty while all play goes on.
    pub stopped: Vec<String>,
    /// Rackets strung here that wait for their check.
    pub in_check: Vec<InCheck>,
    pub job: Option<NextJob>,
    /// The job is this station's already: scan its tag. Otherwise it is taken first.
    pub taken: bool,
    pub then: Vec<ThenRow>,
    /// "about 13:20"; empty when nothing is known.
    pub next_expected: String,
    /// The station is off: it gets no jobs until somebody comes on.
    pub closed: bool,
    /// Who may come on.
    pub people: Vec<Choice>,
    pub reasons: Vec<Choice>,
    /// Another racket's tag was scanned: the two side by side; empty otherwise.
    pub mixed_up: Vec<Told>,
    /// What was scanned before the start was refused.
    pub scanned: Scanned,
}

/// A machine that is out of calibration or has to be checked.
#[derive(Clone, Debug)]
pub struct MachineTrouble {
    pub words: String,
    pub href: String,
}

/// A racket that waits for its check.
#[derive(Clone, Debug)]
pub struct InCheck {
    pub id: String,
    pub code: String,
    pub player: String,
    /// "13:40".
    pub since: String,
}

/// What stands in the fields of the start.
#[derive(Clone, Debug, Default)]
pub struct Scanned {
    pub tag: String,
    pub mains: String,
    pub crosses: String,
    pub by_name: bool,
    /// The name of the field at fault; empty when none is.
    pub wrong: String,
}

/// What tells a racket from its sisters.
#[derive(Clone, Debug)]
pub struct Told {
    /// Which of the two it is.
    pub which: String,
    pub code: String,
    pub player: String,
    pub marks: String,
    pub photos: Photos,
}

/// The job to do.
#[derive(Clone, Debug)]
pub struct NextJob {
    pub id: String,
    pub code: String,
    pub player: String,
    pub racket: String,
    pub frame: String,
    pub mains: String,
    pub mains_string: String,
    pub crosses: String,
    pub crosses_string: String,
    pub start_by: String,
    /// "8 min ago"; empty while there is time.
    pub start_passed: String,
    pub ready_by: String,
    pub state: Chip,
    /// Why it may not be started now; empty when it may.
    pub held: String,
    /// "Why this one: earliest ready-by your machine can do; 12 min spare".
    pub why: String,
    /// "1 of 3 for this player"; empty when alone.
    pub batch: String,
    /// Strings were scanned for this batch already.
    pub strings_known: bool,
}

/// A job after the next.
#[derive(Clone, Debug)]
pub struct ThenRow {
    pub code: String,
    pub ready_by: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    fn screen() -> NextUp {
        NextUp {
            shell: Shell::invented("Next Up", Surface::Day, "Next Up"),
            stations: Vec::new(),
            station_id: "st3".into(),
            station: "Station 3".into(),
            stringer: "Leo".into(),
            machine_trouble: None,
            in_check: vec![InCheck {
                id: "j0".into(),
                code: "4G7BX".into(),
                player: "Sample B.".into(),
                since: "12:58".into(),
            }],
            stopped: vec!["rain on Court 1: 6 rackets wait on it".into()],
            job: Some(NextJob {
                id: "j1".into(),
                code: "K7M4G".into(),
                player: "Example A.".into(),
                racket: "●●● white grip".into(),
                frame: "F-16x19".into(),
                mains: "24 kg".into(),
                mains_string: "String A 1.25".into(),
                crosses: "23 kg".into(),
                crosses_string: "String B 1.30".into(),
                start_by: "13:38".into(),
                start_passed: String::new(),
                ready_by: "14:30".into(),
                state: Chip::new(ChipKind::Plain, "12 min spare"),
                held: String::new(),
                why: "Earliest ready-by that your machine can do.".into(),
                batch: "1 of 3 for this player".into(),
                strings_known: false,
            }),
            taken: true,
            then: vec![ThenRow {
                code: "P2W8J".into(),
                ready_by: "14:50".into(),
            }],
            next_expected: String::new(),
            closed: false,
            people: Vec::new(),
            reasons: vec![
                Choice::new("no_string", "No string here"),
                Choice::new("break", "Break"),
            ],
            mixed_up: Vec::new(),
            scanned: Scanned::default(),
        }
    }

    #[test]
    fn what_was_scanned_comes_back_after_a_refusal_with_the_wrong_field_marked() {
        let page = NextUp {
            scanned: Scanned {
                tag: "K7M4G".into(),
                mains: "REEL-9".into(),
                wrong: "mains_scan".into(),
                ..Scanned::default()
            },
            ..screen()
        };
        let html = rendered("next-up-refused", &page);
        assert!(html.contains("value=\"K7M4G\" required"));
        assert!(html.contains("value=\"REEL-9\" aria-invalid=\"true\""));
    }

    #[test]
    fn a_racket_in_check_has_its_way_back() {
        let html = rendered("next-up-check", &screen());
        assert!(
            html.contains("href=\"/check/j0\"") && words(&html).contains("4G7BX Sample B. was strung here")
        );
    }

    #[test]
    fn a_taken_job_asks_for_its_tag_and_its_strings() {
        let html = rendered("next-up", &screen());
        assert!(html.contains("action=\"/jobs/j1/do/start\"") && html.contains("name=\"tag_code\""));
        assert!(html.contains("name=\"mains_scan\"") && html.contains("name=\"strings_by_name\""));
        assert!(words(&html).contains("1 of 3 for this player"));
        assert_eq!(words(&html).matches("rain on Court 1").count(), 1);
    }

    #[test]
    fn a_wrong_tag_shows_both_rackets_side_by_side() {
        let told = |code: &str, marks: &str| Told {
            which: "This one".into(),
            code: code.into(),
            player: "Example A.".into(),
            marks: marks.into(),
            photos: Photos::default(),
        };
        let page = NextUp {
            mixed_up: vec![told("K7M4G", "one dot"), told("P2W8J", "two dots")],
            ..screen()
        };
        let said = words(&rendered("next-up-wrong-tag", &page));
        for part in ["K7M4G", "one dot", "P2W8J", "two dots", "No photo"] {
            assert!(said.contains(part), "{part}: {said}");
        }
    }

    #[test]
    fn a_waiting_job_is_taken_first() {
        let html = rendered(
            "next-up-waiting",
            &NextUp {
                taken: false,
                ..screen()
            },
        );
        assert!(html.contains("action=\"/next-up\"") && !html.contains("name=\"tag_code\""));
    }

    #[test]
    fn an_empty_queue_says_when_the_next_is_expected() {
        let page = NextUp {
            job: None,
            then: Vec::new(),
            next_expected: "about 13:20".into(),
            ..screen()
        };
        assert!(
            words(&rendered("next-up-empty", &page)).contains("Nothing waiting. Next expected about 13:20.")
        );
    }
}
