//! The order of play from a table: one row per match, columns by the header's names.
use super::{Cell, Cells, Raw};
use crate::craft::match_times::order_faults::Refusal;
use crate::forms::csv::rows;
use crate::forms::place::{FormFault, Place};

const COLUMNS: [&str; 19] = [
    "day",
    "court",
    "seq",
    "match_id",
    "draw",
    "round",
    "format",
    "start_rule",
    "start_time",
    "side1",
    "side2",
    "rest_min",
    "after",
    "note",
    "discipline",
    "surface",
    "covered",
    "score",
    "mix",
];
const NEEDED: [&str; 6] = ["day", "court", "seq", "match_id", "format", "start_rule"];

pub(super) fn raw(text: &str) -> Result<Raw, Vec<FormFault>> {
    let fault = |place: Place, detail: String| FormFault {
        refusal: Refusal::Unreadable,
        place,
        detail,
    };
    let table = rows(text).map_err(|why| vec![fault(why.place, why.detail.to_owned())])?;
    let mut table = table.into_iter();
    let start = Place {
        line: 1,
        column: 1,
        field: String::new(),
    };
    let Some(header) = table.next() else {
        return Err(vec![fault(
            start,
            "is empty; the first line names the columns".to_owned(),
        )]);
    };
    let mut raw = Raw::default();
    let names = names(&header, &mut raw);
    if !raw.faults.is_empty() {
        return Err(raw.faults);
    }
    for row in table {
        let place = row.first().map_or_else(Place::default, |cell| cell.place.clone());
        if row.len() != names.len() {
            let detail = format!("has {} cells, the header {}", row.len(), names.len());
            raw.faults.push(fault(
                Place {
                    field: String::new(),
                    ..place.clone()
                },
                detail,
            ));
        }
        let mut cells = Cells {
            place,
            ..Cells::default()
        };
        for (name, cell) in names.iter().zip(row) {
            let Some(name) = name else { continue };
            let place = Place {
                field: (*name).to_owned(),
                ..cell.place
            };
            let name = if *name == "match_id" { "id" } else { name };
            cells.named.insert(
                name,
                Cell {
                    text: cell.text,
                    place,
                },
            );
        }
        raw.matches.push(cells);
    }
    one_day(&mut raw);
    Ok(raw)
}

/// What the header's columns hold; faults for those that are not known and those that are missing.
fn names(header: &[crate::forms::csv::Cell], raw: &mut Raw) -> Vec<Option<&'static str>> {
    let mut names = Vec::new();
    for cell in header {
        let known = COLUMNS.iter().find(|name| **name == cell.text);
        if known.is_none() {
            let detail = format!(
                "column \"{}\" is not known; use: {}",
                cell.text,
                COLUMNS.join(", ")
            );
            raw.faults.push(FormFault {
                refusal: Refusal::NotAValue,
                place: cell.place.clone(),
                detail,
            });
        }
        names.push(known.copied());
    }
    for needed in NEEDED.iter().filter(|needed| !names.contains(&Some(**needed))) {
        let place = Place {
            line: 1,
            column: 1,
            field: (*needed).to_owned(),
        };
        raw.faults.push(FormFault {
            refusal: Refusal::Missing,
            place,
            detail: format!("column \"{needed}\" is missing"),
        });
    }
    names
}

/// All rows are of one day; it is that of the whole.
fn one_day(raw: &mut Raw) {
    let Some(first) = raw.matches.first().and_then(|row| row.named.get("day")).cloned() else {
        return;
    };
    for row in &raw.matches {
        if let Some(day) = row.named.get("day").filter(|day| day.text != first.text) {
            let detail = format!(
                "{} is another day than {}; give each day its own file",
                day.text, first.text
            );
            raw.faults.push(FormFault {
                refusal: Refusal::OtherDay,
                place: day.place.clone(),
                detail,
            });
        }
    }
    raw.whole.named.insert("day", first);
}
