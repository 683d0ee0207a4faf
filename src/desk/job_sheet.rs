//! A job with everything that a person at the desk needs to know of it.
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use chrono::{DateTime, Utc};

use crate::craft::frame::FrameRecord;
use crate::craft::spec::Spec;
use crate::desk::records::{JobRecord, PlayerRecord, RacketRecord};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::spare::Spare;
use crate::storage::jobs::{self, Job};
use crate::storage::players::{self, Player};
use crate::storage::rackets::{self, Racket, models};
use crate::storage::workshop::{people, places};
use crate::storage::{At, Db, from_record};

/// A job, its spec, and whose racket of which frame it is about.
#[derive(Debug, Clone)]
pub struct JobSheet {
    /// The row.
    pub job: Job,
    /// How the owner wants it.
    pub spec: Spec,
    /// The rest of the row.
    pub record: JobRecord,
    /// Whose racket.
    pub player: Player,
    /// More of the player.
    pub player_record: PlayerRecord,
    /// Which racket.
    pub racket: Racket,
    /// More of the racket.
    pub racket_record: RacketRecord,
    /// Its frame's id.
    pub frame_id: String,
    /// Its frame's facts.
    pub frame: Arc<FrameRecord>,
    /// The station's name, once it has one.
    pub station_name: Option<String>,
    /// The stringer's name, once it has one.
    pub stringer_name: Option<String>,
    /// Its margin, where it was asked for and the job has a place in the plan.
    pub spare: Option<Spare>,
}

impl JobSheet {
    /// The sheet of one job.
    ///
    /// # Errors
    /// [`DeskError::NotFound`] for a job that the tournament does not have.
    pub fn of(db: &mut Db, tournament: &str, job_id: &str) -> DeskResult<Self> {
        let job = jobs::find(db, tournament, job_id)?.ok_or(DeskError::NotFound(Thing::Job))?;
        Self::for_jobs(db, tournament, vec![job])?
            .pop()
            .ok_or(DeskError::NotFound(Thing::Job))
    }

    /// The sheets of many jobs, in the same order; a fixed number of queries however many.
    ///
    /// # Errors
    /// [`DeskError::Storage`].
    pub fn for_jobs(db: &mut Db, tournament: &str, jobs: Vec<Job>) -> DeskResult<Vec<Self>> {
        let players = by_id(players::with_ids(db, &ids(&jobs, |job| &job.player_id))?, |row| {
            row.id.clone()
        });
        let rackets = by_id(rackets::with_ids(db, &ids(&jobs, |job| &job.racket_id))?, |row| {
            row.id.clone()
        });
        let frame_ids: BTreeSet<String> = rackets.values().map(|racket| racket.frame_id.clone()).collect();
        let frames = models::with_ids(db, &frame_ids.into_iter().collect::<Vec<_>>())?;
        // what many rackets share is read once
        let mut facts: HashMap<String, Arc<FrameRecord>> = HashMap::new();
        for frame in frames {
            facts.insert(frame.id, Arc::new(from_record(&frame.record)?));
        }
        let stations = by_id(places::all(db, tournament)?, |row| row.id.clone());
        let stringers = by_id(people::all(db, tournament)?, |row| row.id.clone());
        let mut sheets = Vec::with_capacity(jobs.len());
        for job in jobs {
            let player = players
                .get(&job.player_id)
                .cloned()
                .ok_or(DeskError::NotFound(Thing::Player))?;
            let racket = rackets
                .get(&job.racket_id)
                .cloned()
                .ok_or(DeskError::NotFound(Thing::Racket))?;
            let frame = facts
                .get(&racket.frame_id)
                .cloned()
                .ok_or(DeskError::NotFound(Thing::Frame))?;
            let station = job.station_id.as_ref().and_then(|id| stations.get(id));
            let stringer = job.stringer_id.as_ref().and_then(|id| stringers.get(id));
            sheets.push(Self {
                spec: from_record(&job.spec)?,
                record: from_record(&job.record)?,
                player_record: from_record(&player.record)?,
                racket_record: from_record(&racket.record)?,
                frame_id: racket.frame_id.clone(),
                station_name: station.map(|station| station.name.clone()),
                stringer_name: stringer.map(|stringer| stringer.name.clone()),
                job,
                player,
                racket,
                frame,
                spare: None,
            });
        }
        Ok(sheets)
    }
}

impl JobSheet {
    /// Why the job is held at this moment; a hold until a time ends by itself.
    #[must_use]
    pub fn held(&self, now: DateTime<Utc>) -> Option<&str> {
        hold_that_lasts(self.job.held_reason.as_ref(), self.job.held_until, now)
    }
}

/// The reason of a hold, as long as it lasts.
#[must_use]
pub fn hold_that_lasts(reason: Option<&String>, until: Option<At>, now: DateTime<Utc>) -> Option<&str> {
    reason
        .filter(|_| until.is_none_or(|until| until.utc() > now))
        .map(String::as_str)
}

fn ids(jobs: &[Job], of: impl Fn(&Job) -> &String) -> Vec<String> {
    jobs.iter()
        .map(|job| of(job).clone())
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect()
}

fn by_id<T>(rows: Vec<T>, id: impl Fn(&T) -> String) -> HashMap<String, T> {
    rows.into_iter().map(|row| (id(&row), row)).collect()
}
