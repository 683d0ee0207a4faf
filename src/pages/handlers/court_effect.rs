//! What a text would change before it does: matches with their old and new places and times, jobs, remarks.
use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::court_lanes;
use super::court_times::{Sent, date};
use super::visit::Visitor;
use super::words;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::DeskResult;
use crate::desk::court_times::JUMP;
use crate::desk::court_times::board::DayBoard;
use crate::desk::court_times::change_order::Difference;
use crate::desk::court_times::follow::Moved;
use crate::desk::court_times::preview::{Preview, preview_order};
use crate::desk::court_times::take_events::preview_events;
use crate::pages::views::court_times::{ChangedMatch, EffectLines, MovedLine};

/// More would not be read.
const SHOWN: usize = 12;

/// What the text that was sent would do.
///
/// # Errors
/// Whatever is wrong with it.
pub(super) async fn effect_of(visitor: &Visitor, sent: &Sent) -> DeskResult<EffectLines> {
    let (sent, memory, day) = (sent.clone(), visitor.desk.court_memory(), date(&sent.day)?);
    let zone = visitor.house.zone;
    let (lines, moved) = visitor
        .desk
        .write(&visitor.caller, move |tx| {
            if sent.events {
                let taken = preview_events(tx, day, &sent.text, &memory)?;
                let remarks = taken
                    .remarks
                    .iter()
                    .map(|(line, _, words)| format!("line {line}: {words}"));
                let lines = EffectLines {
                    summary: format!("{} new on court, {} known already", taken.taken, taken.repeated),
                    remarks: remarks.collect(),
                    ..EffectLines::default()
                };
                return Ok((lines, taken.moved));
            }
            let preview = preview_order(tx, day, &sent.text, &memory)?;
            let names = court_lanes::names(tx.db, tx.caller.tournament())?;
            let lines = EffectLines {
                summary: counted(&preview.difference),
                matches: new_ones(&preview.difference),
                changes: changes(&preview, &names, &|minute| {
                    words::time_on(zone, day, at_minute(minute))
                }),
                remarks: preview.remarks.iter().map(ToString::to_string).collect(),
                ..EffectLines::default()
            };
            Ok((lines, preview.moved))
        })
        .await?;
    let late = moved.iter().filter(|moved| moved.becomes_late).count();
    Ok(EffectLines {
        jobs: affected(moved.len(), late),
        moved: moved.iter().map(|moved| moved_job(visitor, day, moved)).collect(),
        ask: late >= JUMP,
        ..lines
    })
}

/// "affects 6 jobs, 1 becomes late".
fn affected(jobs: usize, late: usize) -> String {
    let whose = match jobs {
        0 => return "affects no job".to_owned(),
        1 => "1 job".to_owned(),
        many => format!("{many} jobs"),
    };
    match late {
        0 => format!("affects {whose}, none becomes late"),
        1 => format!("affects {whose}, 1 becomes late"),
        many => format!("affects {whose}, {many} become late"),
    }
}

/// "3 matches moved, 1 new".
fn counted(difference: &Difference) -> String {
    let parts = [
        ("moved", &difference.moved),
        ("new", &difference.new),
        ("gone", &difference.gone),
        ("with other players or rules", &difference.changed),
    ];
    let told: Vec<String> = parts
        .into_iter()
        .filter(|(_, ids)| !ids.is_empty())
        .map(|(what, ids)| format!("{} {what}", ids.len()))
        .collect();
    if told.is_empty() {
        "No match changes.".to_owned()
    } else {
        format!("Matches: {}", told.join(", "))
    }
}

/// "new: M12, M17".
fn new_ones(difference: &Difference) -> Vec<String> {
    let first: Vec<&str> = difference.new.iter().take(SHOWN).map(String::as_str).collect();
    match difference.new.len().saturating_sub(SHOWN) {
        _ if first.is_empty() => Vec::new(),
        0 => vec![format!("new: {}", first.join(", "))],
        more => vec![format!("new: {} and {more} more", first.join(", "))],
    }
}

/// Matches that stand in the order already and would change, with what they were and would be.
fn changes(
    preview: &Preview,
    names: &BTreeMap<String, String>,
    at: &impl Fn(i64) -> String,
) -> Vec<ChangedMatch> {
    let difference = &preview.difference;
    let ids = difference
        .moved
        .iter()
        .chain(&difference.gone)
        .chain(&difference.changed);
    let line = |id: &String| {
        let before = preview
            .before
            .as_ref()
            .and_then(|board| placed(board, id, names, at));
        let after = placed(&preview.after, id, names, at);
        let sides = after.as_ref().or(before.as_ref()).map(|(sides, _)| sides.clone());
        ChangedMatch {
            id: id.clone(),
            sides: sides.unwrap_or_default(),
            before: before.map_or_else(String::new, |(_, place)| place),
            after: after.map_or_else(|| "gone".to_owned(), |(_, place)| place),
        }
    };
    ids.map(line).collect()
}

/// The sides of a match, and "C1, about 15:00".
fn placed(
    board: &DayBoard,
    id: &str,
    names: &BTreeMap<String, String>,
    at: &impl Fn(i64) -> String,
) -> Option<([String; 2], String)> {
    let row = board.row(id)?;
    let order = &board.plan.order;
    let played = &order.matches[row.place];
    let court = order
        .court(&played.court)
        .map_or(&played.court, |court| &court.label);
    let sides = [0, 1].map(|side| court_lanes::side(&played.sides[side], names));
    Some((sides, format!("{court}, about {}", at(row.walk_on.p50))))
}

fn moved_job(visitor: &Visitor, day: NaiveDate, moved: &Moved) -> MovedLine {
    let at = |moment| words::time_on(visitor.house.zone, day, moment);
    MovedLine {
        code: moved.code.clone(),
        played: moved.match_id.clone(),
        before: at(moved.before),
        after: at(moved.after),
        late: moved.becomes_late,
    }
}
