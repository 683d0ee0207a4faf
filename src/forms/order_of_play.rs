//! The order of play as JSON, CSV or iCalendar: read, and written.
//!
//! Whatever the form, a text becomes cells with their places, and one check
//! turns cells into an order of play or lists every fault.
use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use chrono_tz::Tz;

use super::place::{FormFault, FormRemark, Place};
use crate::craft::match_times::order::{Court, OrderOfPlay};

mod check;
mod check_courts;
mod check_sides;
mod from_calendar;
mod from_csv;
mod from_json;
mod sides;
mod to_calendar;
mod to_csv;
mod to_json;

pub use sides::{entrants, written as written_side};
pub use to_calendar::{CalendarTimes, calendar};
pub use to_csv::csv;
pub use to_json::json;

/// The JSON form's name and version.
pub const SCHEMA: &str = "weftdesk.order_of_play/1";

/// The form of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// JSON.
    Json,
    /// Comma-separated values.
    Csv,
    /// iCalendar.
    Calendar,
}

impl Form {
    /// The form that a text begins like.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let text = text.trim_start_matches('\u{feff}').trim_start();
        if text.starts_with('{') || text.starts_with('[') {
            Self::Json
        } else if text
            .get(..15)
            .is_some_and(|start| start.eq_ignore_ascii_case("BEGIN:VCALENDAR"))
        {
            Self::Calendar
        } else {
            Self::Csv
        }
    }
}

/// What is known besides the text.
#[derive(Debug, Clone, Default)]
pub struct Known<'a> {
    /// The zone of forms that have none.
    pub zone: Option<Tz>,
    /// The courts of forms that have none; without them those that are named count.
    pub courts: Vec<Court>,
    /// The players there are; without them every id counts.
    pub players: Option<&'a BTreeSet<String>>,
    /// Those whose name is this, by its search key: how the order writes each of them.
    pub called: Option<&'a BTreeMap<String, Vec<String>>>,
}

/// An order of play that was read, and what is worth a word.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// The order.
    pub order: OrderOfPlay,
    /// Remarks, by place.
    pub remarks: Vec<FormRemark>,
}

/// Reads an order of play of any form.
///
/// # Errors
/// Every fault, by place.
pub fn read(text: &str, known: &Known<'_>) -> Result<Read, Vec<FormFault>> {
    let form = Form::of(text);
    let raw = match form {
        Form::Json => from_json::raw(text),
        Form::Csv => from_csv::raw(text),
        Form::Calendar => from_calendar::raw(text),
    };
    let mut outcome = raw.and_then(|raw| check::check(&raw, known));
    if form == Form::Json {
        match &mut outcome {
            Ok(read) => read
                .remarks
                .iter_mut()
                .for_each(|remark| remark.place.find_in(text)),
            Err(faults) => faults.iter_mut().for_each(|fault| fault.place.find_in(text)),
        }
    }
    outcome.map_err(|mut faults| {
        faults.sort_by(|one, other| one.place.cmp(&other.place));
        faults
    })
}

/// The day that a text says it is for, whatever else is wrong with it.
#[must_use]
pub fn day_in(text: &str) -> Option<NaiveDate> {
    let raw = match Form::of(text) {
        Form::Json => from_json::raw(text),
        Form::Csv => from_csv::raw(text),
        Form::Calendar => from_calendar::raw(text),
    };
    raw.ok()?.whole.get("day")?.text.parse().ok()
}

/// A value as text, with its place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Cell {
    text: String,
    place: Place,
}

/// The values of one thing, by name.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Cells {
    place: Place,
    named: BTreeMap<&'static str, Cell>,
}

/// A text taken apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Raw {
    whole: Cells,
    courts: Vec<Cells>,
    draws: Vec<Cells>,
    matches: Vec<Cells>,
    faults: Vec<FormFault>,
    /// Whether the form lists its courts.
    lists_courts: bool,
}

impl Cells {
    fn get(&self, name: &str) -> Option<&Cell> {
        self.named.get(name).filter(|cell| !cell.text.is_empty())
    }

    /// Where a member stands, or the thing itself.
    fn place_of(&self, name: &str) -> Place {
        self.named
            .get(name)
            .map_or_else(|| self.place.clone(), |cell| cell.place.clone())
    }
}
