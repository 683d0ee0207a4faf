//! The order of play from JSON, read loosely so that every fault can be listed.
use serde_json::{Map, Value};

use super::{Cell, Cells, Raw, SCHEMA};
use crate::craft::match_times::order_faults::Refusal;
use crate::forms::place::{FormFault, Place};

const WHOLE: [&str; 9] = [
    "schema",
    "tournament",
    "tzid",
    "day",
    "version",
    "defaults",
    "courts",
    "draws",
    "matches",
];
const DEFAULTS: [&str; 3] = ["warm_up_min", "turnaround_min", "rest_min"];
const COURT: [&str; 6] = ["id", "label", "surface", "covered", "opens", "closes"];
const DRAW: [&str; 2] = ["id", "mix"];
const MATCH: [&str; 14] = [
    "id",
    "court",
    "seq",
    "discipline",
    "draw",
    "round",
    "format",
    "start",
    "sides",
    "rest_min",
    "after",
    "state",
    "note",
    "score",
];
const START: [&str; 2] = ["rule", "time"];

pub(super) fn raw(text: &str) -> Result<Raw, Vec<FormFault>> {
    let document: Value = serde_json::from_str(text.trim_start_matches('\u{feff}')).map_err(|why| {
        let told = why.to_string();
        let detail = told
            .rsplit_once(" at line ")
            .map_or(told.as_str(), |(what, _)| what)
            .to_owned();
        let place = Place {
            line: why.line().max(1),
            column: why.column().max(1),
            field: String::new(),
        };
        vec![FormFault {
            refusal: Refusal::Unreadable,
            place,
            detail,
        }]
    })?;
    let mut reader = Reader {
        raw: Raw {
            lists_courts: true,
            ..Raw::default()
        },
    };
    let Some(whole) = reader.object("", &document, &WHOLE) else {
        return Err(reader.raw.faults);
    };
    reader.raw.whole = reader.plain("", whole, &["schema", "tournament", "tzid", "day", "version"]);
    if reader
        .raw
        .whole
        .get("schema")
        .is_some_and(|schema| schema.text != SCHEMA)
    {
        reader.fault("/schema", Refusal::NotAValue, format!("must be \"{SCHEMA}\""));
    }
    if let Some(defaults) = whole.get("defaults")
        && let Some(defaults) = reader.object("/defaults", defaults, &DEFAULTS)
    {
        let cells = reader.plain("/defaults", defaults, &DEFAULTS);
        reader.raw.whole.named.extend(cells.named);
    }
    reader.raw.courts = reader.list(whole, "courts", true, |reader, at, value| {
        let court = reader.object(at, value, &COURT)?;
        Some(reader.plain(at, court, &COURT))
    });
    reader.raw.draws = reader.list(whole, "draws", false, |reader, at, value| {
        let draw = reader.object(at, value, &DRAW)?;
        Some(reader.plain(at, draw, &DRAW))
    });
    reader.raw.matches = reader.list(whole, "matches", true, |reader, at, value| {
        let played = reader.object(at, value, &MATCH)?;
        Some(reader.one_match(at, played))
    });
    Ok(reader.raw)
}

struct Reader {
    raw: Raw,
}

impl Reader {
    fn fault(&mut self, at: &str, refusal: Refusal, detail: String) {
        self.raw.faults.push(FormFault {
            refusal,
            place: Place::pointer(at),
            detail,
        });
    }

