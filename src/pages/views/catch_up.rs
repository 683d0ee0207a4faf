//! Catch Up: what was written on paper, line by line.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/catch-up` | `entered`: how many lines were just entered |
//! | POST | `/catch-up` | `do` (`preview`, `apply`, `more`), `rows`, `once`; per line `row_N_time`, `row_N_code`, `row_N_what`, `row_N_who`, `row_N_wish`, `row_N_ready_by`, `row_N_sound` |
use askama::Template;

use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "catch_up.html", config = ".askama.toml")]
pub struct CatchUp {
    pub shell: Shell,
    pub rows: Vec<Row>,
    /// Rackets and stations as they may be written.
    pub names: Vec<String>,
    /// "3 lines would be entered, 1 was entered before"; empty before the check.
    pub summary: String,
    /// Every line can be entered.
    pub sound: bool,
}

/// One line of the table.
#[derive(Clone, Debug, Default)]
pub struct Row {
    pub number: usize,
    pub time: String,
    pub code: String,
    pub what: Vec<Choice>,
    /// The racket, the station or who took it, by what was done.
    pub who: String,
    pub wish: String,
    pub ready_by: String,
    /// The frame was written down as sound.
    pub frame_sound: bool,
    /// Its time has not come yet today: whether it was yesterday is asked, or said already.
    pub yesterday: Option<bool>,
    /// What becomes of it; nothing before the check and for an empty line.
    pub fate: Option<Chip>,
    pub reasons: Vec<String>,
}

impl CatchUp {
    /// Whether no line holds anything yet.
    fn nothing(&self) -> bool {
        self.rows.iter().all(Row::is_blank)
    }
}

impl Row {
    fn is_blank(&self) -> bool {
        let typed = [&self.time, &self.code, &self.who, &self.wish, &self.ready_by];
        let said = self.what.iter().any(|one| one.chosen && !one.value.is_empty());
        typed.iter().all(|text| text.is_empty()) && !said
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    #[test]
    fn a_faulty_line_says_why_and_nothing_can_be_entered_before_all_are_sound() {
        let row = Row {
            number: 1,
            time: "13:05".into(),
            code: "K7M4G".into(),
            what: vec![Choice::new("strung", "strung").chosen(true)],
            fate: Some(Chip::new(ChipKind::Risk, "not possible")),
            reasons: vec!["The job is waiting.".into()],
            ..Row::default()
        };
        let mut page = CatchUp {
            shell: Shell::invented("Catch Up", Surface::Day, "Hand In"),
            rows: vec![row],
            names: vec!["Example A. 1".into()],
            summary: "1 line is wrong".into(),
            sound: false,
        };
        let html = rendered("catch-up", &page);
        assert!(words(&html).contains("The job is waiting."));
        assert!(!html.contains("value=\"apply\""));
        assert!(!words(&html).contains("Nothing to catch up."));
        page.sound = true;
        assert!(rendered("catch-up-sound", &page).contains("value=\"apply\""));
    }
}
