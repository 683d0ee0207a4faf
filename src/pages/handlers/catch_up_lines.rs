//! What a table of lines says, in the desk's terms.
use std::collections::BTreeMap;

use chrono::{DateTime, Timelike, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::words;
use crate::craft::search_key::search_key;
use crate::desk::catch_up::{Written, WrittenLine};
use crate::desk::reads::{Db, from_record, players, rackets, stations};
use crate::desk::records::RacketRecord;
use crate::desk::{DeskResult, MemberFault};

/// The kinds of lines: value and words.
pub const KINDS: [(&str, &str); 7] = [
    ("", "choose"),
    ("taken_in", "taken in"),
    ("started", "started"),
    ("mains_done", "mains done"),
    ("strung", "strung"),
    ("checked", "checked, on the shelf"),
    ("out", "given out"),
];
/// As many rackets are offered by name; others are found by their label.
const NAMED: i64 = 400;

/// Rackets and stations as people write them.
#[derive(Debug, Clone, Default)]
pub struct Names {
    /// Written name and id.
    pub rackets: Vec<(String, String)>,
    /// Label and id.
    labels: Vec<(String, String)>,
    pub stations: Vec<(String, String)>,
}

impl Names {
    /// Reads them.
    ///
    /// # Errors
    /// Where the database fails.
    pub fn read(db: &mut Db, tournament: &str) -> DeskResult<Self> {
        let mut names = Self::default();
        let rows = rackets::page(db, tournament, None, None, NAMED)?;
        let owners: Vec<String> = rows.iter().map(|racket| racket.player_id.clone()).collect();
        let owners: BTreeMap<String, String> = players::with_ids(db, &owners)?
            .into_iter()
            .map(|player| (player.id, player.display_name))
            .collect();
        for racket in rows {
            let record: RacketRecord = from_record(&racket.record)?;
            let owner = owners.get(&racket.player_id).map_or("", String::as_str);
            let name = format!("{owner} {}", words::marks(&record));
            names.rackets.push((name.trim().to_owned(), racket.id.clone()));
            if let Some(label) = racket.label_code {
                names.labels.push((label, racket.id));
            }
        }
        names.stations = stations::all(db, tournament)?
            .into_iter()
            .map(|one| (one.name, one.id))
            .collect();
        Ok(names)
    }

    fn racket(&self, typed: &str) -> Result<String, String> {
        let label = self.labels.iter().find(|(label, _)| label == typed.trim());
        match label {
            Some((_, id)) => Ok(id.clone()),
            None => the_one(&self.rackets, typed, "racket"),
        }
    }

    fn station(&self, typed: &str) -> Result<String, String> {
        the_one(&self.stations, typed, "station")
    }
}

/// The thing that is called so, or the only one whose name has a word beginning like each word typed.
fn the_one(all: &[(String, String)], typed: &str, what: &str) -> Result<String, String> {
    let key = search_key(typed);
    if key.is_empty() {
        return Err(format!("Write which {what} it was."));
    }
    let keyed = |fits: &dyn Fn(&str) -> bool| -> Vec<&(String, String)> {
        all.iter().filter(|(name, _)| fits(&search_key(name))).collect()
    };
    let exact = keyed(&|name| name == key);
    let found = if exact.is_empty() {
        keyed(&|name| {
            let mut typed = key.split_whitespace();
            typed.all(|part| name.split_whitespace().any(|word| word.starts_with(part)))
        })
    } else {
        exact
    };
    match found.as_slice() {
        [(_, id)] => Ok(id.clone()),
        [] => Err(format!("No {what} is called \"{typed}\".")),
        many => {
            let names: Vec<&str> = many.iter().take(5).map(|(name, _)| name.as_str()).collect();
            Err(format!("Which one: {}? Its label tells it.", names.join(", ")))
        }
    }
}

/// One line that somebody wrote something in.
#[derive(Debug, Clone)]
pub struct Read {
    /// Its number on the form, from 1.
    pub number: usize,
    /// What it says, or why it says nothing yet.
    pub line: Result<WrittenLine, Vec<MemberFault>>,
}

/// Every line that is not empty.
pub fn read(form: &Filled, names: &Names, zone: Tz, now: DateTime<Utc>) -> Vec<Read> {
    (1..=rows_of(form))
        .filter(|number| !is_empty(form, *number))
        .map(|number| Read {
            number,
            line: line(form, number, names, zone, now),
        })
        .collect()
}

/// How many lines the form has.
pub fn rows_of(form: &Filled) -> usize {
    let asked = form.get("rows").parse().unwrap_or(0);
    asked.clamp(FEWEST, crate::desk::catch_up::MOST_LINES)
}

/// As many blank lines a fresh page has.
pub const FEWEST: usize = 8;

fn is_empty(form: &Filled, number: usize) -> bool {
    ["time", "code", "what", "who", "wish", "ready_by"]
        .iter()
        .all(|field| form.get(&format!("row_{number}_{field}")).is_empty())
}

/// Faults of one line, as they are found.
#[derive(Default)]
struct Wrong(Vec<MemberFault>);

impl Wrong {
    fn say(&mut self, member: &str, detail: &str) {
        self.0.push(MemberFault::at(member, "invalid_value", detail));
    }

    /// What was found, else nothing and its fault.
    fn or(&mut self, member: &str, found: Result<String, String>) -> String {
        found.unwrap_or_else(|words| {
            self.say(member, &words);
            String::new()
        })
    }
}

/// The code of a time that has not come yet today.
pub const STILL_TO_COME: &str = "still_to_come";
/// Whoever enters the night's lines before this hour means the evening before. Own choice, no source.
const NIGHT_ENDS: u32 = 6;

/// A time that the venue's clock showed last on the day before, entered when nobody means the night.
fn is_to_come(zone: Tz, now: DateTime<Utc>, at: DateTime<Utc>) -> bool {
    let (now, at) = (now.with_timezone(&zone), at.with_timezone(&zone));
    at.date_naive() < now.date_naive() && now.hour() >= NIGHT_ENDS
}

fn line(
    form: &Filled,
    number: usize,
    names: &Names,
    zone: Tz,
    now: DateTime<Utc>,
) -> Result<WrittenLine, Vec<MemberFault>> {
    let said = |field: &str| form.get(&format!("row_{number}_{field}"));
    let mut wrong = Wrong::default();
    let written_at = words::moment_past(zone, now, said("time"));
    if written_at.is_none() {
        wrong.say(
            "time",
            "Write the time as the venue's clock showed it, such as 14:30.",
        );
    }
    let at = written_at.unwrap_or(now);
    if written_at.is_some() && said("yesterday") != "yes" && is_to_come(zone, now, at) {
        let words = format!(
            "{} is still to come today. If it was yesterday, tick that.",
            said("time")
        );
        wrong.0.push(MemberFault::at("time", STILL_TO_COME, words));
    }
    let what = match said("what") {
        "taken_in" => taken_in(
            &said,
            names,
            words::moment(zone, at, said("ready_by")),
            &mut wrong,
        ),
        "started" => Written::Started {
            station_id: wrong.or("who", names.station(said("who"))),
        },
        "mains_done" => Written::MainsDone,
        "strung" => Written::Strung,
        "checked" => Written::Checked,
        "out" => Written::Out {
            to: said("who").to_owned(),
        },
        _ => {
            wrong.say("what", "Choose what was done.");
            Written::Strung
        }
    };
    if wrong.0.is_empty() {
        Ok(WrittenLine {
            written_at: at,
            code: said("code").to_owned(),
            line: what,
        })
    } else {
        Err(wrong.0)
    }
}

fn taken_in<'a>(
    said: &impl Fn(&str) -> &'a str,
    names: &Names,
    due_at: Option<DateTime<Utc>>,
    wrong: &mut Wrong,
) -> Written {
    if due_at.is_none() && !said("ready_by").is_empty() {
        wrong.say(
            "ready_by",
            "Write ready-by as 14:30, or leave it out for the next match.",
        );
    }
    Written::TakenIn {
        racket_id: wrong.or("who", names.racket(said("who"))),
        wish: Some(said("wish").to_owned()).filter(|wish| !wish.is_empty()),
        due_at,
        condition_ok: said("sound") == "yes",
    }
}
