//! What a screen shows at a glance: the tournament, its people and places, jobs by state.
use chrono_tz::Tz;

use crate::craft::custody::Custody;
use crate::craft::frame::FrameRecord;
use crate::craft::machine::MachineFacts;
use crate::desk::decide_snag::SnagRecord;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::TournamentSettings;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::accounts::{self, Account};
use crate::storage::rackets::models::{self, Frame};
use crate::storage::stock::{self, StringProduct};
use crate::storage::work::waiting_decisions::{self, Snag};
use crate::storage::workshop::machinery::{self, Machine};
use crate::storage::workshop::people::{self, Stringer};
use crate::storage::workshop::places::{self, Station};
use crate::storage::{Db, from_record, jobs, tournaments};

/// The tournament as every screen names it.
#[derive(Debug, Clone)]
pub struct House {
    /// Its name.
    pub name: String,
    /// The venue's time zone.
    pub zone: Tz,
    /// Where players collect their rackets, where that is set.
    pub collect_at: Option<String>,
    /// How many snags wait for a decision.
    pub open_snags: usize,
    /// The newest entry of the log: what a screen shows is at least as new.
    pub sequence: i64,
}

/// The tournament as every screen names it.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn house(db: &mut Db, tournament: &str) -> DeskResult<House> {
    let row = tournaments::find(db, tournament)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let settings: TournamentSettings = from_record(&row.record)?;
    Ok(House {
        collect_at: settings.collect_at,
        sequence: row.sequence,
        name: row.name,
        zone: row.time_zone.parse().unwrap_or(Tz::UTC),
        open_snags: usize::try_from(waiting_decisions::count_open(db, tournament)?).unwrap_or(0),
    })
}

/// The only tournament of this desk, for screens without a sign-in; `None` where there are several.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn only_tournament(db: &mut Db) -> DeskResult<Option<String>> {
    let mut all = tournaments::all(db)?;
    Ok(if all.len() == 1 {
        all.pop().map(|row| row.id)
    } else {
        None
    })
}

/// An account.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn account(db: &mut Db, tournament: &str, id: &str) -> DeskResult<Account> {
    accounts::find(db, tournament, id)?.ok_or(DeskError::NotFound(Thing::Account))
}

/// Everybody who may sign in.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn all_accounts(db: &mut Db, tournament: &str) -> DeskResult<Vec<Account>> {
    Ok(accounts::all(db, tournament)?)
}

/// The sheets of all jobs in these states, by ready-by time.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn sheets_in(db: &mut Db, tournament: &str, states: &[&str]) -> DeskResult<Vec<JobSheet>> {
    let rows = jobs::in_states(db, tournament, states)?;
    JobSheet::for_jobs(db, tournament, rows)
}

/// Whether a racket was ever taken in or announced here.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn took_in_before(db: &mut Db, tournament: &str) -> DeskResult<bool> {
    Ok(!jobs::list(db, tournament, &jobs::JobFilter::default(), 1)?.is_empty())
}

/// The sheets of one player's jobs, by receipt.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn sheets_of_player(db: &mut Db, tournament: &str, player: &str) -> DeskResult<Vec<JobSheet>> {
    let filter = jobs::JobFilter {
        player_id: Some(player.to_owned()),
        ..jobs::JobFilter::default()
    };
    let rows = jobs::list(db, tournament, &filter, 200)?;
    JobSheet::for_jobs(db, tournament, rows)
}

/// The rackets of one drop-off, or the job alone.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn drop_off_of(db: &mut Db, tournament: &str, job_id: &str) -> DeskResult<Vec<JobSheet>> {
    let one = JobSheet::of(db, tournament, job_id)?;
    let Some(batch) = one.job.batch_id.clone() else {
        return Ok(vec![one]);
    };
    let filter = jobs::JobFilter {
        batch_id: Some(batch),
        ..jobs::JobFilter::default()
    };
    let rows = jobs::list(db, tournament, &filter, 100)?;
    JobSheet::for_jobs(db, tournament, rows)
}

/// All stations, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn stations(db: &mut Db, tournament: &str) -> DeskResult<Vec<Station>> {
    Ok(places::all(db, tournament)?)
}

/// All stringers, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn stringers(db: &mut Db, tournament: &str) -> DeskResult<Vec<Stringer>> {
    Ok(people::all(db, tournament)?)
}

/// All machines, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn machines(db: &mut Db, tournament: &str) -> DeskResult<Vec<Machine>> {
    Ok(machinery::all(db, tournament)?)
}

/// The facts of the machine at a station.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn machine_at(db: &mut Db, tournament: &str, station_id: &str) -> DeskResult<Option<MachineFacts>> {
    let Some(station) = places::find(db, tournament, station_id)? else {
        return Ok(None);
    };
    let machine = machinery::find(db, tournament, &station.machine_id)?;
    machine
        .map(|machine| Ok(from_record(&machine.record)?))
        .transpose()
}

/// All frame models with their facts, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn frames(db: &mut Db, tournament: &str) -> DeskResult<Vec<(Frame, FrameRecord)>> {
    models::all(db, tournament)?
        .into_iter()
        .map(|frame| {
            let record = from_record(&frame.record)?;
            Ok((frame, record))
        })
        .collect()
}

/// One frame model with its facts.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn frame(db: &mut Db, tournament: &str, id: &str) -> DeskResult<Option<(Frame, FrameRecord)>> {
    let Some(frame) = models::find(db, tournament, id)? else {
        return Ok(None);
    };
    let record = from_record(&frame.record)?;
    Ok(Some((frame, record)))
}

/// All strings on the list, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn strings(db: &mut Db, tournament: &str) -> DeskResult<Vec<StringProduct>> {
    Ok(stock::all(db, tournament)?)
}

/// The snags that wait for a decision, oldest first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn open_snags(db: &mut Db, tournament: &str) -> DeskResult<Vec<(Snag, SnagRecord, Option<JobSheet>)>> {
    let mut found = Vec::new();
    for snag in waiting_decisions::open(db, tournament)? {
        let record = from_record(&snag.record)?;
        let sheet = match &snag.job_id {
            Some(id) => Some(JobSheet::of(db, tournament, id)?),
            None => None,
        };
        found.push((snag, record, sheet));
    }
    Ok(found)
}

/// The slot on the shelf where a racket lies; `None` elsewhere.
#[must_use]
pub fn slot_of(sheet: &JobSheet) -> Option<String> {
    match sheet.racket.custody.parse() {
        Ok(Custody::Shelf(slot)) => Some(slot),
        _ => None,
    }
}
