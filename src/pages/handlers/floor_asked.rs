//! What a coordinator asks for on the Floor: fields of a form as an intervention, and its name in words.
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::visit::Visitor;
use super::words;
use crate::craft::job::RushLevel;
use crate::desk::floor::Floor;
use crate::desk::what_if::WhatIf;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::Note;

/// The intervention that the fields name; none where nothing is asked for.
pub fn what_if(visitor: &Visitor, asked: &Filled) -> DeskResult<Option<WhatIf>> {
    let text = |name: &str| asked.get(name).to_owned();
    let (job_id, station_id, stringer_id) = (text("job"), text("station"), text("stringer"));
    Ok(Some(match asked.get("do") {
        "" => return Ok(None),
        "hold" => WhatIf::Hold {
            job_id,
            until: moment(visitor, asked, "until")?,
        },
        "release" => WhatIf::Release { job_id },
        "rush" => WhatIf::Rush {
            job_id,
            level: asked.get("level").parse().unwrap_or(RushLevel::Rush),
        },
        "unrush" => WhatIf::Unrush { job_id },
        "move" => WhatIf::Move { job_id, station_id },
        "due" => WhatIf::Due {
            job_id,
            due_at: moment(visitor, asked, "due")?.ok_or_else(|| no_time("due"))?,
        },
        "close_station" => WhatIf::CloseStation { station_id },
        "open_station" => WhatIf::OpenStation {
            station_id,
            stringer_id,
        },
        "stringer_off" => WhatIf::StringerOff { stringer_id },
        "stop_courts" => WhatIf::StopCourts {
            courts: asked.all("court").map(str::to_owned).collect(),
            expected_resume_at: moment(visitor, asked, "until")?,
        },
        _ => {
            let detail = "This page knows no such intervention; use its buttons.";
            return Err(DeskError::member("/do", "invalid_value", detail));
        }
    }))
}

fn moment(visitor: &Visitor, asked: &Filled, field: &str) -> DeskResult<Option<DateTime<Utc>>> {
    let typed = asked.get(field);
    if typed.is_empty() {
        return Ok(None);
    }
    let read = words::moment(visitor.house.zone, visitor.now, typed);
    read.map(Some).ok_or_else(|| no_time(field))
}

fn no_time(field: &str) -> DeskError {
    DeskError::member(format!("/{field}"), "invalid_value", "Write the time as hh:mm.")
}

/// "Rush K7M4G".
pub fn title(visitor: &Visitor, floor: &Floor, what: &WhatIf) -> String {
    let code = |id: &String| code_of(floor, id);
    let station = |id: &String| {
        let found = floor.lanes.iter().find(|lane| &lane.station.id == id);
        found.map_or_else(String::new, |lane| lane.station.name.clone())
    };
    let stringer = |id: &String| {
        let found = floor.stringers.iter().find(|one| &one.id == id);
        found.map_or_else(String::new, |one| one.name.clone())
    };
    match what {
        WhatIf::Hold { job_id, until: None } => format!("Hold {}", code(job_id)),
        WhatIf::Hold {
            job_id,
            until: Some(until),
        } => format!("Hold {} until {}", code(job_id), when(visitor, *until)),
        WhatIf::Release { job_id } => format!("Release {}", code(job_id)),
        WhatIf::Rush { job_id, level } => match level {
            RushLevel::Court => format!("Rush {} for a player on court", code(job_id)),
            RushLevel::Rush => format!("Rush {}", code(job_id)),
        },
        WhatIf::Unrush { job_id } => format!("Take the rush of {} back", code(job_id)),
        WhatIf::Move { job_id, station_id } => format!("Move {} to {}", code(job_id), station(station_id)),
        WhatIf::Due { job_id, due_at } => format!("{} ready by {}", code(job_id), when(visitor, *due_at)),
        WhatIf::CloseStation { station_id } => format!("{} off", station(station_id)),
        WhatIf::OpenStation {
            station_id,
            stringer_id,
        } => format!("{} on with {}", station(station_id), stringer(stringer_id)),
        WhatIf::StringerOff { stringer_id } => format!("{} off shift", stringer(stringer_id)),
        WhatIf::StopCourts { courts, .. } if courts.is_empty() => {
            "Courts stopped: all that are not covered".to_owned()
        }
        WhatIf::StopCourts { courts, .. } => format!("Courts stopped: {}", courts.join(", ")),
    }
}

