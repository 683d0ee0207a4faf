//! What was found, as a table and as JSON.
use std::fmt::Write;

use serde_json::json;

use crate::cli::staffing::input::Asked;
use crate::craft::rehearse::{Count, Staffing};

fn clock(seconds: i64) -> String {
    format!("{:02}:{:02}", seconds / 3600, seconds % 3600 / 60)
}

fn band(count: &Count) -> String {
    format!("{} ({} .. {})", count.middle, count.low, count.high)
}

pub(super) fn table(asked: &Asked, found: &Staffing) -> String {
    let mut out = format!(
        "{}: {} stations planned, {} repetitions\nstations  ready when due, %  late  worst from  Erlang C, %\n",
        asked.name, found.planned, found.repetitions
    );
    for staffed in &found.staffed {
        let spread = staffed.ready_percent;
        let ready = format!("{:.1} ±{:.1}", spread.mean, spread.half_width);
        let _ = writeln!(
            out,
            "{:>8}  {ready:<17}  {:>4.1}  {:<10}  {:>11.1}",
            staffed.stations,
            staffed.late.mean,
            staffed
                .worst
                .map_or_else(|| "-".to_owned(), |worst| clock(worst.from_s)),
            100.0 * staffed.chance_of_waiting
        );
    }
    out.push_str(
        "half hour  rackets in      due             stations at work  late, %\n\
         (rackets: half of the repetitions have at most so many; one in ten .. nine in ten)\n",
    );
    for half_hour in &found.half_hours {
        let _ = writeln!(
            out,
            "{:<9}  {:<14}  {:<14}  {:>16.1}  {:.0}",
            clock(half_hour.from_s),
            band(&half_hour.coming),
            band(&half_hour.due),
            half_hour.busy,
            half_hour.late_percent
        );
    }
    if let Some(worst) = found.worst_half_hour_s {
        let _ = writeln!(out, "worst half hour: {}", clock(worst));
    }
    if !asked.strings.is_empty() {
        out.push_str("string asked for, m\n");
    }
    for (name, count) in &asked.strings {
        let metres = |millimetres: usize| millimetres.div_ceil(1000);
        let _ = writeln!(
            out,
            "{name}: {} ({} .. {})",
            metres(count.middle),
            metres(count.low),
            metres(count.high)
        );
    }
    let _ = writeln!(
        out,
        "work between releases and due times: at least {:.1} stations\n\
         cross-check by Erlang C: load {:.2} erlang, {:.1} % of rackets would wait on a steady day",
        found.necessary,
        found.load_erlang,
        100.0 * found.chance_of_waiting
    );
    out
}

fn count(count: &Count) -> serde_json::Value {
    json!({"p10": count.low, "p50": count.middle, "p90": count.high, "mean": count.mean})
}

pub(super) fn as_json(asked: &Asked, found: &Staffing) -> serde_json::Value {
    let staffed = found.staffed.iter().map(|staffed| {
        let spread = staffed.ready_percent;
        json!({
            "stations": staffed.stations,
            "ready_percent": {"mean": spread.mean, "half_width_95": spread.half_width},
            "late": {"mean": staffed.late.mean, "half_width_95": staffed.late.half_width},
            "all_used_percent": staffed.all_used_percent,
            "worst_half_hour_s": staffed.worst.map(|worst| worst.from_s),
            "chance_of_waiting": staffed.chance_of_waiting,
        })
    });
    let half_hours = found.half_hours.iter().map(|half_hour| {
        json!({
            "from_s": half_hour.from_s, "coming": count(&half_hour.coming), "due": count(&half_hour.due),
            "stations_at_work": half_hour.busy, "late_percent": half_hour.late_percent,
        })
    });
    let strings = asked
        .strings
        .iter()
        .map(|(name, asked_mm)| json!({"string": name, "asked_mm": count(asked_mm)}));
    json!({
        "day": asked.name,
        "planned_stations": found.planned,
        "repetitions": found.repetitions,
        "stations": staffed.collect::<Vec<_>>(),
        "half_hours": half_hours.collect::<Vec<_>>(),
        "worst_half_hour_s": found.worst_half_hour_s,
        "strings": strings.collect::<Vec<_>>(),
        "necessary_stations": found.necessary,
        "erlang_c": {"load_erlang": found.load_erlang, "chance_of_waiting": found.chance_of_waiting},
    })
}
