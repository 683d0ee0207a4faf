//! Machine Book: how a machine was checked, until when that holds, and where it is checked anew.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/machines/{id}` | `done=checked\|adjusted` |
//! | POST | `/machines/{id}` | `unit` (`kg`, `lb`, `N`), `nominal_1` to `nominal_5`, `measured_1_1` to `measured_5_3` (empty: no reading), `adjusted` (`yes`), `once` |
//! | POST | `/machines/{id}/adjusted` | `once` |
use askama::Template;

use crate::pages::parts::{Chip, Field, Problem};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "machine_book.html", config = ".askama.toml")]
pub struct MachineBook {
    pub shell: Shell,
    pub machine_id: String,
    pub name: String,
    pub state: Chip,
    /// When it is checked again, in words.
    pub due: String,
    /// The correction factor in use; empty where there is none.
    pub correction: String,
    /// Nothing for who may only read.
    pub form: Option<Readings>,
    /// The last checks, newest first.
    pub checks: Vec<Checked>,
}

/// Where readings are written down.
#[derive(Clone, Debug)]
pub struct Readings {
    pub unit: Field,
    pub pulls: Vec<Pulls>,
    pub adjusted: Field,
}

impl Readings {
    /// Says at each box what is wrong with it.
    pub fn say(&mut self, problem: &Problem) {
        let boxes = self
            .pulls
            .iter_mut()
            .flat_map(|row| std::iter::once(&mut row.set_to).chain(&mut row.measured));
        for field in boxes.chain([&mut self.unit]) {
            let own = problem.faults.iter().find(|fault| fault.field == field.name);
            field.fault = own.map(|fault| fault.words.clone());
        }
    }
}

/// The pulls at one tension.
#[derive(Clone, Debug)]
pub struct Pulls {
    /// "Tension 1".
    pub title: String,
    pub set_to: Field,
    pub measured: Vec<Field>,
}

/// One check.
#[derive(Clone, Debug)]
pub struct Checked {
    pub at: String,
    pub who: String,
    pub verdict: Chip,
    pub adjusted: bool,
    /// What it pulls at each tension, in words.
    pub points: Vec<String>,
    /// "21.9 at 22, 23.9 at 24".
    pub readings: String,
    pub unit: &'static str,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::{ChipKind, Control};
    use crate::pages::shell::Surface;

    fn page(form: Option<Readings>) -> MachineBook {
        MachineBook {
            shell: Shell::invented("Machine Book", Surface::Day, "Setup"),
            machine_id: "mch_1".into(),
            name: "M1".into(),
            state: Chip::new(ChipKind::Risk, "check due"),
            due: "A check is due now.".into(),
            correction: String::new(),
            form,
            checks: vec![Checked {
                at: "Sat 2 May 10:00".into(),
                who: "Leo".into(),
                verdict: Chip::new(ChipKind::Plain, "within 0.5 kg"),
                adjusted: false,
                points: vec!["At 24 kg it pulls 0.1 kg too much.".into()],
                readings: "24.1 at 24".into(),
                unit: "kg",
            }],
        }
    }

    #[test]
    fn who_may_check_it_has_boxes_and_who_may_not_reads_the_checks() {
        let number = |name: &str, label: &str| Field::new(name, label, Control::Number).free();
        let readings = Readings {
            unit: Field::new("unit", "Unit", Control::Text),
            pulls: vec![Pulls {
                title: "Tension 1".into(),
                set_to: number("nominal_1", "Set to"),
                measured: vec![number("measured_1_1", "Pull 1")],
            }],
            adjusted: Field::new("adjusted", "It was adjusted", Control::Tick).free(),
        };
        let html = rendered("machine-book", &page(Some(readings)));
        assert!(html.contains("action=\"/machines/mch_1\"") && html.contains("name=\"measured_1_1\""));
        let html = rendered("machine-book-read", &page(None));
        assert!(!html.contains("action=\"/machines/mch_1\""));
        assert!(words(&html).contains("At 24 kg it pulls 0.1 kg too much."));
    }
}
