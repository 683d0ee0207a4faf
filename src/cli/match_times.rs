//! `weftdesk match-times`: when the matches of an order of play start, without a database.
use std::path::PathBuf;

use chrono::{DateTime, SecondsFormat, Utc};
use chrono_tz::Tz;
use clap::Args;
use serde_json::{Value, json};

use crate::cli::{Failure, answer, input_file};
use crate::craft::match_times::day_drawing::{clock, svg};
use crate::craft::match_times::day_plan::DayPlan;
use crate::craft::match_times::day_sheet::{Band, DayRow, day_sheet};
use crate::craft::match_times::forecast::{MatchTimes, forecast};
use crate::craft::match_times::length::{Chances, Lengths};
use crate::craft::match_times::order::OrderOfPlay;
use crate::craft::match_times::ready_by::Demand;
use crate::craft::match_times::replay::{Replayed, replay};
use crate::craft::match_times::venue_time::{DayTime, at_minute, minute_of};
use crate::craft::match_times::who_plays::who_plays;
use crate::forms::court_events::{self, EventLines};
use crate::forms::order_of_play::{self, Known, written_side};

/// What `weftdesk match-times` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The order of play as JSON, CSV or iCalendar; `-` reads standard input.
    file: PathBuf,
    /// Now: RFC 3339, or HH:MM of the day of play. Without it the last event's time, or the day as planned.
    #[arg(long, value_name = "T")]
    now: Option<String>,
    /// Events from the courts, one JSON object a line.
    #[arg(long, value_name = "FILE")]
    events: Option<PathBuf>,
    /// The venue's time zone (IANA name) for a file that does not tell it.
    #[arg(long, value_name = "TZID")]
    zone: Option<String>,
    /// Print JSON instead of a table.
    #[arg(long)]
    json: bool,
    /// Also write the day as a drawing to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
}

/// One whole answer.
struct Day {
    plan: DayPlan,
    rows: Vec<DayRow>,
    times: Vec<MatchTimes>,
    now: Option<DateTime<Utc>>,
    remarks: Vec<String>,
}

/// Computes the day and prints it.
///
/// # Errors
/// [`Failure::Refused`] with every fault by line, column and field; [`Failure::CouldNotRun`] for files out of reach.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let day = compute(arguments)?;
    if let Some(out) = &arguments.svg {
        let drawing = svg(&day.plan, &day.rows, &day.times, day.now.map(minute_of));
        std::fs::write(out, drawing)
            .map_err(|error| Failure::CouldNotRun(format!("{}: {error}", out.display())))?;
    }
    if arguments.json {
        let json = serde_json::to_string_pretty(&as_json(&day))
            .map_err(|error| Failure::CouldNotRun(format!("the day cannot be written as JSON: {error}")))?;
        answer(&(json + "\n"))
    } else {
        answer(&as_table(&day))
    }
}

fn compute(arguments: &Arguments) -> Result<Day, Failure> {
    let zone = match &arguments.zone {
        None => None,
        Some(name) => Some(name.parse::<Tz>().map_err(|_unknown| {
            Failure::Refused(vec![format!(
                "--zone: \"{name}\" is no IANA time zone, such as Europe/Paris (unknown_zone)"
            )])
        })?),
    };
    let input = input_file::read(&arguments.file)?;
    let known = Known {
        zone,
        ..Known::default()
    };
    let read = order_of_play::read(&input.text, &known).map_err(|faults| refused(&input.name, &faults))?;
    let mut remarks: Vec<String> = read
        .remarks
        .iter()
        .map(|remark| format!("{}:{remark}", input.name))
        .collect();
    let (name, lines) = events(arguments)?;
    let replayed =
        replay(&read.order, &lines.events).map_err(|faults| refused(&name, &lines.placed(faults)))?;
    remarks.extend(replayed.remarks.iter().map(|remark| {
        let line = lines.lines.get(remark.place).copied().unwrap_or(1);
        format!("{name}:{line}:1: {} ({})", remark.detail, remark.remark)
    }));
    let now = now(arguments.now.as_deref(), &replayed.order, &lines)?;
    let Replayed { order, state, .. } = replayed;
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(order, Chances::default(), &mut lengths);
    let times = forecast(&plan, &state, now, &mut lengths);
    let rows = day_sheet(&plan, &state, &times, now.map(minute_of), &Demand::default());
    Ok(Day {
        plan,
        rows,
        times,
        now,
        remarks,
    })
}

fn refused(name: &str, faults: &[crate::forms::place::FormFault]) -> Failure {
    Failure::Refused(faults.iter().map(|fault| format!("{name}:{fault}")).collect())
}

