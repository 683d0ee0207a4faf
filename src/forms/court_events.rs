//! Events from the courts as JSON lines: one event a line.
use chrono::{DateTime, Utc};
use serde_json::{Map, Value};

use super::json_place::place_of;
use super::place::{FormFault, Place};
use crate::craft::match_times::day_state::Outcome;
use crate::craft::match_times::events::{CourtEvent, EventFault, Happened, MatchEvent};
use crate::craft::match_times::order::{Start, StartRule};
use crate::craft::match_times::order_faults::Refusal;
use crate::craft::match_times::score::LiveScore;

/// Events with the line each stands on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EventLines {
    /// The events, in the order of the text.
    pub events: Vec<CourtEvent>,
    /// Their lines.
    pub lines: Vec<usize>,
    /// The text of each.
    pub texts: Vec<String>,
}

/// Whether a text is lines of events rather than an order of play.
#[must_use]
pub fn looks_like_events(text: &str) -> bool {
    let first = text.lines().find(|line| !line.trim().is_empty());
    let event: Option<Value> = first.and_then(|line| serde_json::from_str(line).ok());
    event.is_some_and(|event| event.get("src").is_some() || event.get("type").is_some())
}

/// Reads JSON lines; empty lines are none.
///
/// # Errors
/// Every fault of every line.
pub fn read(text: &str) -> Result<EventLines, Vec<FormFault>> {
    let (mut read, mut faults) = (EventLines::default(), Vec::new());
    for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        match event(line) {
            Ok(event) => {
                read.events.push(event);
                read.lines.push(index + 1);
                read.texts.push(line.trim().to_owned());
            }
            Err(of_line) => faults.extend(of_line.into_iter().map(|mut fault| {
                fault.place.line = index + 1;
                fault
            })),
        }
    }
    if faults.is_empty() { Ok(read) } else { Err(faults) }
}

impl EventLines {
    /// Faults of the day's telling, with the lines on which they stand.
    #[must_use]
    pub fn placed(&self, faults: Vec<EventFault>) -> Vec<FormFault> {
        faults
            .into_iter()
            .map(|fault| FormFault {
                refusal: fault.refusal,
                place: Place {
                    line: self.lines.get(fault.place).copied().unwrap_or(1),
                    column: 1,
                    field: String::new(),
                },
                detail: fault.detail,
            })
            .collect()
    }
}

/// One event.
///
/// # Errors
/// Every fault of the line; their line is 1.
pub fn event(line: &str) -> Result<CourtEvent, Vec<FormFault>> {
    let value: Value = serde_json::from_str(line).map_err(|why| {
        let told = why.to_string();
        let detail = told
            .rsplit_once(" at line ")
            .map_or(told.as_str(), |(what, _)| what)
            .to_owned();
        let place = Place {
            line: 1,
            column: why.column().max(1),
            field: String::new(),
        };
        vec![FormFault {
            refusal: Refusal::Unreadable,
            place,
            detail,
        }]
    })?;
    let Some(object) = value.as_object() else {
        let place = Place {
            line: 1,
            column: 1,
            field: String::new(),
        };
        return Err(vec![FormFault {
            refusal: Refusal::NotAValue,
            place,
            detail: "must be an object".to_owned(),
        }]);
    };
    let mut reader = Reader {
        line,
        object,
        used: vec!["src", "n", "at", "type"],
        faults: Vec::new(),
    };
    let event = reader.event();
    for name in object.keys().filter(|name| !reader.used.contains(&name.as_str())) {
        let detail = "does not belong to this type of event".to_owned();
        reader
            .faults
            .push(reader.fault_at(name, Refusal::NotAValue, detail));
    }
    match event.filter(|_| reader.faults.is_empty()) {
        Some(event) => Ok(event),
        None => Err(reader.faults),
    }
}

struct Reader<'a> {
    line: &'a str,
    object: &'a Map<String, Value>,
    used: Vec<&'static str>,
    faults: Vec<FormFault>,
}

