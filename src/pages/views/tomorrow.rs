//! Tomorrow: what the next day of play asks of the desk, and the odds with fewer and with more stations.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/tomorrow` | `day`, `stations`, `opens` |
//! | POST | `/tomorrow` | `day`, `stations`, `opens`, `read`, `row`…, and by row `works-`, `station-`, `stringer-`, `from-`, `to-` |
use askama::Template;

use crate::pages::parts::{Chip, Choice};
use crate::pages::shell::Shell;

pub mod charts;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "tomorrow.html", config = ".askama.toml")]
pub struct Tomorrow {
    pub shell: Shell,
    /// "2026-05-02"; empty without an order of play.
    pub day: String,
    /// Nothing is known of a later day, or today was asked for.
    pub is_today: bool,
    /// "07:30".
    pub opens: String,
    /// How many stations are planned.
    pub stations: usize,
    /// Addresses with one station less and one more; none at the ends.
    pub fewer: Option<String>,
    pub more: Option<String>,
    pub stage: Stage,
    /// Who works that day; none without a day or a station.
    pub publish: Option<Publish>,
    /// Machines and until when they are cleared.
    pub machines: Vec<MachineLine>,
}

/// The shifts that a coordinator may publish.
#[derive(Clone, Debug, Default)]
pub struct Publish {
    pub rows: Vec<ShiftRow>,
    /// The number of the row for a shift that is in no other row.
    pub more: usize,
    /// For that row.
    pub stations: Vec<Choice>,
    pub stringers: Vec<Choice>,
    /// What cannot be published, if anything cannot.
    pub note: String,
    /// The version that is shown.
    pub version: i64,
    /// "Published on Sat 20:15: 3 stations."; empty before.
    pub published: String,
}

/// One shift.
#[derive(Clone, Debug)]
pub struct ShiftRow {
    pub number: usize,
    pub station_id: String,
    pub station: String,
    pub works: bool,
    pub stringers: Vec<Choice>,
    pub from: String,
    pub to: String,
}

/// How far the answer is.
#[derive(Debug)]
pub enum Stage {
    /// No order of play.
    NoOrder,
    /// No station in Setup.
    NoStations,
    /// It is being played; ready by this time at the latest, "21:04:10".
    UnderWay(String),
    /// Others wait already.
    Busy,
    /// It could not be played.
    Failed,
    /// Here it is.
    Played(Box<Answer>),
}

impl Stage {
    /// After so many seconds the page looks again by itself.
    fn look_again_s(&self) -> Option<u8> {
        match self {
            Self::UnderWay(_) => Some(2),
            Self::Played(answer) if answer.changed_since => Some(20),
            _ => None,
        }
    }
}

/// The answer.
#[derive(Clone, Debug, Default)]
pub struct Answer {
    /// It was played before the last changes; a newer answer is on its way.
    pub changed_since: bool,
    /// "6 matches, 23 rackets (18 to 29)".
    pub summary: String,
    /// "With 3 stations 94 of 100 rackets are ready when due; the worst half hour begins at 13:00."
    pub verdict: String,
    pub verdict_chip: Chip,
    pub odds: Vec<OddsLine>,
    pub odds_chart: String,
    pub half_hours: Vec<HalfHourLine>,
    pub coming_chart: String,
    pub due_chart: String,
    pub load_chart: String,
    /// What the formulas say besides.
    pub checks: Vec<String>,
    pub strings: Vec<StringLine>,
    /// Said of rackets whose strings nobody can tell yet; empty when there are none.
    pub unknown_strings: String,
    /// "from 12 repetitions of the day".
    pub basis: String,
}

/// One number of stations.
#[derive(Clone, Debug)]
pub struct OddsLine {
    pub stations: usize,
    pub planned: bool,
    /// "94.1 % ± 1.2".
    pub ready: String,
    /// "1.4".
    pub late: String,
}

/// One half hour.
#[derive(Clone, Debug)]
pub struct HalfHourLine {
    /// "13:00".
    pub from: String,
    /// "2 to 5, about 3".
    pub coming: String,
    pub due: String,
    /// "2.6".
    pub busy: String,
    /// "12 %"; empty where nothing is late.
    pub late: String,
    pub worst: bool,
}

