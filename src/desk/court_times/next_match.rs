//! Which match a racket must be ready for, and how likely it will not be.
use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use crate::craft::match_times::day_sheet::Band;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::match_times::distribution::Distribution;
use crate::craft::match_times::ready_by::{Demand, Risk};
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::CourtMemory;
use crate::desk::completion::completions;
use crate::desk::court_times::board::{DayBoard, boards, player_names};
use crate::desk::records::JobRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::schedule::{WorkPlan, kept};
use crate::storage::jobs::{self, Job};
use crate::storage::workshop::places;
use crate::storage::{Db, from_record};

/// States in which a job's ready-by still matters.
pub const OPEN: [&str; 5] = ["expected", "waiting", "assigned", "on_machine", "checking"];

/// One racket and the match it is for.
#[derive(Debug, Clone)]
pub struct Readiness {
    /// The job.
    pub job_id: String,
    /// The day of play.
    pub day: String,
    /// The match.
    pub match_id: String,
    /// The court.
    pub court: String,
    /// How likely its player plays it.
    pub chance_to_play: f64,
    /// When its players walk on.
    pub walk_on: Band,
    /// By when the racket must be ready.
    pub ready_by: DateTime<Utc>,
    /// When stringing will be done in half of all cases.
    pub done_p50: DateTime<Utc>,
    /// The odds.
    pub risk: Risk,
    /// The matches that must be over before, the nearest first.
    pub chain: Vec<String>,
}

/// Boards with who plays which match.
pub struct Outlook {
    /// The boards, by day.
    pub boards: Vec<DayBoard>,
    chances: Vec<Vec<BTreeMap<String, f64>>>,
    /// The rows of each board in the order in which their players are expected to walk on.
    in_order: Vec<Vec<usize>>,
    done: BTreeMap<String, Distribution>,
}

impl Outlook {
    /// All that is known now.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn now(db: &mut Db, tournament: &str, now: DateTime<Utc>, memory: &CourtMemory) -> DeskResult<Self> {
        let boards = boards(db, tournament, now, memory)?;
        Self::of(db, tournament, now, boards)
    }

    /// All that is known now, with these boards.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn of(db: &mut Db, tournament: &str, now: DateTime<Utc>, boards: Vec<DayBoard>) -> DeskResult<Self> {
        let plan = kept(db, tournament)?.map(|(plan, _)| plan);
        Self::by_plan(db, tournament, now, boards, plan.as_ref())
    }

    /// All that is known now, with these boards and this plan of the work.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn by_plan(
        db: &mut Db,
        tournament: &str,
        now: DateTime<Utc>,
        boards: Vec<DayBoard>,
        plan: Option<&WorkPlan>,
    ) -> DeskResult<Self> {
        let names = if boards.is_empty() {
            BTreeMap::new()
        } else {
            player_names(db, tournament)?
        };
        let chances = boards.iter().map(|board| board.chances(&names)).collect();
        let done = if boards.is_empty() {
            BTreeMap::new()
        } else {
            let rows = jobs::in_states(db, tournament, &OPEN)?;
            let stations = places::all(db, tournament)?;
            let open = stations.iter().filter(|station| station.open).count();
            let done = completions(&rows, plan, open, now)?;
            done.into_iter()
                .map(|(id, done)| (id, done.distribution(now)))
                .collect()
        };
        Ok(Self {
            in_order: boards.iter().map(in_order).collect(),
            boards,
            chances,
            done,
        })
    }

    /// The match for which a job must be ready; none for a plain time, or where nothing is known.
    #[must_use]
    pub fn of_job(&self, job: &Job, record: &JobRecord) -> Option<Readiness> {
        if !record.follows_match && record.match_id.is_none() {
            return None;
        }
        let named = record.match_id.as_deref();
        for ((board, chances), in_order) in self.boards.iter().zip(&self.chances).zip(&self.in_order) {
            for row in in_order.iter().map(|place| &board.rows[*place]) {
                let played = &board.plan.order.matches[row.place];
                let comes = matches!(row.phase, MatchPhase::Planned | MatchPhase::Called);
                let chance = chances[row.place].get(&job.player_id).copied().unwrap_or(0.0);
                if comes && named.map_or(chance > 0.0, |named| named == played.id) {
                    return Some(self.ready_for(board, row, job, chance));
                }
            }
        }
        None
    }

    fn ready_for(
        &self,
        board: &DayBoard,
        row: &crate::craft::match_times::day_sheet::DayRow,
        job: &Job,
        chance: f64,
    ) -> Readiness {
        let demand = Demand::default();
        let walk_on = &board.times[row.place].walk_on;
        let already = Distribution::certain(0);
        let done = self.done.get(&job.id).unwrap_or(&already);
        let played = &board.plan.order.matches[row.place];
        Readiness {
            job_id: job.id.clone(),
            day: board.plan.order.day.to_string(),
            match_id: played.id.clone(),
            court: played.court.clone(),
            chance_to_play: chance,
            walk_on: row.walk_on,
            ready_by: at_minute(row.ready_by),
            done_p50: at_minute(done.quantile(0.5)),
            risk: demand.risk(walk_on, done),
            chain: row
                .chain
                .iter()
                .map(|place| board.plan.order.matches[*place].id.clone())
                .collect(),
        }
    }
}

fn in_order(board: &DayBoard) -> Vec<usize> {
    let mut places: Vec<usize> = (0..board.rows.len()).collect();
    places.sort_by_key(|place| board.rows[*place].walk_on.p50);
    places
}

/// Every open job that follows a match, with what is known of it.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn all(db: &mut Db, tournament: &str, outlook: &Outlook) -> DeskResult<Vec<(Job, JobRecord, Readiness)>> {
    let mut found = Vec::new();
    for job in jobs::in_states(db, tournament, &OPEN)? {
        let record: JobRecord = from_record(&job.record)?;
        if let Some(ready) = outlook.of_job(&job, &record) {
            found.push((job, record, ready));
        }
    }
    Ok(found)
}

/// The match one job must be ready for; none for a plain time, or where nothing is known.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError).
pub fn for_job(
    db: &mut Db,
    tournament: &str,
    job_id: &str,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Option<Readiness>> {
    let job = jobs::find(db, tournament, job_id)?.ok_or(DeskError::NotFound(Thing::Job))?;
    let record: JobRecord = from_record(&job.record)?;
    if !record.follows_match && record.match_id.is_none() {
        return Ok(None);
    }
    Ok(Outlook::now(db, tournament, now, memory)?.of_job(&job, &record))
}
