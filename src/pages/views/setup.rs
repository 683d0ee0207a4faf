//! Setup: the tasks of a new desk, and a simple form for each.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/setup` | |
//! | POST | `/setup/account` | `name`, `login`, `role`, `password`, `pin`, `stringer_id`, `once` |
//! | POST | `/setup/string` | `name`, `gauge_mm`, `once` |
//! | POST | `/setup/frame` | `name`, `sport`, `mains`, `crosses`, `min`, `max`, `unit`, `override`, `once` |
//! | POST | `/setup/machine` | `name`, `clamps`, `pull`, `unit`, `step`, `override`, `once` |
//! | POST | `/setup/stringer` | `name`, `once` |
//! | POST | `/setup/station` | `name`, `machine_id`, `once` |
//! | POST | `/setup/open` | `station_id`, `stringer_id`, `once` |
//! | POST | `/setup/close` | `station_id`, `once` |
//! | POST | `/setup/machines/{id}` | `{id}_name`, `{id}_clamps`, `{id}_pull`, `{id}_unit`, `{id}_step`, `{id}_override`, `version`, `once` |
//! | POST | `/setup/strings/{id}` | `{id}_name`, `{id}_gauge_mm`, `version`, `once` |
//! | POST | `/setup/stations/{id}` | `{id}_name`, `{id}_machine_id`, `version`, `once` |
//! | POST | `/setup/stringers/{id}` | `{id}_name`, `once` |
//! | POST | `/setup/collect` | `collect_at`, `once` |
//! | POST | `/setup/accounts/{id}` | `{id}_name`, `{id}_role`, `{id}_password`, `{id}_pin`, `{id}_stringer_id`, `{id}_active` (`yes`), `version`, `once` |
//! | POST | `/setup/photos` | `photos_kept_days`, `once` |
use askama::Template;

use crate::pages::parts::Field;
use crate::pages::shell::Shell;
use crate::pages::views::test_page::{TEST_PAPERS, TestPaper};

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "setup.html", config = ".askama.toml")]
pub struct Setup {
    pub shell: Shell,
    pub tasks: Vec<Task>,
    /// The first task that is not begun; `None` once a racket can be taken in and strung.
    pub next: Option<&'static str>,
    /// A racket was taken in before.
    pub has_rackets: bool,
}

impl Setup {
    /// What a desk needs before its first racket; closing a station, the days of photos and where to
    /// collect are none of it.
    fn needed(&self) -> Vec<&Task> {
        let needs = |task: &&Task| !matches!(task.name.as_str(), "close" | "collect" | "photos");
        self.tasks.iter().filter(needs).collect()
    }

    fn test_papers(&self) -> [TestPaper; 4] {
        TEST_PAPERS
    }

    fn next_task(&self) -> Option<&Task> {
        self.tasks
            .iter()
            .find(|task| Some(task.name.as_str()) == self.next)
    }

    fn begun(&self) -> usize {
        let needed = self.needed();
        needed.iter().filter(|task| !task.there.is_empty()).count()
    }
}

/// One thing to set up.
#[derive(Clone, Debug)]
pub struct Task {
    /// The last part of its form's address.
    pub name: String,
    pub title: String,
    /// What is there already.
    pub there: Vec<String>,
    /// Why the desk needs it.
    pub why: String,
    pub fields: Vec<Field>,
    pub button: String,
    /// Id and words of what may be removed; its form goes to `/setup/devices/{id}/revoke`.
    pub removable: Vec<(String, String)>,
    /// What is there, with what is known of it and the fields that correct it.
    pub corrections: Vec<Correction>,
    /// Address and words of what has a page of its own.
    pub pages: Vec<(String, String)>,
    /// The form was refused or is the next to fill in: shown open.
    pub open: bool,
}

/// One thing that is there, and its correction.
#[derive(Clone, Debug)]
pub struct Correction {
    pub id: String,
    pub name: String,
    /// "1.25 mm"; empty where there is only a name.
    pub words: String,
    /// Where its form goes.
    pub action: String,
    /// The version the fields show.
    pub version: i64,
    pub fields: Vec<Field>,
    /// What a correction changes besides; may be empty.
    pub hint: &'static str,
    /// Address and words of a page of its own.
    pub page: Option<(String, &'static str)>,
    /// Its form was refused: shown open.
    pub open: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::rendered;
    use crate::pages::parts::Control;
    use crate::pages::shell::Surface;

    #[test]
    fn every_task_has_its_own_form_with_controls_of_their_own() {
        let task = |name: &str, there: Vec<String>| Task {
            name: name.into(),
            title: "Strings".into(),
            open: there.is_empty(),
            there,
            why: "What may be asked for.".into(),
            fields: vec![Field::new(format!("{name}_name"), "Name", Control::Text)],
            button: "List it".into(),
            removable: Vec::new(),
            corrections: Vec::new(),
            pages: Vec::new(),
        };
        let page = Setup {
            shell: Shell::invented("Setup", Surface::Day, "Setup"),
            tasks: vec![task("string", Vec::new()), task("stringer", vec!["Leo".into()])],
            next: Some("string"),
            has_rackets: false,
        };
        let html = rendered("setup", &page);
        assert!(html.contains("action=\"/setup/string\"") && html.contains("action=\"/setup/stringer\""));
        assert_eq!(
            html.matches("<details").count(),
            html.matches("</details>").count()
        );
    }
    #[test]
    fn only_a_desk_without_rackets_is_told_to_hand_the_first_one_in() {
        for (has_rackets, first) in [(false, true), (true, false)] {
            let page = Setup {
                shell: Shell::invented("Setup", Surface::Day, "Setup"),
                tasks: Vec::new(),
                next: None,
                has_rackets,
            };
            let html = rendered("setup-done", &page);
            assert_eq!(html.contains("Hand the first one in"), first);
            assert!(html.contains("href=\"/hand-in\""));
        }
    }
}