impl Reader<'_> {
    fn fault_at(&self, name: &str, refusal: Refusal, detail: String) -> FormFault {
        let field = format!("/{name}");
        let (_, column) = place_of(self.line, &field);
        FormFault {
            refusal,
            place: Place {
                line: 1,
                column,
                field,
            },
            detail,
        }
    }

    /// A member that may be left out or null.
    fn optional<T>(
        &mut self,
        name: &'static str,
        what: &str,
        read: impl Fn(&Value) -> Option<T>,
    ) -> Option<T> {
        self.used.push(name);
        let value = self.object.get(name).filter(|value| !value.is_null())?;
        let read = read(value);
        if read.is_none() {
            let fault = self.fault_at(name, Refusal::NotAValue, format!("must be {what}"));
            self.faults.push(fault);
        }
        read
    }

    fn needed<T>(&mut self, name: &'static str, what: &str, read: impl Fn(&Value) -> Option<T>) -> Option<T> {
        if self.object.get(name).is_none_or(Value::is_null) {
            self.used.push(name);
            let fault = self.fault_at(name, Refusal::Missing, format!("{name} is missing: {what}"));
            self.faults.push(fault);
            return None;
        }
        self.optional(name, what, read)
    }

    fn text(&mut self, name: &'static str) -> Option<String> {
        self.needed(name, "a text", text)
    }

    fn event(&mut self) -> Option<CourtEvent> {
        let src = self.text("src");
        let n = self.needed("n", "a whole number", Value::as_u64);
        let at = self.needed("at", "a time of RFC 3339", instant);
        let kind = self.text("type")?;
        let what = self.what(&kind);
        Some(CourtEvent {
            src: src?,
            n: n?,
            at: at?,
            what: what?,
        })
    }

    fn what(&mut self, kind: &str) -> Option<Happened> {
        match kind {
            "suspended" => Some(Happened::Suspended {
                reason: self.optional("reason", "a text", text).unwrap_or_default(),
                expected: self.optional("expected_resume", "a time of RFC 3339", instant),
                courts: self.courts()?,
            }),
            "resumed" => Some(Happened::Resumed {
                courts: self.courts()?,
            }),
            "reordered" => {
                let court = self.text("court");
                let matches = self.needed("matches", "a list of match ids", texts);
                Some(Happened::Reordered {
                    court: court?,
                    matches: matches?,
                    version: self.version()?,
                })
            }
            "corrected" if !self.object.contains_key("match") => Some(Happened::Withdrawn {
                replaces: self.needed("replaces", "a number of this source", Value::as_u64)?,
            }),
            _ => {
                let what = self.of_match(kind);
                let id = self.text("match");
                Some(Happened::Match(id?, what?))
            }
        }
    }

    fn of_match(&mut self, kind: &str) -> Option<MatchEvent> {
        match kind {
            "called" => Some(MatchEvent::Called),
            "started" => Some(MatchEvent::Started {
                server: self.optional("server", "side 1 or 2", side),
            }),
            "score" => Some(MatchEvent::Score(self.score())),
            "corrected" => Some(MatchEvent::Corrected {
                replaces: self.optional("replaces", "a number of this source", Value::as_u64),
                score: self.score(),
            }),
            "finished" => {
                let how = self.optional("result", "completed, retired or defaulted", |value| {
                    text(value)?.parse().ok()
                });
                self.over(how.unwrap_or(Outcome::Completed))
            }
            "walkover" => self.over(Outcome::Walkover),
            "retired" => self.over(Outcome::Retired),
            "defaulted" => self.over(Outcome::Defaulted),
            "cancelled" => self.over(Outcome::Cancelled),
            "moved" => {
                let court = self.text("court");
                let seq = self.needed("seq", "a place, 1 and up", |value| {
                    u16::try_from(value.as_u64()?).ok()
                });
                Some(MatchEvent::Moved {
                    court: court?,
                    seq: seq?,
                    version: self.version()?,
                })
            }
            "start_rule" => {
                let start = self.needed("start", "a rule, and its time as HH:MM", start);
                Some(MatchEvent::StartRule {
                    start: start?,
                    version: self.version()?,
                })
            }
            other => {
                let detail = format!(
                    "\"{other}\" is no type of event; use called, started, score, suspended, resumed, finished, \
                     walkover, retired, defaulted, moved, reordered, start_rule, cancelled or corrected"
                );
                let fault = self.fault_at("type", Refusal::NotAValue, detail);
                self.faults.push(fault);
                None
            }
        }
    }

    fn over(&mut self, how: Outcome) -> Option<MatchEvent> {
        let winner = self.optional("winner", "side 1 or 2", side);
        let sets = self.optional("sets", "a list of pairs", |value| {
            serde_json::from_value(value.clone()).ok()
        });
        self.optional("reason", "a text", text);
        Some(MatchEvent::Over {
            how,
            winner,
            sets: sets.unwrap_or_default(),
        })
    }

    fn score(&mut self) -> LiveScore {
        let pair = |value: &Value| serde_json::from_value(value.clone()).ok();
        LiveScore {
            sets: self
                .optional("sets", "a list of pairs", |value| {
                    serde_json::from_value(value.clone()).ok()
                })
                .unwrap_or_default(),
            games: self
                .optional("games", "a pair of games", pair)
                .unwrap_or_default(),
            points: self
                .optional("points", "a pair of points", pair)
                .unwrap_or_default(),
            server: self.optional("server", "side 1 or 2", side),
            first_server: self.optional("first_server", "side 1 or 2", side),
        }
    }

    fn courts(&mut self) -> Option<Vec<String>> {
        self.needed("courts", "a list of court ids", texts)
    }

    fn version(&mut self) -> Option<u32> {
        self.needed("version", "the new version of the order", |value| {
            u32::try_from(value.as_u64()?).ok()
        })
    }
}

fn text(value: &Value) -> Option<String> {
    value.as_str().filter(|text| !text.is_empty()).map(str::to_owned)
}

fn texts(value: &Value) -> Option<Vec<String>> {
    value
        .as_array()?
        .iter()
        .map(text)
        .collect::<Option<Vec<_>>>()
        .filter(|texts| !texts.is_empty())
}

fn side(value: &Value) -> Option<u8> {
    value
        .as_u64()
        .and_then(|side| u8::try_from(side).ok())
        .filter(|side| *side == 1 || *side == 2)
}

fn instant(value: &Value) -> Option<DateTime<Utc>> {
    value.as_str()?.parse().ok()
}

fn start(value: &Value) -> Option<Start> {
    let object = value.as_object()?;
    let rule: StartRule = object.get("rule")?.as_str()?.parse().ok()?;
    let time = match object.get("time") {
        None | Some(Value::Null) => None,
        Some(time) => Some(time.as_str()?.parse().ok()?),
    };
    let needs_time = matches!(rule, StartRule::StartingAt | StartRule::NotBefore);
    let known = object.keys().all(|name| name == "rule" || name == "time");
    (known && (!needs_time || time.is_some())).then_some(Start { rule, time })
}
