//! Court Call: a racket broke on court; its job, who runs and what was delivered, on one screen.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/court-call` | `court`; `player`, or `q`: part of a name, label, tag or badge |
//! | POST | `/court-call` | `racket_id`, `court` (or `elsewhere` with `other_court`), `change`, `wanted_by`, `runner_id`, `once` |
//! | POST | `/court-call/{job}` | `do` (`pick_up`, `deliver`, `bring_back`), `to` (a button), `once` |
use askama::Template;

use super::photos::Photos;
use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "court_call.html", config = ".askama.toml")]
pub struct CourtCall {
    pub shell: Shell,
    /// Whether this person calls, or only runs.
    pub may_call: bool,
    pub court: String,
    pub query: String,
    /// Somebody searched, and nothing is like that.
    pub nothing_found: bool,
    /// Who is on court now, and whom the search found.
    pub players: Vec<OnCourt>,
    pub calling: Option<Caller>,
    pub runs: Vec<Run>,
}

/// One touch that names player and court.
#[derive(Clone, Debug)]
pub struct OnCourt {
    pub court: String,
    pub player: String,
    pub player_id: String,
    pub href: String,
}

/// The player who called.
#[derive(Clone, Debug)]
pub struct Caller {
    pub player: String,
    pub player_id: String,
    /// Value: the racket; hint: where it is and how it is strung.
    pub rackets: Vec<Choice>,
    /// Those that have no spec to repeat: they are taken in on Hand In first.
    pub never_strung: Vec<String>,
    /// Whether one of them can be asked for in another way.
    pub may_change: bool,
    pub change: String,
    /// "14:30", as typed.
    pub wanted_by: String,
    pub courts: Vec<Choice>,
    pub other_court: String,
    pub runners: Vec<Choice>,
}

/// One racket that a court waits for.
#[derive(Clone, Debug)]
pub struct Run {
    pub job_id: String,
    pub court: String,
    pub code: String,
    pub player: String,
    pub racket: String,
    pub slot: String,
    pub state: Chip,
    /// Until it is ready, and on its way: "on the machine, Station 2, ready about 14:20".
    pub meanwhile: String,
    /// "called 7 min ago, Ana runs".
    pub told: String,
    /// "back by 14:30" until it is ready.
    pub back_by: String,
    /// "M 24 kg … / C 23 kg …", for those who may see it.
    pub wish: String,
    /// Its tag can be printed here: it has only just come, or is on its way.
    pub may_print: bool,
    /// Of its marks, for who fetches it from the shelf.
    pub photos: Photos,
    pub may_pick_up: bool,
    pub may_deliver: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    #[test]
    fn a_call_is_three_choices_and_a_run_two_touches() {
        let page = CourtCall {
            shell: Shell::invented("Court Call", Surface::Day, "Court Call"),
            may_call: true,
            court: "Court 2".into(),
            query: String::new(),
            nothing_found: false,
            players: vec![OnCourt {
                court: "Court 2".into(),
                player: "Example A.".into(),
                player_id: "ply_1".into(),
                href: "/court-call?court=Court%202&player=ply_1".into(),
            }],
            calling: Some(Caller {
                player: "Example A.".into(),
                player_id: "ply_1".into(),
                rackets: vec![Choice::new("rkt_1", "1 dot").hint("with its owner").chosen(true)],
                never_strung: vec!["racket 2".into()],
                may_change: true,
                change: "one kilo down".into(),
                wanted_by: "14:30".into(),
                other_court: String::new(),
                courts: vec![Choice::new("Court 2", "Court 2").chosen(true)],
                runners: vec![Choice::new("", "whoever is free").chosen(true)],
            }),
            runs: vec![Run {
                job_id: "job_1".into(),
                court: "Court 2".into(),
                code: "K7M4G".into(),
                player: "Example A.".into(),
                racket: "1 dot".into(),
                slot: "B4".into(),
                state: Chip::new(ChipKind::Ready, "ready"),
                meanwhile: "on its way".into(),
                told: "called 7 min ago".into(),
                back_by: "back by 14:30".into(),
                wish: "M 24 kg / C 23 kg".into(),
                may_print: true,
                photos: Photos::default(),
                may_pick_up: true,
                may_deliver: true,
            }],
        };
        let html = rendered("court-call", &page);
        let text = words(&html);
        assert!(
            text.contains("on its way") && text.contains("called 7 min ago"),
            "{html}"
        );
        assert!(
            text.contains("racket 2 was not strung here before") && html.contains("/hand-in?player=ply_1")
        );
        assert!(
            html.contains("value=\"one kilo down\""),
            "what was typed stays: {html}"
        );
        assert!(html.contains("name=\"wanted_by\" value=\"14:30\"") && text.contains("back by 14:30"));
        assert!(text.contains("M 24 kg / C 23 kg") && html.contains("action=\"/jobs/job_1/tag\""));
        assert!(html.contains("value=\"pick_up\"") && html.contains("name=\"to\""));
    }
}
