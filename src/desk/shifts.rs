//! Who is at work: stringers come on shift at a station and go off, stations open and close.
//!
//! What is on a machine is never taken away: it is finished or handed over there. What was only
//! assigned or pinned to a station that closes waits for any station again.
use serde_json::json;

use crate::craft::job::{JobAction, JobState, Move, Rule};
use crate::craft::roles::Role;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::room::Room;
use crate::desk::{Tx, moves, steer_job};
use crate::storage::workshop::people::{self, Stringer};
use crate::storage::workshop::places::{self, Station};

/// Who may open and close a station, and say who is at work.
pub const OPENERS: [Role; 2] = [Role::Coordinator, Role::Stringer];
/// Why an assigned job waits again.
const CLOSED: &str = "the station closed";

/// A station that gets no more jobs, and what became of its jobs.
#[derive(Debug, Clone)]
pub struct Closed {
    /// The station.
    pub station: Station,
    /// Jobs that wait for any station again.
    pub returned: Vec<String>,
    /// The job on its machine, which stays there.
    pub staying: Option<String>,
}

/// A stringer who has gone off, and what became of their jobs.
#[derive(Debug, Clone)]
pub struct OffShift {
    /// The stringer.
    pub stringer: Stringer,
    /// Jobs that wait for any station again.
    pub returned: Vec<String>,
    /// Jobs on their machines, which stay there.
    pub staying: Vec<String>,
}

/// Opens a station with a stringer, who comes on shift with it; whoever worked there before goes off.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn open_station(tx: &mut Tx<'_>, id: &str, stringer_id: &str) -> DeskResult<Station> {
    let mut station = station(tx, id)?;
    tx.caller.must_be(&OPENERS)?;
    let stringer = people::find(tx.db, tx.tournament(), stringer_id)?
        .ok_or_else(|| DeskError::member("/stringer_id", "unknown_reference", "No such stringer."))?;
    let before = station.stringer_id.replace(stringer_id.to_owned());
    if let Some(before) = before.filter(|before| before != stringer_id) {
        goes_off(tx, &before, id)?;
    }
    comes_on(tx, stringer, Some(id))?;
    station.open = true;
    places::save(tx.db, &mut station)?;
    tx.emit("station.opened", id, &json!({"stringer_id": stringer_id}))?;
    Ok(station)
}

/// Closes a station: it gets no more jobs.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn close_station(tx: &mut Tx<'_>, id: &str) -> DeskResult<Closed> {
    let mut station = station(tx, id)?;
    tx.caller.must_be(&OPENERS)?;
    let (returned, staying) = let_go(tx, id)?;
    station.open = false;
    if let Some(stringer_id) = station.stringer_id.take() {
        goes_off(tx, &stringer_id, id)?;
    }
    places::save(tx.db, &mut station)?;
    tx.emit(
        "station.closed",
        id,
        &json!({"returned_job_ids": returned, "staying_job_id": staying}),
    )?;
    Ok(Closed {
        station,
        returned,
        staying,
    })
}

/// A stringer comes on shift: at a station, which opens, or without one yet.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn stringer_on(tx: &mut Tx<'_>, id: &str, station_id: Option<&str>) -> DeskResult<Stringer> {
    let stringer = stringer(tx, id)?;
    tx.caller.must_be(&OPENERS)?;
    match station_id {
        Some(station_id) => {
            if places::find(tx.db, tx.tournament(), station_id)?.is_none() {
                return Err(DeskError::member(
                    "/station_id",
                    "unknown_reference",
                    "No such station.",
                ));
            }
            open_station(tx, station_id, id)?;
        }
        None => comes_on(tx, stringer, None)?,
    }
    self::stringer(tx, id)
}

/// A stringer goes off shift; every station they work at closes.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn stringer_off(tx: &mut Tx<'_>, id: &str) -> DeskResult<OffShift> {
    let mut off = OffShift {
        stringer: stringer(tx, id)?,
        returned: Vec::new(),
        staying: Vec::new(),
    };
    tx.caller.must_be(&OPENERS)?;
    let theirs = places::all(tx.db, tx.tournament())?;
    for station in theirs
        .iter()
        .filter(|station| station.stringer_id.as_deref() == Some(id))
    {
        let closed = close_station(tx, &station.id)?;
        off.returned.extend(closed.returned);
        off.staying.extend(closed.staying);
    }
    off.stringer = stringer(tx, id)?;
    if off.stringer.on_shift {
        off.stringer.on_shift = false;
        people::save(tx.db, &mut off.stringer)?;
        tx.emit("stringer.off", id, &json!({}))?;
    }
    Ok(off)
}

fn station(tx: &mut Tx<'_>, id: &str) -> DeskResult<Station> {
    places::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Station))
}

fn stringer(tx: &mut Tx<'_>, id: &str) -> DeskResult<Stringer> {
    people::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Stringer))
}

fn comes_on(tx: &mut Tx<'_>, mut stringer: Stringer, station_id: Option<&str>) -> DeskResult<()> {
    if stringer.on_shift {
        return Ok(());
    }
    stringer.on_shift = true;
    people::save(tx.db, &mut stringer)?;
    tx.emit("stringer.on", &stringer.id, &json!({"station_id": station_id}))
}

/// A stringer leaves a station; they are off shift unless another station is theirs too.
fn goes_off(tx: &mut Tx<'_>, stringer_id: &str, station_id: &str) -> DeskResult<()> {
    let elsewhere = places::all(tx.db, tx.tournament())?.iter().any(|other| {
        other.id != station_id && other.open && other.stringer_id.as_deref() == Some(stringer_id)
    });
    let Some(mut stringer) = people::find(tx.db, tx.tournament(), stringer_id)? else {
        return Ok(());
    };
    if elsewhere || !stringer.on_shift {
        return Ok(());
    }
    stringer.on_shift = false;
    people::save(tx.db, &mut stringer)?;
    tx.emit("stringer.off", stringer_id, &json!({"station_id": station_id}))
}

/// Lets go of what was not begun at a station; answers who waits again and who stays on the machine.
fn let_go(tx: &mut Tx<'_>, station_id: &str) -> DeskResult<(Vec<String>, Option<String>)> {
    let mut returned = Vec::new();
    let mut staying = None;
    for sheet in Room::now(tx.db, tx.tournament())?.sheets {
        let here = sheet.job.station_id.as_deref() == Some(station_id);
        let job_id = sheet.job.id.clone();
        if here && sheet.job.state == JobState::Assigned.as_str() {
            steer_job::unassign_job(tx, &job_id, CLOSED)?;
            returned.push(job_id);
        } else if here && sheet.job.state == JobState::OnMachine.as_str() {
            staying = Some(job_id);
        } else if sheet.job.pinned_station_id.as_deref() == Some(station_id) {
            unpin(tx, sheet)?;
            returned.push(job_id);
        }
    }
    Ok((returned, staying))
}

/// A job that waited for this station alone waits for any.
fn unpin(tx: &mut Tx<'_>, mut sheet: JobSheet) -> DeskResult<()> {
    sheet.job.pinned_station_id = None;
    let step = Move {
        rule: Rule::of(JobAction::Unassign),
        to: vec![JobState::Waiting],
    };
    moves::note(
        tx,
        &mut sheet,
        &step,
        json!({"reason": CLOSED, "pinned_station_id": null}),
    )
}
