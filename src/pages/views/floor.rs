//! The Floor: who strings what, when, and what each intervention would cost.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/floor` | `job`: what can be done with it; `do` with its fields: what that would cost |
//! | GET | `/floor` | `done` with the fields of `do`: says what was just done |
//! | POST | `/floor` | `do` with the same fields, `once`: does it |
//!
//! `do` is `hold` (`job`, `reason`, `until`), `release`, `rush` (`level`), `unrush`, `move` (`station`),
//! `due` (`due`), `close_station` and `open_station` (`station`, `stringer`), `stringer_off` (`stringer`)
//! or `stop_courts` (`court` repeated, `reason`, `until`).
use askama::Template;

use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "floor.html", config = ".askama.toml")]
pub struct Floor {
    pub shell: Shell,
    /// "Planned at 13:02."
    pub plan_words: String,
    /// What is thought of, before it is done.
    pub price: Option<PriceCard>,
    /// The job that was chosen.
    pub chosen: Option<ChosenJob>,
    pub lanes: Vec<LaneHead>,
    /// The lanes drawn on the time axis; empty without a station.
    pub drawing: String,
    /// What is late or at risk, for a screen without room for lanes.
    pub worst: Vec<FloorRow>,
    /// The drawing's numbers, by station and order.
    pub rows: Vec<FloorRow>,
    /// Jobs without a place.
    pub aside: Vec<AsideRow>,
    /// What stringers refused and still waits.
    pub refused: Vec<RefusedRow>,
    /// Stops of play that last, one line each.
    pub stops: Vec<StopRow>,
    /// Who works today, as published: station, who, from, to.
    pub shifts: Vec<[String; 4]>,
    pub stringers: Vec<StringerRow>,
    /// Courts of today's order of play.
    pub courts: Vec<Choice>,
}

/// What an intervention would cost, and the button that does it.
#[derive(Clone, Debug)]
pub struct PriceCard {
    /// "Rush K7M4G".
    pub title: String,
    /// "P2W8J becomes 4 min late."
    pub sentences: Vec<String>,
    /// Somebody becomes later, or nobody may do a job any more.
    pub harms: bool,
    /// The fields that do it, as they were asked for.
    pub fields: Vec<(String, String)>,
    /// Where to go back to.
    pub back: String,
}

/// A job and what can be done with it.
#[derive(Clone, Debug)]
pub struct ChosenJob {
    pub id: String,
    pub code: String,
    pub player: String,
    pub state: Chip,
    /// "14:30", "Sun 09:00".
    pub ready_by: String,
    /// The same without its day, as it is typed.
    pub due_typed: String,
    /// Why it is where it is.
    pub why: Vec<String>,
    pub held: bool,
    pub rushed: bool,
    pub on_machine: bool,
    /// Stations it could go to.
    pub stations: Vec<Choice>,
    pub reasons: Vec<Choice>,
    pub story_href: String,
}

/// One station at the left of its lane.
#[derive(Clone, Debug)]
pub struct LaneHead {
    pub id: String,
    pub name: String,
    /// Who works there; "closed" where nobody does.
    pub stringer: String,
    pub open: bool,
    /// Stringers who could open it.
    pub stringers: Vec<Choice>,
}

/// One job of a lane in numbers.
#[derive(Clone, Debug)]
pub struct FloorRow {
    pub station: String,
    pub id: String,
    pub code: String,
    pub player: String,
    pub state: Chip,
    pub begins: String,
    pub ready: String,
    pub ready_by: String,
    /// "M12, about 14:20"; empty for a plain time.
    pub playing: String,
    /// "12 %"; empty for what is on the machine.
    pub chance_late: String,
}

/// A job without a place.
#[derive(Clone, Debug)]
pub struct AsideRow {
    pub id: String,
    pub code: String,
    pub player: String,
    pub state: Chip,
    pub ready_by: String,
    pub why: String,
}

/// A stop of play.
#[derive(Clone, Debug)]
pub struct StopRow {
    /// "Court 1, Court 2".
    pub courts: String,
    pub reason: String,
    /// "13:40".
    pub since: String,
    /// "goes on about 15:00".
    pub goes_on: String,
    /// "4 rackets wait on it. The ready-bys of 3 jobs have moved."
    pub effect: String,
}

