//! What has left the desk: to whom and when, and what of it may still be taken back.
use chrono::{DateTime, TimeDelta, Utc};

use crate::desk::hand_out::PickupRecord;
use crate::desk::job_sheet::JobSheet;
use crate::desk::log;
use crate::desk::refusal::DeskResult;
use crate::storage::work::hand_outs;
use crate::storage::{Db, from_record, jobs, players};

/// How far back in the log a pickup is looked for.
const PICKUPS_WITHIN: i64 = 400;
/// How long a hand-out may be taken back.
const UNDO_WITHIN: TimeDelta = TimeDelta::minutes(10);

/// A hand-out that may still be taken back.
#[derive(Debug, Clone)]
pub struct RecentPickup {
    /// Its id.
    pub id: String,
    /// When.
    pub at: DateTime<Utc>,
    /// The tag codes.
    pub codes: Vec<String>,
    /// Whose rackets they are.
    pub player: String,
    /// Who took them, where it was somebody else.
    pub collector: Option<String>,
}

/// The hand-outs of the last ten minutes, the last first.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn recent_pickups(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Vec<RecentPickup>> {
    let newest = log::newest(db, tournament)?;
    let entries = log::entries_after(db, tournament, newest - PICKUPS_WITHIN, PICKUPS_WITHIN)?;
    let mut found = Vec::new();
    let recent = entries.into_iter().rev();
    for entry in recent.filter(|entry| entry.kind == "pickup.made" && now - entry.at < UNDO_WITHIN) {
        let Some(pickup) = hand_outs::find(db, tournament, &entry.subject)? else {
            continue;
        };
        if pickup.undone_at.is_some() {
            continue;
        }
        let record: PickupRecord = from_record(&pickup.record)?;
        let rows = jobs::with_ids(db, tournament, &record.job_ids)?;
        let player = match rows.first() {
            Some(job) => players::find(db, tournament, &job.player_id)?,
            None => None,
        };
        found.push(RecentPickup {
            id: pickup.id,
            at: entry.at,
            codes: rows.into_iter().map(|job| job.code).collect(),
            player: player.map_or_else(String::new, |one| one.display_name),
            collector: record.collector,
        });
    }
    Ok(found)
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
