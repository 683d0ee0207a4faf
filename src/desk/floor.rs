//! The floor: every station with what it has and what the plan gives it, and the jobs that have no place.
use std::collections::{BTreeMap, HashMap};

use chrono::{DateTime, TimeDelta, Utc};

use crate::desk::CourtMemory;
use crate::desk::court_times::board;
use crate::desk::court_times::next_match::{Outlook, Readiness};
use crate::desk::job_sheet::JobSheet;
use crate::desk::publish_shifts;
use crate::desk::records::BenchRefusal;
use crate::desk::refusal::DeskResult;
use crate::desk::room::Room;
use crate::desk::schedule::{PlannedJob, UnplannedJob, of_this_moment};
use crate::desk::spare::note_spare_by;
use crate::desk::stopped_play::{StoppedPlay, stopped_play};
use crate::storage::Db;
use crate::storage::workshop::people::{self, Stringer};
use crate::storage::workshop::places::Station;

/// Why a job that has just come is in no plan.
const NOT_YET: &str = "The next plan has it.";
/// A job that should have been strung by now ends this much later, again and again.
const ANY_MOMENT: TimeDelta = TimeDelta::minutes(1);

/// What a station has now.
#[derive(Debug, Clone)]
pub struct Present {
    /// The job.
    pub sheet: JobSheet,
    /// Since when it has been there.
    pub from: DateTime<Utc>,
    /// When it will probably be strung.
    pub until: DateTime<Utc>,
}

/// A station and its jobs, in order.
#[derive(Debug, Clone)]
pub struct Lane {
    /// The station.
    pub station: Station,
    /// Who works there.
    pub stringer: Option<String>,
    /// The job that it has.
    pub present: Option<Present>,
    /// The jobs that the plan gives it.
    pub to_come: Vec<(PlannedJob, JobSheet)>,
}

/// A job that somebody refused and that still waits.
#[derive(Debug, Clone)]
pub struct Refused {
    /// The job.
    pub job_id: String,
    /// Its tag code.
    pub code: String,
    /// Where.
    pub station: String,
    /// Who, if somebody was named there.
    pub stringer: Option<String>,
    /// Why and when.
    pub refusal: BenchRefusal,
}

/// The whole floor.
#[derive(Debug, Clone)]
pub struct Floor {
    /// When its plan was made.
    pub made_at: DateTime<Utc>,
    /// All stations, by name.
    pub lanes: Vec<Lane>,
    /// Jobs without a place, and why.
    pub aside: Vec<(JobSheet, String)>,
    /// All stringers, by name.
    pub stringers: Vec<Stringer>,
    /// What was refused at a bench and still waits, the newest first.
    pub refused: Vec<Refused>,
    /// The match each job is for, where it follows one.
    pub matches: BTreeMap<String, Readiness>,
    /// Stops of play that last.
    pub stops: Vec<StoppedPlay>,
    /// Who works at which station today, as published: station, who, from, to.
    pub shifts: Vec<[String; 4]>,
}

/// Reads the floor.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn floor(db: &mut Db, tournament: &str, now: DateTime<Utc>, memory: &CourtMemory) -> DeskResult<Floor> {
    let mut room = Room::now(db, tournament)?;
    let stringers = people::all(db, tournament)?;
    let (plan, made_at) = of_this_moment(db, tournament, now, &room)?;
    note_spare_by(&plan, now, &mut room.sheets)?;
    let stops = stopped_play(db, tournament, now, &room.sheets, memory)?;
    let shifts = shifts(db, tournament, now, &room.stations, &stringers)?;
    let matches = matches(db, tournament, now, &room, memory)?;
    let refused = refused(&room, &stringers);
    let (mut waiting, begun): (Vec<_>, Vec<_>) = room
        .sheets
        .into_iter()
        .partition(|sheet| sheet.job.state == "waiting");
    let mut lanes = Vec::new();
    for station in room.stations {
        let stringer = stringers
            .iter()
            .find(|one| Some(&one.id) == station.stringer_id.as_ref());
        let present = begun
            .iter()
            .find(|sheet| sheet.job.station_id.as_ref() == Some(&station.id));
        let planned = plan.lanes.iter().filter(|lane| lane.station_id == station.id);
        let mut to_come = Vec::new();
        for job in planned.flat_map(|lane| &lane.jobs) {
            // what has been taken, held or closed since the plan was made is not shown as to come
            let place = waiting
                .iter()
                .position(|sheet| sheet.job.id == job.job_id && sheet.held(now).is_none() && station.open);
            if let Some(place) = place {
                to_come.push((job.clone(), waiting.remove(place)));
            }
        }
        lanes.push(Lane {
            stringer: stringer.map(|one| one.name.clone()),
            present: present.map(|sheet| present_of(sheet, now)),
            station,
            to_come,
        });
    }
    Ok(Floor {
        made_at,
        lanes,
        aside: aside(waiting, plan.unplanned, now),
        stringers,
        refused,
        matches,
        stops,
        shifts,
    })
}