/// A job that somebody refused.
#[derive(Clone, Debug)]
pub struct RefusedRow {
    pub id: String,
    pub code: String,
    /// "Mia at Station 1, 13:02: no string here".
    pub words: String,
}

/// One stringer.
#[derive(Clone, Debug)]
pub struct StringerRow {
    pub id: String,
    pub name: String,
    /// "Station 1", or "off".
    pub place: String,
    pub on_shift: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    fn page() -> Floor {
        Floor {
            shell: Shell::invented("Floor", Surface::Day, "Floor"),
            plan_words: "Planned at 13:02.".into(),
            price: None,
            chosen: None,
            lanes: vec![LaneHead {
                id: "st1".into(),
                name: "Station 1".into(),
                stringer: "Mia".into(),
                open: true,
                stringers: Vec::new(),
            }],
            drawing: "<svg aria-hidden=\"true\"></svg>".into(),
            worst: Vec::new(),
            rows: vec![FloorRow {
                station: "Station 1".into(),
                id: "j1".into(),
                code: "K7M4G".into(),
                player: "Example A.".into(),
                state: Chip::new(ChipKind::Late, "late 4"),
                begins: "13:10".into(),
                ready: "13:41".into(),
                ready_by: "13:37".into(),
                playing: "M12, about 14:20".into(),
                chance_late: "71 %".into(),
            }],
            aside: vec![AsideRow {
                id: "j2".into(),
                code: "P2W8J".into(),
                player: "Example B.".into(),
                state: Chip::new(ChipKind::Held, "held"),
                ready_by: "15:00".into(),
                why: "It is held: player asked to wait.".into(),
            }],
            refused: vec![RefusedRow {
                id: "j1".into(),
                code: "K7M4G".into(),
                words: "Mia at Station 1, 13:02: no string here".into(),
            }],
            stops: vec![StopRow {
                courts: "Court 1, Court 2".into(),
                reason: "rain".into(),
                since: "12:40".into(),
                goes_on: "goes on about 15:00".into(),
                effect: "4 rackets wait on it. The ready-bys of 3 jobs have moved.".into(),
            }],
            shifts: vec![["Station 1", "Mia", "07:30", "15:00"].map(Into::into)],
            stringers: vec![StringerRow {
                id: "sg1".into(),
                name: "Mia".into(),
                place: "Station 1".into(),
                on_shift: true,
            }],
            courts: vec![Choice::new("C1", "Court 1")],
        }
    }

    #[test]
    fn the_numbers_of_the_drawing_stand_in_a_table_and_nothing_is_done_by_looking() {
        let html = rendered("floor", &page());
        let told = words(&html);
        assert!(
            told.contains("K7M4G") && told.contains("13:41") && told.contains("M12, about 14:20"),
            "{told}"
        );
        assert!(told.contains("It is held: player asked to wait.") && told.contains("no string here"));
        assert!(
            !html.contains("action=\"/floor\" method=\"post\"") && html.contains("value=\"close_station\"")
        );
    }

    #[test]
    fn the_price_stands_before_the_button_that_does_it() {
        let html = rendered(
            "floor-price",
            &Floor {
                price: Some(PriceCard {
                    title: "Rush K7M4G".into(),
                    sentences: vec!["P2W8J becomes 4 min late.".into()],
                    harms: true,
                    fields: vec![("do".into(), "rush".into()), ("job".into(), "j1".into())],
                    back: "/floor?job=j1".into(),
                }),
                ..page()
            },
        );
        let price = html.find("P2W8J becomes 4 min late.").unwrap();
        let button = html.find("Do it").unwrap();
        assert!(price < button && html.contains("method=\"post\""));
    }

    #[test]
    fn a_room_without_stations_says_how_to_get_one() {
        let empty = Floor {
            lanes: Vec::new(),
            rows: Vec::new(),
            aside: Vec::new(),
            drawing: String::new(),
            ..page()
        };
        let told = words(&rendered("floor-empty", &empty));
        assert!(told.contains("No station yet."), "{told}");
    }
}