fn code_of(floor: &Floor, job_id: &str) -> String {
    super::floor::sheets(floor)
        .find(|sheet| sheet.job.id == job_id)
        .map_or_else(|| "job".to_owned(), |sheet| sheet.job.code.clone())
}

/// "09:00", "tomorrow 09:00", "Mon 09:00".
fn when(visitor: &Visitor, at: DateTime<Utc>) -> String {
    let zone = visitor.house.zone;
    let [today, day] = [visitor.now, at].map(|at| at.with_timezone(&zone).date_naive());
    if today.succ_opt() == Some(day) {
        format!("tomorrow {}", visitor.time(at))
    } else {
        words::time_on(zone, today, at)
    }
}

/// What else somebody should know before it is done.
pub fn also(visitor: &Visitor, floor: &Floor, what: &WhatIf) -> Vec<String> {
    let WhatIf::Due { job_id, due_at } = what else {
        return Vec::new();
    };
    let mut told = Vec::new();
    let typed = visitor.time(*due_at);
    if when(visitor, *due_at) != typed {
        told.push(format!(
            "{typed} is over for today: it is taken as {}.",
            when(visitor, *due_at)
        ));
    }
    let sheet = super::floor::sheets(floor).find(|sheet| &sheet.job.id == job_id);
    if sheet.is_some_and(|sheet| sheet.record.follows_match || sheet.record.match_id.is_some()) {
        told.push("Its ready-by no longer follows the match.".to_owned());
    }
    told
}

/// The fields that say what was done, without its key.
const NAMED: [&str; 7] = ["job", "level", "station", "stringer", "due", "until", "court"];

/// Where to go after something was done: the floor, which says so.
pub fn address_done(form: &Filled) -> String {
    let mut address = format!("/floor?done={}", words::in_address(form.get("do")));
    for name in NAMED {
        for value in form.all(name) {
            address += &format!("&{name}={}", words::in_address(value));
        }
    }
    address
}

/// The same fields as they were asked for.
pub fn as_done(asked: &Filled) -> Filled {
    let fields = asked.0.iter().map(|(name, value)| {
        let name = if name == "done" { "do" } else { name };
        (name.to_owned(), value.clone())
    });
    Filled(fields.collect())
}

/// What was done, and the way to take it back where there is one.
pub fn note(visitor: &Visitor, floor: &Floor, what: &WhatIf) -> Note {
    let job = |id: &String, action: &str| format!("/floor?job={}&do={action}", words::in_address(id));
    let links = match what {
        WhatIf::Hold { job_id, .. } => vec![("Release it".to_owned(), job(job_id, "release"))],
        WhatIf::Rush { job_id, .. } => vec![("Take the rush back".to_owned(), job(job_id, "unrush"))],
        WhatIf::CloseStation { station_id } => {
            let there = floor
                .lanes
                .iter()
                .any(|lane| &lane.station.id == station_id && !lane.station.open);
            let on = ("On again".to_owned(), format!("#open-{station_id}"));
            Some(on).filter(|_| there).into_iter().collect()
        }
        WhatIf::StopCourts { .. } => vec![("Let play go on".to_owned(), "/court-times".to_owned())],
        WhatIf::Due { job_id, .. } | WhatIf::Move { job_id, .. } => {
            let again = format!("/floor?job={}", words::in_address(job_id));
            vec![("Change it again".to_owned(), again)]
        }
        _ => Vec::new(),
    };
    Note {
        words: format!("Done: {}.", title(visitor, floor, what)),
        links,
    }
}
