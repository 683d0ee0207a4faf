//! The Floor's lanes: what is drawn, and the same in numbers.
use chrono::{DateTime, TimeDelta, Utc};

use super::visit::Visitor;
use super::words;
use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::floor::{Floor, Present};
use crate::desk::job_sheet::JobSheet;
use crate::desk::minutes::minutes;
use crate::desk::schedule::PlannedJob;
use crate::desk::spare::Spare;
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::views::floor::FloorRow;
use crate::pages::views::floor_drawing::{Block, Drawing, Fill, Lane};

/// The drawing begins so many minutes before now.
const BEFORE_MIN: i64 = 30;
/// It reaches at least and at most so far.
const LEAST_MIN: i64 = 175;
const MOST_MIN: i64 = 600;
/// Minutes between two marks of the axis.
const MARK_MIN: i64 = 30;
/// Minutes that half a mark's text takes.
const MARK_EDGE_MIN: i64 = 5;

fn fill(kind: ChipKind) -> Fill {
    match kind {
        ChipKind::Late => Fill::Late,
        ChipKind::Risk => Fill::AtRisk,
        _ => Fill::InTime,
    }
}

/// The lanes as SVG text.
pub fn drawing(visitor: &Visitor, floor: &Floor) -> String {
    let now = minute_of(visitor.now);
    let from = now - BEFORE_MIN - (now - BEFORE_MIN).rem_euclid(MARK_MIN);
    let mut last = now;
    let mut lanes = Vec::new();
    for lane in &floor.lanes {
        let mut blocks = Vec::new();
        blocks.extend(
            lane.present
                .as_ref()
                .map(|present| present_block(visitor, floor, present)),
        );
        for (job, sheet) in &lane.to_come {
            blocks.push(planned_block(visitor, floor, job, sheet));
        }
        last = blocks.iter().map(|block| block.ends).fold(last, i64::max);
        lanes.push(Lane {
            open: lane.station.open.then(|| lane.station.id.clone()),
            blocks,
        });
    }
    let to = (last + MARK_MIN).clamp(from + LEAST_MIN, from + MOST_MIN);
    // a mark at the very edge would be cut off
    let marks = (from / MARK_MIN + 1..=(to - MARK_EDGE_MIN) / MARK_MIN).map(|half_hour| {
        let minute = half_hour * MARK_MIN;
        (minute, visitor.time(at_minute(minute)))
    });
    let drawing = Drawing {
        now,
        marks: marks.collect(),
        lanes,
        from,
        to,
    };
    drawing.svg()
}

fn present_block(visitor: &Visitor, floor: &Floor, present: &Present) -> Block {
    let sheet = &present.sheet;
    let state = words::state_chip(sheet, visitor.now);
    let begins = if sheet.job.state == "on_machine" {
        present.from
    } else {
        visitor.now
    };
    Block {
        fill: Fill::Present,
        begins: minute_of(begins),
        set_up: 0,
        ends: minute_of(present.until),
        glyph: state.kind.glyph(),
        ..block(
            floor,
            sheet,
            format!("until about {}", visitor.time(present.until)),
        )
    }
}

fn planned_block(visitor: &Visitor, floor: &Floor, job: &PlannedJob, sheet: &JobSheet) -> Block {
    let chip = words::spare_chip(sheet, visitor.now);
    let strung = strung_at(job);
    let title = format!(
        "{} to {}, ready {}, must be {}",
        visitor.time(job.start_at),
        visitor.time(strung),
        visitor.time(ready_shown(sheet, job.ready_at)),
        visitor.time_or_day(sheet.job.due_at.utc())
    );
    Block {
        fill: fill(chip.kind),
        glyph: chip.kind.glyph(),
        begins: minute_of(job.start_at),
        set_up: minutes(job.set_up_s),
        ends: minute_of(strung),
        ..block(floor, sheet, title)
    }
}

fn block(floor: &Floor, sheet: &JobSheet, title: String) -> Block {
    Block {
        code: sheet.job.code.clone(),
        glyph: "",
        fill: Fill::InTime,
        begins: 0,
        set_up: 0,
        ends: 0,
        due: minute_of(sheet.job.due_at.utc()),
        plays: floor.matches.get(&sheet.job.id).map(|ready| ready.walk_on.p05),
        title: format!("{} {}: {title}", sheet.job.code, sheet.player.display_name),
        href: format!("/floor?job={}", sheet.job.id),
        moves: (sheet.job.state != "on_machine").then(|| sheet.job.id.clone()),
    }
}

fn strung_at(job: &PlannedJob) -> DateTime<Utc> {
    job.start_at + TimeDelta::seconds(job.set_up_s + job.stringing_s)
}

/// As its minutes say it; else as it is planned.
fn ready_shown(sheet: &JobSheet, planned: DateTime<Utc>) -> DateTime<Utc> {
    sheet.spare.as_ref().map_or(planned, Spare::ready_shown)
}

/// The lanes in numbers, by station and order.
pub fn rows(visitor: &Visitor, floor: &Floor) -> Vec<FloorRow> {
    let mut rows = Vec::new();
    for lane in &floor.lanes {
        if let Some(present) = &lane.present {
            let sheet = &present.sheet;
            let begun = sheet.job.state == "on_machine";
            rows.push(FloorRow {
                state: words::state_chip(sheet, visitor.now),
                begins: if begun {
                    visitor.time(present.from)
                } else {
                    String::new()
                },
                ready: visitor.time_or_day(ready_shown(sheet, present.until)),
                ..row(visitor, floor, &lane.station.name, sheet)
            });
        }
        for (job, sheet) in &lane.to_come {
            rows.push(FloorRow {
                state: words::spare_chip(sheet, visitor.now),
                begins: visitor.time_or_day(job.start_at),
                ready: visitor.time_or_day(ready_shown(sheet, job.ready_at)),
                chance_late: format!("{:.0}\u{a0}%", job.chance_late * 100.0),
                ..row(visitor, floor, &lane.station.name, sheet)
            });
        }
    }
    rows
}

fn row(visitor: &Visitor, floor: &Floor, station: &str, sheet: &JobSheet) -> FloorRow {
    let ready = floor.matches.get(&sheet.job.id);
    FloorRow {
        station: station.to_owned(),
        id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        state: Chip::default(),
        begins: String::new(),
        ready: String::new(),
        ready_by: visitor.time_or_day(sheet.job.due_at.utc()),
        playing: ready.map_or_else(String::new, |ready| {
            let about = visitor.time_or_day(at_minute(ready.walk_on.p50));
            format!("{} on {}, about {about}", ready.match_id, ready.court)
        }),
        chance_late: String::new(),
    }
}

/// What is late or at risk, the worst first: where there is no room for lanes.
pub fn worst(rows: &[FloorRow]) -> Vec<FloorRow> {
    let mut worst: Vec<FloorRow> = rows
        .iter()
        .filter(|row| matches!(row.state.kind, ChipKind::Late | ChipKind::Risk))
        .cloned()
        .collect();
    worst.sort_by_key(|row| row.state.kind != ChipKind::Late);
    worst
}
