//! What the owner asks for changes while the racket is in: from the counter, or to carry out a snag's decision.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/jobs/{id}/change` | `changed=now\|next_time` after a change |
//! | POST | `/jobs/{id}/change` | `version`, `step`, `as_said`, `unit`, `mains_string_id`, `crosses_string_id`, `own_string`, `pieces`, `note`, `if_started`, `insist`, `insist_reason`, `once` |
use askama::Template;

use crate::pages::parts::{Chip, Choice, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "change_wish.html", config = ".askama.toml")]
pub struct ChangeWish {
    pub shell: Shell,
    pub job_id: String,
    pub racket_id: String,
    pub code: String,
    pub player: String,
    /// "racket 2, F-16x19".
    pub racket: String,
    pub state: Chip,
    /// Mains and crosses as they are asked for now.
    pub now: Vec<String>,
    /// What this page was filled in from.
    pub version: i64,
    /// It was changed just now.
    pub changed: bool,
    /// Nothing where it cannot be changed any more.
    pub form: Option<ChangeForm>,
}

/// What is asked.
#[derive(Debug)]
pub struct ChangeForm {
    pub tension: Vec<Field>,
    pub rest: Vec<Field>,
    /// Asked once strings are in.
    pub if_started: Option<Field>,
    /// What is outside the frame's range, and the reasons for which it may be.
    pub insist: Option<(String, Vec<Choice>)>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::{ChipKind, Control};
    use crate::pages::shell::Surface;

    fn page(form: Option<ChangeForm>) -> ChangeWish {
        ChangeWish {
            shell: Shell::invented("Change the wish", Surface::Day, "Hand In"),
            job_id: "job_1".into(),
            racket_id: "rkt_1".into(),
            code: "K7M4G".into(),
            player: "Example A.".into(),
            racket: "racket 2, F-16x19".into(),
            state: Chip::new(ChipKind::Plain, "on machine"),
            now: vec!["M 24 kg String A".into(), "C 23 kg String B".into()],
            version: 3,
            changed: false,
            form,
        }
    }

    #[test]
    fn it_says_what_is_asked_now_and_takes_a_reason_where_one_may_insist() {
        let html = rendered(
            "change-wish",
            &page(Some(ChangeForm {
                tension: vec![Field::new("as_said", "Tension as spoken", Control::Text).value("40/39")],
                rest: Vec::new(),
                if_started: None,
                insist: Some((
                    "40 kg is above the maker's range.".into(),
                    vec![Choice::new("The player insists", "The player insists")],
                )),
            })),
        );
        let text = words(&html);
        assert!(
            text.contains("M 24 kg String A") && text.contains("above the maker's range"),
            "{text}"
        );
        assert!(html.contains("name=\"insist_reason\"") && html.contains("name=\"version\" value=\"3\""));
    }

    #[test]
    fn what_cannot_be_changed_any_more_has_no_form() {
        let html = rendered("change-wish-closed", &page(None));
        assert!(!html.contains("action=\"/jobs/job_1/change\""), "{html}");
        assert!(html.contains("href=\"/rackets/rkt_1\""), "{html}");
    }
}