/// The shifts of today that were published, in words.
fn shifts(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    stations: &[Station],
    stringers: &[Stringer],
) -> DeskResult<Vec<[String; 4]>> {
    let today = now.with_timezone(&board::zone(db, tournament)?).date_naive();
    let Some(published) = publish_shifts::of_day(db, tournament, &today.to_string())? else {
        return Ok(Vec::new());
    };
    let told = published.shifts.into_iter().map(|shift| {
        let station = stations.iter().find(|one| one.id == shift.station_id);
        let who = stringers
            .iter()
            .find(|one| Some(&one.id) == shift.stringer_id.as_ref());
        [
            station.map_or_else(String::new, |one| one.name.clone()),
            who.map_or_else(|| "nobody named yet".to_owned(), |one| one.name.clone()),
            shift.from,
            shift.to,
        ]
    });
    Ok(told.collect())
}

/// The jobs without a place, with why.
fn aside(
    waiting: Vec<JobSheet>,
    unplanned: Vec<UnplannedJob>,
    now: DateTime<Utc>,
) -> Vec<(JobSheet, String)> {
    let why: HashMap<String, String> = unplanned.into_iter().map(|one| (one.job_id, one.why)).collect();
    let told = waiting.into_iter().map(|sheet| {
        let held = sheet.held(now);
        let reason = held.map(|reason| format!("It is held: {}.", reason.replace('_', " ")));
        let why = reason.or_else(|| why.get(&sheet.job.id).cloned());
        (sheet, why.unwrap_or_else(|| NOT_YET.to_owned()))
    });
    told.collect()
}

/// What was refused and still waits, the newest first.
fn refused(room: &Room, stringers: &[Stringer]) -> Vec<Refused> {
    let station = |id: &str| room.stations.iter().find(|one| one.id == id);
    let stringer = |id: &str| stringers.iter().find(|one| one.id == id);
    let waiting = room.sheets.iter().filter(|sheet| sheet.job.state == "waiting");
    let mut refused: Vec<Refused> = waiting
        .flat_map(|sheet| {
            sheet.record.refusals.iter().map(|refusal| Refused {
                job_id: sheet.job.id.clone(),
                code: sheet.job.code.clone(),
                station: station(&refusal.station_id).map_or_else(String::new, |one| one.name.clone()),
                stringer: refusal
                    .stringer_id
                    .as_deref()
                    .and_then(stringer)
                    .map(|one| one.name.clone()),
                refusal: refusal.clone(),
            })
        })
        .collect();
    refused.sort_by_key(|one| std::cmp::Reverse(one.refusal.at));
    refused
}

fn present_of(sheet: &JobSheet, now: DateTime<Utc>) -> Present {
    let from = sheet.job.state_since.utc();
    let work = sheet
        .record
        .estimate
        .map_or(i64::from(sheet.job.work_p90_s), |it| i64::from(it.p50_s));
    let begins = if sheet.job.state == "on_machine" {
        from
    } else {
        now
    };
    Present {
        sheet: sheet.clone(),
        from,
        until: (begins + TimeDelta::seconds(work)).max(now + ANY_MOMENT),
    }
}

fn matches(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    room: &Room,
    memory: &CourtMemory,
) -> DeskResult<BTreeMap<String, Readiness>> {
    let outlook = Outlook::now(db, tournament, now, memory)?;
    let found = room.sheets.iter().filter_map(|sheet| {
        let ready = outlook.of_job(&sheet.job, &sheet.record)?;
        Some((sheet.job.id.clone(), ready))
    });
    Ok(found.collect())
}