/// One string.
#[derive(Clone, Debug)]
pub struct StringLine {
    pub name: String,
    /// "96 to 140 m, about 118 m".
    pub asked: String,
    /// About so many sets.
    pub sets: String,
    /// "73.4 m".
    pub left: String,
    pub cover: Chip,
}

/// One machine.
#[derive(Clone, Debug)]
pub struct MachineLine {
    pub name: String,
    pub cleared: String,
    pub due: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    fn page(stage: Stage) -> Tomorrow {
        Tomorrow {
            shell: Shell::invented("Tomorrow", Surface::Day, "Tomorrow"),
            day: "2026-05-02".into(),
            is_today: false,
            opens: "07:30".into(),
            stations: 3,
            fewer: Some("/tomorrow?stations=2".into()),
            more: None,
            stage,
            publish: None,
            machines: vec![MachineLine {
                name: "M1".into(),
                cleared: "not cleared".into(),
                due: true,
            }],
        }
    }

    #[test]
    fn every_chart_stands_beside_a_table_of_its_numbers() {
        let bars = [charts::Bar {
            label: "13:00".into(),
            low: 2.0,
            middle: 3.0,
            high: 5.0,
        }];
        let answer = Answer {
            summary: "6 matches, 23 rackets".into(),
            verdict: "With 3 stations 94 of 100 rackets are ready when due".into(),
            verdict_chip: Chip::new(ChipKind::Risk, "6 % late"),
            odds: vec![OddsLine {
                stations: 3,
                planned: true,
                ready: "94.1 % ± 1.2".into(),
                late: "1.4".into(),
            }],
            odds_chart: charts::odds(&[(3, true, 94.1)]),
            half_hours: vec![HalfHourLine {
                from: "13:00".into(),
                coming: "2 to 5, about 3".into(),
                due: "1 to 4, about 2".into(),
                busy: "2.6".into(),
                late: "12 %".into(),
                worst: true,
            }],
            coming_chart: charts::band("coming", "Rackets coming in", &bars, None),
            due_chart: charts::band("due", "Rackets due", &bars, Some((4.5, "3 stations string 4.5"))),
            load_chart: charts::load(&[("13:00".into(), 2.6, 12.0)], 3.0),
            strings: vec![StringLine {
                name: "String A".into(),
                asked: "96 to 140 m, about 118 m".into(),
                sets: "about 10 sets".into(),
                left: "73.4 m".into(),
                cover: Chip::new(ChipKind::Late, "66.6 m short"),
            }],
            ..Answer::default()
        };
        let html = rendered("tomorrow", &page(Stage::Played(Box::new(answer))));
        assert_eq!(
            html.matches("<svg").count() - html.matches("aria-hidden").count().min(1),
            4
        );
        assert_eq!(html.matches("<table").count(), 3);
        let text = words(&html);
        for word in [
            "94.1 %",
            "2 to 5, about 3",
            "66.6 m short",
            "worst",
            "not cleared",
        ] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn an_answer_that_something_has_changed_since_says_so_and_looks_again() {
        let answer = |changed_since| {
            let answer = Answer {
                changed_since,
                ..Answer::default()
            };
            rendered("tomorrow-changed", &page(Stage::Played(Box::new(answer))))
        };
        assert!(!answer(false).contains("http-equiv=\"refresh\""));
        assert!(answer(true).contains("<noscript><meta http-equiv=\"refresh\" content=\"20\"></noscript>"));
        assert!(answer(true).contains("data-look-again=\"20\""));
        assert!(words(&answer(true)).contains("Something has changed since"));
    }

    #[test]
    fn without_an_order_of_play_or_an_answer_the_page_says_what_comes_next() {
        let text = words(&rendered("tomorrow-empty", &page(Stage::NoOrder)));
        assert!(text.contains("No order of play yet."));
        let html = rendered("tomorrow-under-way", &page(Stage::UnderWay("21:04:10".into())));
        assert!(words(&html).contains("21:04:10") && html.contains("data-look-again=\"2\""));
        for (name, stage) in [
            ("tomorrow-busy", Stage::Busy),
            ("tomorrow-failed", Stage::Failed),
            ("tomorrow-no-stations", Stage::NoStations),
        ] {
            let html = rendered(name, &page(stage));
            assert!(!html.contains("http-equiv=\"refresh\""), "{name}");
        }
    }
}