    /// An object without members that do not belong to it.
    fn object<'v>(&mut self, at: &str, value: &'v Value, known: &[&str]) -> Option<&'v Map<String, Value>> {
        let Some(object) = value.as_object() else {
            self.fault(at, Refusal::NotAValue, "must be an object".to_owned());
            return None;
        };
        for name in object.keys().filter(|name| !known.contains(&name.as_str())) {
            let detail = format!("is not known here; use: {}", known.join(", "));
            self.fault(&format!("{at}/{name}"), Refusal::NotAValue, detail);
        }
        Some(object)
    }

    /// Members that are texts, numbers, or yes and no.
    fn plain(&mut self, at: &str, object: &Map<String, Value>, names: &[&'static str]) -> Cells {
        let mut cells = Cells {
            place: Place::pointer(at),
            ..Cells::default()
        };
        for name in names {
            let pointer = format!("{at}/{name}");
            let text = match object.get(*name) {
                None | Some(Value::Null) => continue,
                Some(Value::String(text)) => text.clone(),
                Some(Value::Number(number)) => number.to_string(),
                Some(Value::Bool(yes)) => yes.to_string(),
                Some(_) => {
                    self.fault(
                        &pointer,
                        Refusal::NotAValue,
                        "must be a text or a number".to_owned(),
                    );
                    continue;
                }
            };
            cells.named.insert(
                name,
                Cell {
                    text,
                    place: Place::pointer(&pointer),
                },
            );
        }
        cells
    }

    fn list(
        &mut self,
        whole: &Map<String, Value>,
        name: &str,
        needed: bool,
        mut one: impl FnMut(&mut Self, &str, &Value) -> Option<Cells>,
    ) -> Vec<Cells> {
        let at = format!("/{name}");
        match whole.get(name) {
            Some(Value::Array(values)) => {
                let values = values.iter().enumerate();
                values
                    .filter_map(|(index, value)| one(self, &format!("{at}/{index}"), value))
                    .collect()
            }
            Some(_) => {
                self.fault(&at, Refusal::NotAValue, "must be a list".to_owned());
                Vec::new()
            }
            None => {
                if needed {
                    self.fault(&at, Refusal::Missing, "is missing".to_owned());
                }
                Vec::new()
            }
        }
    }

    fn one_match(&mut self, at: &str, played: &Map<String, Value>) -> Cells {
        const PLAIN: [&str; 9] = [
            "id",
            "court",
            "seq",
            "discipline",
            "draw",
            "round",
            "rest_min",
            "state",
            "note",
        ];
        let mut cells = self.plain(at, played, &PLAIN);
        for name in ["format", "score"] {
            let pointer = format!("{at}/{name}");
            let text = match played.get(name) {
                None | Some(Value::Null) => continue,
                Some(Value::String(text)) => text.clone(),
                Some(data) => data.to_string(),
            };
            cells.named.insert(
                name,
                Cell {
                    text,
                    place: Place::pointer(&pointer),
                },
            );
        }
        let start = format!("{at}/start");
        if let Some(value) = played.get("start")
            && let Some(object) = self.object(&start, value, &START)
        {
            let read = self.plain(&start, object, &START);
            for (name, cell) in read.named {
                cells.named.insert(
                    if name == "rule" {
                        "start_rule"
                    } else {
                        "start_time"
                    },
                    cell,
                );
            }
        }
        self.sides(at, played, &mut cells);
        self.after(at, played, &mut cells);
        cells
    }

    fn sides(&mut self, at: &str, played: &Map<String, Value>, cells: &mut Cells) {
        let pointer = format!("{at}/sides");
        let Some(Value::Array(sides)) = played.get("sides") else {
            let (refusal, detail) = match played.get("sides") {
                None => (Refusal::Missing, "is missing"),
                Some(_) => (Refusal::NotAValue, "must be a list of two sides"),
            };
            self.fault(&pointer, refusal, detail.to_owned());
            return;
        };
        if sides.len() != 2 {
            self.fault(
                &pointer,
                Refusal::NotAValue,
                format!("has {} sides; a match has two", sides.len()),
            );
        }
        for (name, (index, side)) in ["side1", "side2"].into_iter().zip(sides.iter().enumerate()) {
            let pointer = format!("{pointer}/{index}");
            let entrants = side.as_array().map(Vec::as_slice).unwrap_or_default();
            let parts: Option<Vec<String>> = entrants.iter().map(entrant).collect();
            match parts.filter(|parts| !parts.is_empty()) {
                Some(parts) => {
                    let cell = Cell {
                        text: parts.join("+"),
                        place: Place::pointer(&pointer),
                    };
                    cells.named.insert(name, cell);
                }
                None => {
                    let detail =
                        "must be a list of ids, \"TBD\", \"BYE\", {\"winner_of\": id} or {\"loser_of\": id}";
                    self.fault(&pointer, Refusal::NotAValue, detail.to_owned());
                }
            }
        }
    }

    fn after(&mut self, at: &str, played: &Map<String, Value>, cells: &mut Cells) {
        let pointer = format!("{at}/after");
        let ids: Option<Vec<&str>> = match played.get("after") {
            None | Some(Value::Null) => return,
            Some(Value::Array(ids)) => ids.iter().map(Value::as_str).collect(),
            Some(_) => None,
        };
        match ids {
            Some(ids) => {
                let place = Place::pointer(&pointer);
                cells.named.insert(
                    "after",
                    Cell {
                        text: ids.join(";"),
                        place,
                    },
                );
            }
            None => self.fault(
                &pointer,
                Refusal::NotAValue,
                "must be a list of match ids".to_owned(),
            ),
        }
    }
}

fn entrant(value: &Value) -> Option<String> {
    match value {
        Value::String(text) if !text.is_empty() => Some(text.clone()),
        Value::Object(object) if object.len() == 1 => {
            let (name, id) = object.iter().next()?;
            let letter = match name.as_str() {
                "winner_of" => "W",
                "loser_of" => "L",
                _ => return None,
            };
            Some(format!("{letter}:{}", id.as_str()?))
        }
        _ => None,
    }
}
