//! What waits and who works, as the dispatcher's problem of this moment.
use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};

use crate::craft::choose_next::plain_key;
use crate::craft::dispatch::problem::{
    Attributes, Clamp, Hold, Job, Player, Prices, Problem, SetUp, Station,
};
use crate::craft::dispatch::solver::TAKEN_BY_ARRIVALS;
use crate::craft::job::RushLevel;
use crate::craft::normal::Z90;
use crate::desk::hours::Hours;
use crate::desk::job_sheet::JobSheet;
use crate::desk::no_place::{NoPlace, Unplanned};
use crate::desk::promise::job_time;
use crate::desk::records::Purpose;
use crate::desk::refusal::DeskResult;
use crate::desk::room::Room;
use crate::desk::station_facts::StationFacts;
use crate::storage::workshop::places;
use crate::storage::{Db, jobs, work};

/// From strung to ready: check, bag, shelf. Common practice, no source.
pub const CHECK_S: i64 = 240;
/// Stringing where no plan told a time. Common practice, no source.
const USUAL_S: i64 = 1500;
/// Spread of stringing about its expected time. Common practice, no source.
const VARIATION: f64 = 0.12;
/// How far a plan reaches.
pub(super) const REACH_S: i64 = 7 * 24 * 3600;
/// Due within so many seconds counts as today's.
const TODAY_S: i64 = 14 * 3600;
/// What a station began longer ago is off it again: cleaned, or lent to somebody. Own choice, no source.
const STILL_ON_S: i64 = 4 * 3600;

/// The problem, and which rows its indices stand for.
#[derive(Debug, Clone)]
pub struct WaitingWork {
    /// The problem; its second 0 is `now`.
    pub problem: Problem,
    /// When second 0 is.
    pub now: DateTime<Utc>,
    /// The jobs in the problem.
    pub sheets: Vec<JobSheet>,
    /// The stations in the problem.
    pub stations: Vec<places::Station>,
    /// The spread of what each station has begun, in seconds.
    pub present_spread_s: Vec<f64>,
    /// The drop-off of what each station has begun, or strung last: its next rackets follow back to back.
    pub drop_offs_there: Vec<Option<String>>,
    /// Jobs that cannot be planned.
    pub unplanned: Vec<Unplanned>,
}

/// Reads what waits and the stations at work.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn waiting_work(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<WaitingWork> {
    let room = Room::now(db, tournament)?;
    work_in(db, tournament, room, now)
}

/// The work of a room, be it as it is or as it would be, at the stations that are open or will be by their shifts.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn work_in(db: &mut Db, tournament: &str, room: Room, now: DateTime<Utc>) -> DeskResult<WaitingWork> {
    let (begun, waiting): (Vec<_>, Vec<_>) = room
        .sheets
        .into_iter()
        .partition(|sheet| sheet.job.state != "waiting");
    let hours = Hours::about(db, tournament, now)?;
    let facts = StationFacts::read(db, tournament)?;
    let mut kinds = Kinds::default();
    let (mut at_work, mut stations, mut present_spread_s) = (Vec::new(), Vec::new(), Vec::new());
    let (mut strung, mut drop_offs_there) = (Vec::new(), Vec::new());
    for mut station in room.stations {
        let present = begun
            .iter()
            .find(|sheet| sheet.job.station_id.as_ref() == Some(&station.id));
        let Some(working) = hours.at(&station, now) else {
            continue;
        };
        station.stringer_id = working.stringer_id.clone();
        let last = match present {
            Some(_) => None,
            None => strung_last(db, &station, now)?,
        };
        let there = (present, last.as_ref());
        let now_there = facts.station(at_work.len(), &station, there, now, &mut kinds);
        drop_offs_there.push(
            present
                .or(last.as_ref())
                .and_then(|sheet| sheet.job.batch_id.clone()),
        );
        let free_s = now_there.windows.first().map_or(0, |window| window.from);
        stations.push(Station {
            windows: working.windows(free_s, REACH_S),
            ..now_there
        });
        present_spread_s.push(present.map_or(0.0, spread_s));
        strung.extend(last);
        at_work.push(station);
    }
    // a player is at home where a racket of theirs is now, or was a moment ago
    let begun: Vec<_> = begun.into_iter().chain(strung).collect();
    let mut work = WaitingWork {
        problem: without_jobs(stations),
        now,
        sheets: Vec::new(),
        stations: at_work,
        present_spread_s,
        drop_offs_there,
        unplanned: Vec::new(),
    };
    for sheet in waiting {
        work.add(sheet, &begun, &mut kinds);
    }
    work.put_first();
    Ok(work)
}

