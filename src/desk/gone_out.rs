//! What has left the desk: to whom and when, and what of it may still be taken back.
use chrono::{DateTime, TimeDelta, Utc};

use crate::craft::custody::Custody;
use crate::desk::hand_out::PickupRecord;
use crate::desk::job_sheet::JobSheet;
use crate::desk::log::{self, LogEntry};
use crate::desk::refusal::DeskResult;
use crate::storage::jobs::Job;
use crate::storage::work::hand_outs;
use crate::storage::{Db, from_record, jobs, players, rackets};

/// How far back in the log a pickup is looked for.
const PICKUPS_WITHIN: i64 = 400;
/// How long a hand-out may be taken back.
const UNDO_WITHIN: TimeDelta = TimeDelta::minutes(10);

/// What left just now.
#[derive(Debug, Clone)]
pub struct RecentPickup {
    /// The id of its pick-up, while that may be taken back; nothing for what left in another way.
    pub id: Option<String>,
    /// In which other way it left: `give_back`, `court_release`, `return`.
    pub how: Option<String>,
    /// The racket to take in again, of what left in another way and is not here again yet.
    pub racket_to_take_in: Option<String>,
    /// Whose rackets they are.
    pub player_id: String,
    /// When.
    pub at: DateTime<Utc>,
    /// The tag codes.
    pub codes: Vec<String>,
    /// The name of whose they are.
    pub player: String,
    /// Who took them, where it was somebody else.
    pub collector: Option<String>,
}

/// What left in the last ten minutes, the last first.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn recent_pickups(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Vec<RecentPickup>> {
    let newest = log::newest(db, tournament)?;
    let entries = log::entries_after(db, tournament, newest - PICKUPS_WITHIN, PICKUPS_WITHIN)?;
    let mut found = Vec::new();
    for entry in entries.into_iter().rev().filter(|one| now - one.at < UNDO_WITHIN) {
        found.extend(match entry.kind.as_str() {
            "pickup.made" => handed_out(db, tournament, &entry)?,
            "job.out" => left_otherwise(db, tournament, &entry)?,
            _ => None,
        });
    }
    Ok(found)
}

fn handed_out(db: &mut Db, tournament: &str, entry: &LogEntry) -> DeskResult<Option<RecentPickup>> {
    let pickup = hand_outs::find(db, tournament, &entry.subject)?;
    let Some(pickup) = pickup.filter(|one| one.undone_at.is_none()) else {
        return Ok(None);
    };
    let record: PickupRecord = from_record(&pickup.record)?;
    let rows = jobs::with_ids(db, tournament, &record.job_ids)?;
    let gone = gone(db, tournament, entry, rows, record.collector)?;
    Ok(gone.map(|one| RecentPickup {
        id: Some(pickup.id),
        ..one
    }))
}

/// Given back, released, returned: the state table has no way back from there, so it is taken in anew.
fn left_otherwise(db: &mut Db, tournament: &str, entry: &LogEntry) -> DeskResult<Option<RecentPickup>> {
    let Some(how) = entry.data["how"].as_str() else {
        return Ok(None);
    };
    let rows = jobs::with_ids(db, tournament, std::slice::from_ref(&entry.subject))?;
    let racket = match rows.first() {
        Some(job) => rackets::find(db, tournament, &job.racket_id)?,
        None => None,
    };
    let away = racket.filter(|one| one.custody.parse::<Custody>().is_ok_and(|at| !at.is_here()));
    let collector = entry.data["collector"].as_str().map(str::to_owned);
    let gone = gone(db, tournament, entry, rows, collector)?;
    Ok(gone.map(|one| RecentPickup {
        how: Some(how.to_owned()),
        racket_to_take_in: away.map(|racket| racket.id),
        ..one
    }))
}

fn gone(
    db: &mut Db,
    tournament: &str,
    entry: &LogEntry,
    rows: Vec<Job>,
    collector: Option<String>,
) -> DeskResult<Option<RecentPickup>> {
    let Some(player_id) = rows.first().map(|job| job.player_id.clone()) else {
        return Ok(None);
    };
    let player = players::find(db, tournament, &player_id)?;
    Ok(Some(RecentPickup {
        id: None,
        how: None,
        racket_to_take_in: None,
        at: entry.at,
        codes: rows.into_iter().map(|job| job.code).collect(),
        player: player.map_or_else(String::new, |one| one.display_name),
        player_id,
        collector,
    }))
}

/// What is kept of a pick-up.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn pickup(db: &mut Db, tournament: &str, id: &str) -> DeskResult<Option<PickupRecord>> {
    match hand_outs::find(db, tournament, id)? {
        Some(pickup) => Ok(Some(from_record(&pickup.record)?)),
        None => Ok(None),
    }
}

/// Who took a racket that is out, where it was not its player.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn collector_of(db: &mut Db, sheet: &JobSheet) -> DeskResult<Option<String>> {
    let tournament = sheet.job.tournament_id.clone();
    let entries = log::entries_about(db, &tournament, std::slice::from_ref(&sheet.job.id))?;
    let last = entries
        .iter()
        .rev()
        .find_map(|entry| entry.data["pickup_id"].as_str());
    let pickup = match last {
        Some(id) => hand_outs::find(db, &tournament, id)?,
        None => None,
    };
    let record: Option<PickupRecord> = match pickup {
        Some(pickup) => Some(from_record(&pickup.record)?),
        None => None,
    };
    Ok(record.and_then(|one| one.collector))
}
