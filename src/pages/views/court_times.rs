//! Court Times: the order of play in, its effect on the rackets, courts stopped and going on.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/court-times` | `day` |
//! | POST | `/court-times` | `day`, `text` or `file` (an order of play, or events as JSON lines), `do` (`preview`, `apply`), `confirm`, `once` |
//! | POST | `/court-times/matches` | `day`, `match`, `do` (`called`, `started`, `score`, `over`, `move`, `take_back`), `sets`, `how`, `winner`, `court`, `seq`, `once` |
//! | POST | `/court-times/courts` | `court` (repeated), `do` (`stop`, `restart`), `reason`, `from`, `once` |
use askama::Template;

use crate::pages::parts::Chip;
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "court_times.html", config = ".askama.toml")]
pub struct CourtTimes {
    pub shell: Shell,
    /// The day of play, "2026-05-02".
    pub day: String,
    /// The same as people say it, "Sat 2 May".
    pub day_words: String,
    /// The day that was typed; empty where that of the text is meant.
    pub asked_day: String,
    /// Whether this person may change matches.
    pub may_change: bool,
    /// The formats of matches by name.
    pub formats: String,
    /// Days that have an order of play.
    pub days: Vec<DayLink>,
    /// What was pasted and not applied yet.
    pub text: String,
    /// What applying it would do; none before it was looked at.
    pub effect: Option<EffectLines>,
    /// Rows of the text that are wrong.
    pub wrong_rows: Vec<WrongRow>,
    pub courts: Vec<CourtLane>,
    /// The day as a drawing, ready to print; empty without an order of play.
    pub drawing: String,
}

/// A day that has an order of play.
#[derive(Clone, Debug)]
pub struct DayLink {
    pub day: String,
    /// "Sat 2 May".
    pub label: String,
    pub here: bool,
}

/// A row that is wrong.
#[derive(Clone, Debug)]
pub struct WrongRow {
    pub line: String,
    pub reason: String,
}

/// A job whose ready-by moves.
#[derive(Clone, Debug)]
pub struct MovedLine {
    pub code: String,
    pub played: String,
    pub before: String,
    pub after: String,
    pub late: bool,
}

/// A match that is played elsewhere, at another time, by others or not at all.
#[derive(Clone, Debug)]
pub struct ChangedMatch {
    pub id: String,
    pub sides: [String; 2],
    /// "C1, about 15:00".
    pub before: String,
    /// The same as it would be; "gone".
    pub after: String,
}

/// What a text would change.
#[derive(Clone, Debug, Default)]
pub struct EffectLines {
    /// "Matches: 3 moved, 1 new, 1 gone".
    pub summary: String,
    /// "new: M12, M17"; those that are there already stand in `changes`.
    pub matches: Vec<String>,
    pub changes: Vec<ChangedMatch>,
    /// "affects 6 jobs, 2 become late".
    pub jobs: String,
    pub moved: Vec<MovedLine>,
    /// What is accepted and worth a word.
    pub remarks: Vec<String>,
    /// So many become late that a person must say yes.
    pub ask: bool,
}

/// One court and its matches.
#[derive(Clone, Debug)]
pub struct CourtLane {
    pub id: String,
    pub label: String,
    pub stopped: bool,
    pub matches: Vec<MatchLine>,
}

/// One match.
#[derive(Clone, Debug)]
pub struct MatchLine {
    pub id: String,
    /// Its place among the matches of the court.
    pub seq: u16,
    /// Who plays against whom.
    pub sides: [String; 2],
    pub state: Chip,
    /// "13:04 to 14:48, about 13:40".
    pub start: String,
    pub ready_by: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    fn page() -> CourtTimes {
        let line = MatchLine {
            id: "M12".into(),
            seq: 2,
            sides: ["A".into(), "B".into()],
            state: Chip::new(ChipKind::Plain, "planned"),
            start: "12:04 to 13:48, about 12:40".into(),
            ready_by: "11:29".into(),
        };
        CourtTimes {
            shell: Shell::invented("Court Times", Surface::Day, "Court Times"),
            day: "2026-05-02".into(),
            day_words: "Sat 2 May".into(),
            asked_day: String::new(),
            may_change: true,
            formats: "bo3_tb".into(),
            days: vec![DayLink {
                day: "2026-05-02".into(),
                label: "Sat 2 May".into(),
                here: true,
            }],
            text: "day,court".into(),
            effect: Some(EffectLines {
                summary: "Matches: 1 moved".into(),
                changes: vec![ChangedMatch {
                    id: "M12".into(),
                    sides: ["A".into(), "B".into()],
                    before: "C1, about 13:15".into(),
                    after: "C2, about 12:40".into(),
                }],
                moved: vec![MovedLine {
                    code: "K7M4G".into(),
                    played: "M12".into(),
                    before: "12:00".into(),
                    after: "11:25".into(),
                    late: true,
                }],
                jobs: "affects 6 jobs, 5 become late".into(),
                ask: true,
                ..EffectLines::default()
            }),
            wrong_rows: vec![WrongRow {
                line: "4".into(),
                reason: "there is no court C9".into(),
            }],
            courts: vec![CourtLane {
                id: "C1".into(),
                label: "Court 1".into(),
                stopped: true,
                matches: vec![line],
            }],
            drawing: String::new(),
        }
    }

    #[test]
    fn the_effect_stands_before_the_button_that_applies_it() {
        let mut page = page();
        let html = rendered("court-times", &page);
        let told = words(&html);
        assert!(
            told.contains("5 become late")
                && told.contains("K7M4G")
                && told.contains("there is no court C9")
                && told.contains("Court 1")
                && told.contains("M12"),
            "{told}"
        );
        assert!(html.contains("value=\"apply\"") && html.contains("name=\"confirm\""));
        assert!(
            told.contains("C1, about 13:15") && told.contains("C2, about 12:40"),
            "{told}"
        );
        assert!(html.contains("action=\"/court-times/matches\"") && html.contains("value=\"take_back\""));
        page.effect = None;
        page.may_change = false;
        let looked_at = rendered("court-times-looked-at", &page);
        assert!(!looked_at.contains("<textarea") && !looked_at.contains("action=\"/court-times/"));
        page.may_change = true;
        assert!(!rendered("court-times-new", &page).contains("value=\"apply\""));
    }
}
