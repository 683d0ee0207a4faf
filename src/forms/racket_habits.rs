//! What players usually bring, as a table: one row per player and kind of racket.
//!
//! | column | holds |
//! |---|---|
//! | `player` | the player's id in the order of play |
//! | `rackets` | rackets for one match, the mean: 0 to 20 |
//! | `minutes` | stringing at a usual pace, 5 to 120; may be left out |
//! | `mains`, `crosses` | the names of the strings; may be left out |
//!
//! A player with several kinds of racket has several rows; the first row's `rackets` counts.
use std::collections::BTreeMap;

use super::csv::{Cell, rows};
use super::place::{FormFault, Place};
use crate::craft::dispatch::problem::Attributes;
use crate::craft::match_times::order_faults::Refusal;
use crate::craft::tomorrow::habits::{Habit, RacketKind, StringAsked};

const COLUMNS: [&str; 5] = ["player", "rackets", "minutes", "mains", "crosses"];
/// Stringing where no minutes are given, in minutes. Common practice, no source.
const USUAL_MINUTES: f64 = 16.0;
/// String for mains and for crosses of one racket, mm: half a common set, no source.
const HALF_SET_MM: i64 = 6_100;

/// The habits by player, and the strings in them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Habits {
    /// By the player's id.
    pub by_player: BTreeMap<String, Habit>,
    /// The strings' names; a kind asks for them by their place here.
    pub strings: Vec<String>,
}

/// Reads the table.
///
/// # Errors
/// Every fault, by place.
pub fn read(text: &str) -> Result<Habits, Vec<FormFault>> {
    let unreadable = |place: Place, detail: &str| vec![fault(Refusal::Unreadable, place, detail)];
    let mut table = rows(text)
        .map_err(|why| unreadable(why.place, why.detail))?
        .into_iter();
    let header = table
        .next()
        .ok_or_else(|| unreadable(Place::default(), "is empty; the first line names the columns"))?;
    let names = names(&header)?;
    let mut reading = Reading::default();
    for row in table {
        reading.row(&names, &row);
    }
    if reading.faults.is_empty() {
        Ok(reading.habits)
    } else {
        Err(reading.faults)
    }
}

fn fault(refusal: Refusal, place: Place, detail: impl Into<String>) -> FormFault {
    FormFault {
        refusal,
        place,
        detail: detail.into(),
    }
}

fn names(header: &[Cell]) -> Result<Vec<String>, Vec<FormFault>> {
    let known = |cell: &&Cell| !COLUMNS.contains(&cell.text.as_str());
    let mut faults: Vec<FormFault> = header
        .iter()
        .filter(known)
        .map(|cell| {
            let detail = format!(
                "column \"{}\" is not known; use: {}",
                cell.text,
                COLUMNS.join(", ")
            );
            fault(Refusal::NotAValue, cell.place.clone(), detail)
        })
        .collect();
    for needed in ["player", "rackets"] {
        if !header.iter().any(|cell| cell.text == needed) {
            let detail = format!("column \"{needed}\" is missing");
            faults.push(fault(Refusal::Missing, header[0].place.clone(), detail));
        }
    }
    if faults.is_empty() {
        Ok(header.iter().map(|cell| cell.text.clone()).collect())
    } else {
        Err(faults)
    }
}

#[derive(Default)]
struct Reading {
    habits: Habits,
    faults: Vec<FormFault>,
}

impl Reading {
    fn row(&mut self, names: &[String], row: &[Cell]) {
        if row.len() != names.len() {
            let place = row.first().map_or_else(Place::default, |cell| cell.place.clone());
            let detail = format!("has {} cells, the header {}", row.len(), names.len());
            self.faults.push(fault(Refusal::Unreadable, place, detail));
            return;
        }
        let cell = |name: &str| {
            let place = names.iter().position(|other| other == name)?;
            let cell = &row[place];
            let place = Place {
                field: name.to_owned(),
                ..cell.place.clone()
            };
            (!cell.text.is_empty()).then(|| (cell.text.clone(), place))
        };
        let Some((player, _)) = cell("player") else {
            let place = row[0].place.clone();
            self.faults
                .push(fault(Refusal::Missing, place, "player is missing"));
            return;
        };
        let per_match = self.number(cell("rackets"), 0.0, 20.0);
        let minutes = self.number(cell("minutes"), 5.0, 120.0).unwrap_or(USUAL_MINUTES);
        let mains = cell("mains").map(|(name, _)| self.string(name));
        let crosses = cell("crosses").map(|(name, _)| self.string(name));
        let number = |string: Option<usize>| string.map_or(-1, |string| i64::try_from(string).unwrap_or(-1));
        #[expect(clippy::cast_possible_truncation, reason = "at most 120 minutes")]
        let base_s = (minutes * 60.0).round() as i64;
        let kind = RacketKind {
            base_s,
            swivel: false,
            needs: Attributes {
                main: number(mains),
                cross: number(crosses),
                // each player has a frame and a tension of their own
                pattern: i64::try_from(self.habits.by_player.len()).unwrap_or(0),
                mount: 0,
                tension: i64::try_from(self.habits.by_player.len()).unwrap_or(0),
            },
            strings: [mains, crosses]
                .into_iter()
                .flatten()
                .map(|string| StringAsked {
                    string,
                    length_mm: HALF_SET_MM,
                })
                .collect(),
        };
        let habit = self.habits.by_player.entry(player).or_insert_with(|| Habit {
            per_match,
            ..Habit::default()
        });
        habit.kinds.push(kind);
    }

    /// A number in a range; nothing where the cell is empty, and a fault where it holds something else.
    fn number(&mut self, cell: Option<(String, Place)>, least: f64, most: f64) -> Option<f64> {
        let (text, place) = cell?;
        let number: Option<f64> = text.parse().ok().filter(|number| (least..=most).contains(number));
        if number.is_none() {
            let detail = format!("\"{text}\" is no number from {least} to {most}");
            self.faults.push(fault(Refusal::NotAValue, place, detail));
        }
        number
    }

    fn string(&mut self, name: String) -> usize {
        let strings = &mut self.habits.strings;
        strings
            .iter()
            .position(|other| *other == name)
            .unwrap_or_else(|| {
                strings.push(name);
                strings.len() - 1
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_of_habits_is_read_and_strings_are_counted_once() {
        let text = "player,rackets,minutes,mains,crosses\nP101,3,18,String A,String B\nP101,3,18,String A,String A\nP102,1.5,,,\n";
        let habits = read(text).unwrap();
        assert_eq!(habits.strings, ["String A", "String B"]);
        let first = &habits.by_player["P101"];
        assert_eq!((first.per_match, first.kinds.len()), (Some(3.0), 2));
        assert_eq!(first.kinds[0].base_s, 18 * 60);
        assert_eq!(habits.by_player["P102"].kinds[0].base_s, 16 * 60);
        assert!(habits.by_player["P102"].kinds[0].strings.is_empty());
    }

    #[test]
    fn every_fault_is_told_with_its_place() {
        let told =
            |text: &str| -> Vec<String> { read(text).unwrap_err().iter().map(ToString::to_string).collect() };
        assert_eq!(
            told("player,rackets,minutes\nP1,-1,3\n"),
            [
                "2:4: rackets: \"-1\" is no number from 0 to 20 (not_a_value)",
                "2:7: minutes: \"3\" is no number from 5 to 120 (not_a_value)"
            ]
        );
        assert!(told("player,colour\nP1,red\n")[0].contains("column \"colour\" is not known"));
        assert!(told("player,rackets\nP1\n")[0].contains("has 1 cells"));
        assert!(told("")[0].contains("is empty"));
    }
}
