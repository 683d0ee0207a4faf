//! The shifts of a day: who works at which station from when to when, published by a coordinator.
//!
//! They tell people, the forecast of that day, and the plan when it may count on a station
//! ([`hours`](super::hours)). A station opens when its stringer comes on ([`shifts`](super::shifts)),
//! whatever was published.
use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::match_times::venue_time::DayTime;
use crate::craft::roles::Role;
use crate::desk::Tx;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault};
use crate::storage::day_shifts::{self, DayShifts};
use crate::storage::workshop::{people, places};
use crate::storage::{Db, from_record, to_record};

/// Who publishes shifts.
pub const PUBLISHERS: [Role; 1] = [Role::Coordinator];
/// More shifts than any day has.
const MOST: usize = 200;

/// One stretch of work at a station.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Shift {
    /// The station.
    pub station_id: String,
    /// Who works there; nobody named yet without one.
    #[serde(default)]
    pub stringer_id: Option<String>,
    /// From when, venue time, `hh:mm`; past midnight the day goes on to 29:59.
    #[schema(example = "07:30")]
    pub from: String,
    /// Until when.
    #[schema(example = "15:30")]
    pub to: String,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Record {
    shifts: Vec<Shift>,
}

/// The shifts of a day as they stand.
#[derive(Debug, Clone)]
pub struct Published {
    /// The stored row.
    pub row: DayShifts,
    /// In the order in which they were published.
    pub shifts: Vec<Shift>,
}

impl Published {
    /// At how many stations somebody works that day.
    #[must_use]
    pub fn stations(&self) -> usize {
        let stations: BTreeSet<&str> = self.shifts.iter().map(|one| one.station_id.as_str()).collect();
        stations.len()
    }
}

/// The shifts of a day, if they were published.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn of_day(db: &mut Db, tournament: &str, day: &str) -> DeskResult<Option<Published>> {
    let Some(row) = day_shifts::find(db, tournament, day)? else {
        return Ok(None);
    };
    let record: Record = from_record(&row.record)?;
    Ok(Some(Published {
        row,
        shifts: record.shifts,
    }))
}

/// Publishes the shifts of a day in the place of those before; no shifts take them all back.
///
/// `read` is the version that the caller has seen, 0 where there was none.
///
/// # Errors
/// [`DeskError::NotAllowed`]; [`DeskError::Stale`] where somebody published since; [`DeskError::Invalid`]
/// with every fault.
pub fn publish_shifts(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    shifts: Vec<Shift>,
    read: i64,
) -> DeskResult<Published> {
    tx.caller.must_be(&PUBLISHERS)?;
    let (tournament, day) = (tx.tournament().to_owned(), day.to_string());
    let standing = day_shifts::find(tx.db, &tournament, &day)?.map_or(0, |row| row.version);
    if standing != read {
        return Err(DeskError::Stale { current: standing });
    }
    let faults = faults(tx.db, &tournament, &shifts)?;
    if !faults.is_empty() {
        return Err(DeskError::Invalid(faults));
    }
    let row = DayShifts {
        tournament_id: tournament.clone(),
        day: day.clone(),
        version: standing + 1,
        published_at: tx.at(),
        record: to_record(&Record {
            shifts: shifts.clone(),
        })?,
    };
    day_shifts::keep(tx.db, &row)?;
    let published = Published { row, shifts };
    let data = json!({"day": day, "stations": published.stations(), "shifts": published.shifts.len()});
    tx.emit("day.shifts_published", &tournament, &data)?;
    Ok(published)
}

/// A shift whose times can be read.
struct Timed<'a> {
    place: usize,
    shift: &'a Shift,
    from: DayTime,
    to: DayTime,
}

