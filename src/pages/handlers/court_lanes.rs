//! The day view of Court Times: courts with their matches, states and times.
use std::collections::BTreeMap;

use super::visit::Visitor;
use super::words;
use crate::craft::match_times::day_sheet::DayRow;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::match_times::order::Entrant;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::DeskResult;
use crate::desk::court_times::board::{DayBoard, player_names};
use crate::desk::reads::{Db, players};
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::views::court_times::{CourtLane, MatchLine};

/// What people call the players whom an order of play writes by id or badge.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn names(db: &mut Db, tournament: &str) -> DeskResult<BTreeMap<String, String>> {
    let mut names = BTreeMap::new();
    for (name, id) in player_names(db, tournament)? {
        if let Some(player) = players::find(db, tournament, &id)? {
            names.insert(name, player.display_name);
        }
    }
    Ok(names)
}

/// Who stands on one side, in words.
pub fn side(side: &[Entrant], names: &BTreeMap<String, String>) -> String {
    let who = side.iter().map(|entrant| match entrant {
        Entrant::Player(id) => names.get(id).cloned().unwrap_or_else(|| id.clone()),
        Entrant::WinnerOf(id) => format!("winner of {id}"),
        Entrant::LoserOf(id) => format!("loser of {id}"),
        Entrant::ToBeDecided => "to be decided".to_owned(),
        Entrant::Bye => "bye".to_owned(),
    });
    who.collect::<Vec<_>>().join(" and ")
}

/// The courts in their order; `names` are the players' by the names the order uses.
pub fn lanes(visitor: &Visitor, board: &DayBoard, names: &BTreeMap<String, String>) -> Vec<CourtLane> {
    let order = &board.plan.order;
    let of_court = |id: &str| -> Vec<MatchLine> {
        let rows = board
            .rows
            .iter()
            .filter(|row| order.matches[row.place].court == id);
        rows.map(|row| line(visitor, board, row, names)).collect()
    };
    let courts = order.courts.iter().map(|court| CourtLane {
        id: court.id.clone(),
        label: court.label.clone(),
        stopped: board.state.stop(&court.id, visitor.now).is_some(),
        matches: of_court(&court.id),
    });
    courts.collect()
}

fn line(visitor: &Visitor, board: &DayBoard, row: &DayRow, names: &BTreeMap<String, String>) -> MatchLine {
    let played = &board.plan.order.matches[row.place];
    // a night match walks on after midnight
    let at = |minute: i64| words::time_on(visitor.house.zone, board.plan.order.day, at_minute(minute));
    let start = if row.walk_on.p95 - row.walk_on.p05 < 2 {
        at(row.walk_on.p50)
    } else {
        format!(
            "{} to {}, about {}",
            at(row.walk_on.p05),
            at(row.walk_on.p95),
            at(row.walk_on.p50)
        )
    };
    let waits = matches!(row.phase, MatchPhase::Planned | MatchPhase::Called);
    MatchLine {
        id: played.id.clone(),
        sides: [side(&played.sides[0], names), side(&played.sides[1], names)],
        seq: played.seq,
        state: state(row),
        start,
        ready_by: if waits { at(row.ready_by) } else { String::new() },
    }
}

fn state(row: &DayRow) -> Chip {
    let kind = match row.phase {
        MatchPhase::Stopped => ChipKind::Held,
        MatchPhase::Walkover | MatchPhase::Retired | MatchPhase::Cancelled => ChipKind::Info,
        _ if row.may_be_moved() => ChipKind::Risk,
        _ => ChipKind::Plain,
    };
    let more = if row.may_be_moved() { ", may be moved" } else { "" };
    Chip::new(kind, format!("{}{more}", row.phase.as_str().replace('_', " ")))
}