fn events(arguments: &Arguments) -> Result<(String, EventLines), Failure> {
    let Some(path) = &arguments.events else {
        return Ok((String::new(), EventLines::default()));
    };
    let input = input_file::read(path)?;
    let lines = court_events::read(&input.text).map_err(|faults| refused(&input.name, &faults))?;
    Ok((input.name, lines))
}

/// Now as told, else that of the last event, else none: the day as planned.
fn now(
    told: Option<&str>,
    order: &OrderOfPlay,
    lines: &EventLines,
) -> Result<Option<DateTime<Utc>>, Failure> {
    let Some(told) = told else {
        return Ok(lines.events.iter().map(|event| event.at).max());
    };
    let time = told.parse::<DayTime>().ok().and_then(|time| order.at(time));
    match time.or_else(|| told.parse().ok()) {
        Some(now) => Ok(Some(now)),
        None => Err(Failure::Refused(vec![format!(
            "--now: \"{told}\" is no time; write RFC 3339 (2026-05-02T09:30:00Z) or HH:MM of the day of play"
        )])),
    }
}

fn rfc3339(minute: i64) -> String {
    at_minute(minute).to_rfc3339_opts(SecondsFormat::Secs, true)
}

fn as_json(day: &Day) -> Value {
    let band = |band: Band| json!({"p05_at": rfc3339(band.p05), "p50_at": rfc3339(band.p50), "p95_at": rfc3339(band.p95)});
    let order = &day.plan.order;
    let rows = day.rows.iter().map(|row| {
        let played = &order.matches[row.place];
        let plays: Vec<Value> = who_plays(order, &day.times, row.place)
            .into_iter()
            .map(|(player, chance)| json!({"player": player, "chance": chance}))
            .collect();
        json!({
            "id": played.id,
            "court": played.court,
            "seq": played.seq,
            "state": row.phase.as_str(),
            "end_inferred": row.inferred,
            "walk_on": band(row.walk_on),
            "last_point": band(row.last_point),
            "ready_by_at": rfc3339(row.ready_by),
            "side_1_wins": row.side_one_wins,
            "plays": plays,
            "over_before_closing": row.fits,
            "may_be_moved": row.may_be_moved(),
            "waits_for": row.chain.iter().map(|place| order.matches[*place].id.as_str()).collect::<Vec<_>>(),
        })
    });
    json!({
        "schema": "weftdesk.match_times/1",
        "tournament": order.tournament,
        "day": order.day.to_string(),
        "tzid": order.zone.name(),
        "version": order.version,
        "now": day.now.map(|now| now.to_rfc3339_opts(SecondsFormat::Secs, true)),
        "matches": rows.collect::<Vec<_>>(),
        "remarks": day.remarks,
    })
}

fn as_table(day: &Day) -> String {
    let order = &day.plan.order;
    let mut table = vec![
        [
            "court",
            "match",
            "state",
            "walk-on 5%",
            "50%",
            "95%",
            "ready by",
            "over 50%",
            "who",
        ]
        .map(str::to_owned),
    ];
    for row in &day.rows {
        let played = &order.matches[row.place];
        let at = |minute: i64| clock(&day.plan, minute);
        let who = format!(
            "{} v {}",
            written_side(&played.sides[0]),
            written_side(&played.sides[1])
        );
        let moved = if row.may_be_moved() { " (may be moved)" } else { "" };
        let inferred = if row.inferred { " (inferred)" } else { "" };
        table.push([
            played.court.clone(),
            played.id.clone(),
            format!("{}{inferred}", row.phase),
            at(row.walk_on.p05),
            at(row.walk_on.p50),
            at(row.walk_on.p95),
            at(row.ready_by),
            at(row.last_point.p50),
            who + moved,
        ]);
    }
    let now = day.now.map_or_else(
        || "as planned".to_owned(),
        |now| format!("at {}", clock(&day.plan, minute_of(now))),
    );
    let mut text = format!(
        "{} {} version {}, {now}\n\n",
        order.day,
        order.zone.name(),
        order.version
    );
    text += &aligned(&table);
    if !day.remarks.is_empty() {
        text += &format!("\n{}\n", day.remarks.join("\n"));
    }
    text
}

/// Rows with their columns under one another.
fn aligned(table: &[[String; 9]]) -> String {
    let width = |column: usize| {
        table
            .iter()
            .map(|row| row[column].chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..9).map(width).collect();
    let mut text = String::new();
    for row in table {
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell}{}", " ".repeat(width - cell.chars().count())))
            .collect();
        text += cells.join("  ").trim_end();
        text.push('\n');
    }
    text
}