/// Everything that is wrong with these shifts.
fn faults(db: &mut Db, tournament: &str, shifts: &[Shift]) -> DeskResult<Vec<MemberFault>> {
    if shifts.len() > MOST {
        let detail = format!("A day has at most {MOST} shifts.");
        return Ok(vec![MemberFault::at("/shifts", "out_of_range", detail)]);
    }
    let stations: BTreeMap<String, String> = places::all(db, tournament)?
        .into_iter()
        .map(|one| (one.id, one.name))
        .collect();
    let stringers: BTreeMap<String, String> = people::all(db, tournament)?
        .into_iter()
        .map(|one| (one.id, one.name))
        .collect();
    let mut faults = Vec::new();
    let mut timed: Vec<Timed<'_>> = Vec::new();
    for (place, shift) in shifts.iter().enumerate() {
        let mut fault = |member: &str, code, detail: &str| {
            faults.push(MemberFault::at(format!("/shifts/{place}/{member}"), code, detail));
        };
        if !stations.contains_key(&shift.station_id) {
            fault("station_id", "unknown_reference", "No such station.");
        }
        if shift
            .stringer_id
            .as_ref()
            .is_some_and(|id| !stringers.contains_key(id))
        {
            fault("stringer_id", "unknown_reference", "No such stringer.");
        }
        let mut time = |member: &str, text: &str| -> Option<DayTime> {
            let read = text.parse().ok();
            if read.is_none() {
                fault(member, "invalid_value", "Write the time as hh:mm.");
            }
            read
        };
        let (from, to) = (time("from", &shift.from), time("to", &shift.to));
        let (Some(from), Some(to)) = (from, to) else {
            continue;
        };
        if to <= from {
            fault("to", "out_of_range", "The shift ends before it begins.");
            continue;
        }
        timed.push(Timed {
            place,
            shift,
            from,
            to,
        });
    }
    overlaps(&timed, (&stations, &stringers), &mut faults);
    Ok(faults)
}

/// Nobody is at two stations at once, and a station has one stringer at a time.
fn overlaps(
    timed: &[Timed<'_>],
    (stations, stringers): (&BTreeMap<String, String>, &BTreeMap<String, String>),
    faults: &mut Vec<MemberFault>,
) {
    let name = |names: &BTreeMap<String, String>, id: &str| names.get(id).cloned().unwrap_or_default();
    for (at, one) in timed.iter().enumerate() {
        for other in &timed[..at] {
            if one.from >= other.to || other.from >= one.to {
                continue;
            }
            let mut fault = |member: &str, detail: &str| {
                let pointer = format!("/shifts/{}/{member}", one.place);
                faults.push(MemberFault::at(pointer, "overlap", detail));
            };
            if one.shift.station_id == other.shift.station_id {
                fault("station_id", "The station has another shift at that time.");
            } else if let Some(stringer) = &one.shift.stringer_id
                && one.shift.stringer_id == other.shift.stringer_id
            {
                let who = name(stringers, stringer);
                let place = name(stations, &other.shift.station_id);
                fault("stringer_id", &format!("{who} works at {place} at that time."));
            }
        }
    }
}

/// The shifts to publish for so many stations: those that stand, else the usual ones, from `opens` to `closes`.
///
/// Stations with a shift or a stringer come first; who is named at no station yet fills up. The flag tells
/// whether the shift is meant to be published.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn proposed(
    db: &mut Db,
    tournament: &str,
    standing: Option<&Published>,
    count: usize,
    hours: (DayTime, DayTime),
) -> DeskResult<Vec<(Shift, bool)>> {
    let known: &[Shift] = standing.map_or(&[], |published| &published.shifts);
    let mut proposed: Vec<Shift> = known.to_vec();
    let stations = places::all(db, tournament)?;
    let (busy, idle): (Vec<_>, Vec<_>) = stations.into_iter().partition(|one| one.stringer_id.is_some());
    for station in busy.into_iter().chain(idle) {
        if known.iter().all(|shift| shift.station_id != station.id) {
            proposed.push(Shift {
                station_id: station.id,
                stringer_id: station.stringer_id,
                from: hours.0.to_string(),
                to: hours.1.to_string(),
            });
        }
    }
    let mut named: BTreeSet<String> = BTreeSet::new();
    for shift in &mut proposed {
        // who has two stations is proposed for the first
        shift.stringer_id = shift.stringer_id.take().filter(|id| {
            named.insert(id.clone()) || known.iter().any(|known| known.stringer_id.as_ref() == Some(id))
        });
    }
    let stringers = people::all(db, tournament)?;
    let mut free = stringers.into_iter().filter(|one| !named.contains(&one.id));
    let mut working: BTreeSet<String> = BTreeSet::new();
    let mut told = Vec::new();
    for mut shift in proposed {
        let works = working.contains(&shift.station_id) || working.len() < count;
        if works {
            working.insert(shift.station_id.clone());
            shift.stringer_id = shift.stringer_id.or_else(|| free.next().map(|one| one.id));
        }
        told.push((shift, works));
    }
    Ok(told)
}