fn without_jobs(stations: Vec<Station>) -> Problem {
    Problem {
        name: String::new(),
        t0: 0,
        horizon: REACH_S,
        taken_by_arrivals: TAKEN_BY_ARRIVALS,
        prices: Prices::default(),
        set_up: SetUp::default(),
        stations,
        players: Vec::new(),
        jobs: Vec::new(),
    }
}

/// The job that a station began last, where that is not long ago.
fn strung_last(db: &mut Db, station: &places::Station, now: DateTime<Utc>) -> DeskResult<Option<JobSheet>> {
    let tournament = &station.tournament_id;
    let Some((job, begun_at)) = work::begun_last_at(db, tournament, &station.id)? else {
        return Ok(None);
    };
    if now.signed_duration_since(begun_at.utc()).num_seconds() > STILL_ON_S {
        return Ok(None);
    }
    let rows = jobs::with_ids(db, tournament, &[job])?;
    let mut sheets = JobSheet::for_jobs(db, tournament, rows)?;
    Ok(sheets.pop().map(|mut sheet| {
        // a job that failed its check is at no station any more
        sheet.job.station_id = Some(station.id.clone());
        sheet
    }))
}

/// Numbers that are equal where nothing has to be changed on a machine.
#[derive(Debug, Default)]
pub(super) struct Kinds(BTreeMap<String, i64>);

impl Kinds {
    fn number(&mut self, kind: &str, of: &str) -> i64 {
        let next = i64::try_from(self.0.len()).unwrap_or(i64::MAX);
        *self.0.entry(format!("{kind} {of}")).or_insert(next)
    }

    pub(super) fn needs(&mut self, sheet: &JobSheet) -> Attributes {
        let (mains, crosses) = (&sheet.spec.mains, &sheet.spec.crosses);
        Attributes {
            main: self.number("string", &format!("{:?}", mains.string)),
            cross: self.number("string", &format!("{:?}", crosses.string)),
            pattern: self.number("frame", &sheet.frame_id),
            mount: self.number("mount", &format!("{:?}", sheet.frame.sport)),
            tension: self.number("tension", &format!("{:?} {:?}", mains.tension, crosses.tension)),
        }
    }
}

/// The spread of a job's stringing, in seconds.
pub(super) fn spread_s(sheet: &JobSheet) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    let usual = VARIATION * base_s(sheet) as f64;
    let estimate = sheet.record.estimate.filter(|estimate| estimate.p50_s > 0);
    estimate.map_or(usual, |estimate| job_time(estimate).spread_s.get())
}

pub(super) fn base_s(sheet: &JobSheet) -> i64 {
    let estimate = sheet.record.estimate.map(|estimate| i64::from(estimate.p50_s));
    estimate.filter(|seconds| *seconds > 0).unwrap_or(USUAL_S)
}

impl WaitingWork {
    fn add(&mut self, sheet: JobSheet, begun: &[JobSheet], kinds: &mut Kinds) {
        let station_of = |found: &dyn Fn(&places::Station) -> bool| self.stations.iter().position(found);
        let held = sheet.held(self.now).is_some();
        let wants = sheet.record.wants_stringer_id.clone();
        let pinned = match (&sheet.job.pinned_station_id, &wants) {
            (Some(id), _) => Some(station_of(&|station| &station.id == id)),
            (None, Some(_)) => Some(station_of(&|station| station.stringer_id == wants)),
            (None, None) => None,
        };
        let why = if held {
            NoPlace::Held
        } else if self.stations.is_empty() {
            NoPlace::NoneOpen
        } else if let Err(why) = self.may_go(&sheet, pinned) {
            why
        } else {
            let job = self.job(&sheet, begun, kinds, pinned.flatten());
            self.problem.jobs.push(job);
            self.sheets.push(sheet);
            return;
        };
        self.unplanned.push(Unplanned {
            job_id: sheet.job.id,
            why,
        });
    }

    /// Whether an open station may do it: the one it is meant for, or any; else what keeps it from the last one.
    fn may_go(&self, sheet: &JobSheet, pinned: Option<Option<usize>>) -> Result<(), NoPlace> {
        let meant: Vec<usize> = match pinned {
            Some(None) => return Err(NoPlace::NotAtWork),
            Some(Some(at)) => vec![at],
            None => (0..self.stations.len()).collect(),
        };
        let swivel = sheet.record.needs_swivel;
        let able = |index: &usize| !swivel || self.problem.stations[*index].clamp == Clamp::Swivel;
        let able: Vec<usize> = meant.into_iter().filter(able).collect();
        if able.is_empty() {
            return Err(NoPlace::NoClamps);
        }
        let barred = self.barred(sheet);
        if able.iter().all(|index| barred.contains(index)) {
            return Err(NoPlace::Refused);
        }
        Ok(())
    }

