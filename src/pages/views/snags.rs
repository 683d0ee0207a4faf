//! Snags: what waits for a person's decision, the oldest first.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/snags` | |
//! | POST | `/snags/{id}` | `choice` (a button), `note`, `once` |
use askama::Template;

use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "snags.html", config = ".askama.toml")]
pub struct Snags {
    pub shell: Shell,
    pub groups: Vec<SnagGroup>,
    /// "13:05, K7M4G, no stock: Wait until it can be strung (Example desk)", the last first.
    pub decided: Vec<String>,
}

/// What the same people can decide, the most urgent first.
#[derive(Clone, Debug)]
pub struct SnagGroup {
    /// "For the desk".
    pub title: &'static str,
    pub snags: Vec<SnagCard>,
}

/// One thing to decide.
#[derive(Clone, Debug)]
pub struct SnagCard {
    pub id: String,
    pub chip: Chip,
    /// "K7M4G, Example A."; empty if it is about no job.
    pub about: String,
    /// The story of its racket.
    pub href: String,
    /// Where its wish is changed; empty where that cannot be.
    pub change_href: String,
    /// Where its frame's holes are recorded; empty where nobody asks for them.
    pub holes_href: String,
    pub since: String,
    /// What waits on it: "ready by 14:30"; empty if it is about no job.
    pub due: String,
    /// Where the job stands against that.
    pub spare: Option<Chip>,
    pub words: String,
    pub choices: Vec<Choice>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    #[test]
    fn every_choice_of_a_snag_is_a_button_and_an_empty_list_says_so() {
        let card = SnagCard {
            id: "snag_1".into(),
            chip: Chip::new(ChipKind::Risk, "pattern unknown"),
            about: "K7M4G, Example A.".into(),
            href: "/rackets/rkt_1".into(),
            change_href: "/jobs/job_1/change".into(),
            holes_href: "/frames/frm_1".into(),
            since: "13:02".into(),
            due: "ready by 14:30".into(),
            spare: Some(Chip::new(ChipKind::Late, "late 5")),
            words: "Read the holes off the frame.".into(),
            choices: vec![
                Choice::new("recorded", "recorded"),
                Choice::new("give_back", "give back"),
            ],
        };
        let mut page = Snags {
            shell: Shell::invented("Snags", Surface::Day, "Snags"),
            groups: vec![SnagGroup {
                title: "For the bench",
                snags: vec![card],
            }],
            decided: vec!["13:05, K7M4G, no stock: Wait until it can be strung (Example desk)".into()],
        };
        let html = rendered("snags", &page);
        assert!(html.contains("action=\"/snags/snag_1\""));
        assert_eq!(html.matches("name=\"choice\"").count(), 2);
        assert!(
            html.contains("href=\"/rackets/rkt_1\""),
            "one touch to what it is about"
        );
        let text = words(&html);
        assert!(text.contains("For the bench") && text.contains("ready by 14:30"));
        assert!(text.contains("▲! late 5") && text.contains("(Example desk)"));
        page.groups.clear();
        assert!(words(&rendered("snags-empty", &page)).contains("Nothing waits for a decision."));
    }
}
