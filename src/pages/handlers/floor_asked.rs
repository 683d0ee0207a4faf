//! What a coordinator asks for on the Floor: fields of a form as an intervention, and its name in words.
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::visit::Visitor;
use super::words;
use crate::craft::job::RushLevel;
use crate::desk::floor::Floor;
use crate::desk::what_if::WhatIf;
use crate::desk::{DeskError, DeskResult};

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
        } => format!("Hold {} until {}", code(job_id), visitor.time(*until)),
        WhatIf::Release { job_id } => format!("Release {}", code(job_id)),
        WhatIf::Rush { job_id, level } => match level {
            RushLevel::Court => format!("Rush {} for a player on court", code(job_id)),
            RushLevel::Rush => format!("Rush {}", code(job_id)),
        },
        WhatIf::Unrush { job_id } => format!("Take the rush of {} back", code(job_id)),
        WhatIf::Move { job_id, station_id } => format!("Move {} to {}", code(job_id), station(station_id)),
        WhatIf::Due { job_id, due_at } => format!("{} ready by {}", code(job_id), visitor.time(*due_at)),
        WhatIf::CloseStation { station_id } => format!("{} off", station(station_id)),
        WhatIf::OpenStation {
            station_id,
            stringer_id,
        } => format!("{} on with {}", station(station_id), stringer(stringer_id)),
        WhatIf::StringerOff { stringer_id } => format!("{} off shift", stringer(stringer_id)),
        WhatIf::StopCourts { courts, .. } if courts.is_empty() => "Courts stopped".to_owned(),
        WhatIf::StopCourts { courts, .. } => format!("Courts stopped: {}", courts.join(", ")),
    }
}

fn code_of(floor: &Floor, job_id: &str) -> String {
    let lanes = floor.lanes.iter().flat_map(|lane| {
        let present = lane.present.iter().map(|present| &present.sheet);
        present.chain(lane.to_come.iter().map(|(_, sheet)| sheet))
    });
    let mut all = lanes.chain(floor.aside.iter().map(|(sheet, _)| sheet));
    all.find(|sheet| sheet.job.id == job_id)
        .map_or_else(String::new, |sheet| sheet.job.code.clone())
}