    /// Stations whose stringer has refused the job there.
    fn barred(&self, sheet: &JobSheet) -> Vec<usize> {
        let places = self.stations.iter().enumerate();
        places
            .filter(|(_, station)| {
                sheet
                    .record
                    .refused_at(&station.id, station.stringer_id.as_deref())
            })
            .map(|(index, _)| index)
            .collect()
    }

    fn job(&mut self, sheet: &JobSheet, begun: &[JobSheet], kinds: &mut Kinds, pinned: Option<usize>) -> Job {
        let seconds = |at: DateTime<Utc>| at.signed_duration_since(self.now).num_seconds();
        let base = base_s(sheet);
        let due = due(sheet, self.now);
        let release = sheet.record.not_before_at.map_or(0, seconds).max(0);
        #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
        let spread_s = VARIATION * base as f64 * std::f64::consts::SQRT_2;
        Job {
            id: i64::try_from(self.sheets.len()).unwrap_or(i64::MAX),
            player: self.player(sheet, begun),
            class: String::new(),
            release,
            due,
            promised: self.promised(sheet),
            weight: weight(sheet, due),
            base,
            swivel: sheet.record.needs_swivel,
            needs: kinds.needs(sheet),
            spread_s,
            pinned,
            barred: self.barred(sheet),
        }
    }

    /// The second by which it is strung where what its player was told holds nine times in ten: for its own work
    /// alone, as what comes before it is not known yet.
    fn promised(&self, sheet: &JobSheet) -> Option<i64> {
        let told = sheet
            .job
            .promised_at?
            .utc()
            .signed_duration_since(self.now)
            .num_seconds();
        #[expect(clippy::cast_possible_truncation, reason = "seconds of a day")]
        let margin_s = (Z90 * spread_s(sheet)).ceil() as i64;
        Some(told - CHECK_S - margin_s)
    }

    /// What a coordinator put at a station and may be begun is first there, in the order of the next pulls.
    fn put_first(&mut self) {
        let mut pinned: Vec<usize> = (0..self.sheets.len())
            .filter(|job| {
                self.sheets[*job].job.pinned_station_id.is_some() && self.problem.jobs[*job].release == 0
            })
            .collect();
        pinned.sort_by_key(|job| {
            let row = &self.sheets[*job].job;
            plain_key(
                row.rush.as_ref().and_then(|rush| rush.parse().ok()),
                Some(row.due_at.utc()),
                (row.received_at.utc(), row.batch_place),
                &row.code,
                &row.id,
            )
        });
        for job in pinned {
            if let Some(station) = self.problem.jobs[job].pinned {
                self.problem.stations[station].first.push(job);
            }
        }
    }

    /// The job's player, at home with their station, their stringer's, or where a racket of theirs is now.
    fn player(&mut self, sheet: &JobSheet, begun: &[JobSheet]) -> usize {
        let known = self
            .sheets
            .iter()
            .position(|other| other.job.player_id == sheet.job.player_id);
        if let Some(other) = known {
            return self.problem.jobs[other].player;
        }
        let record = &sheet.player_record;
        let stringer = record.regular_stringer_id.as_ref();
        let present = begun
            .iter()
            .find(|other| other.job.player_id == sheet.job.player_id)
            .and_then(|other| other.job.station_id.as_ref());
        let home = self.stations.iter().position(|station| {
            record.regular_station_id.as_ref() == Some(&station.id)
                || (stringer.is_some() && station.stringer_id.as_ref() == stringer)
        });
        let home = home.or_else(|| {
            self.stations
                .iter()
                .position(|station| present == Some(&station.id))
        });
        self.problem.players.push(Player {
            id: i64::try_from(self.problem.players.len()).unwrap_or(i64::MAX),
            home,
            hold: Hold::Soft,
        });
        self.problem.players.len() - 1
    }

    /// The time of a second of the problem.
    #[must_use]
    pub fn at(&self, second: i64) -> DateTime<Utc> {
        self.now + TimeDelta::seconds(second)
    }
}

/// The second by which it should be strung; what is rushed should be strung by now.
fn due(sheet: &JobSheet, now: DateTime<Utc>) -> i64 {
    let due = sheet.job.due_at.utc().signed_duration_since(now).num_seconds() - CHECK_S;
    if sheet.job.rush.is_some() { due.min(0) } else { due }
}

/// How much a second late weighs. Common practice, no source.
fn weight(sheet: &JobSheet, due: i64) -> i64 {
    let rush = sheet.job.rush.as_ref().and_then(|rush| rush.parse().ok());
    match (rush, sheet.record.purpose) {
        (Some(RushLevel::Court), _) => 60,
        (Some(RushLevel::Rush), _) => 30,
        (None, Some(Purpose::Practice)) => 2,
        (None, _) if due <= TODAY_S => 12,
        (None, _) => 4,
    }
}
