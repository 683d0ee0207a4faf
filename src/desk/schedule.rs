//! The plan of who strings what next: made from what waits, kept with the log's number it was made from.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::desk::keep_promises::PROMISE_CHANGED;
use crate::desk::no_place::NoPlace;
use crate::desk::refusal::DeskResult;
use crate::desk::room::Room;
use crate::desk::waiting_work::work_in;
use crate::storage::schedules::{self, KeptPlan};
use crate::storage::{Db, events, from_record};

mod planning;
pub mod replan;

pub use planning::{FIRST_PART, Planning, plan_of};

/// What the log holds of a changed plan.
const PLAN_CHANGED: &str = "schedule.changed";
/// What the planner itself writes into the log.
const OWN_EVENTS: [&str; 2] = [PLAN_CHANGED, PROMISE_CHANGED];
/// Log entries that are looked at to tell whether anything has happened.
const LOOK: i64 = 1000;

/// A job's place in the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlannedJob {
    /// The job.
    pub job_id: String,
    /// Its tag code.
    pub tag_code: String,
    /// When its set-up begins.
    pub start_at: DateTime<Utc>,
    /// Seconds of set-up.
    pub set_up_s: i64,
    /// Seconds of stringing.
    pub stringing_s: i64,
    /// Seconds from strung to ready.
    pub check_s: i64,
    /// When it is expected to be ready.
    pub ready_at: DateTime<Utc>,
    /// Standard deviation of that, seconds: the spreads of all that is strung before it and its own.
    #[serde(default)]
    pub ready_spread_s: f64,
    /// When it must be ready.
    pub due_at: DateTime<Utc>,
    /// Expected seconds late; 0 when it is in time.
    pub late_s: i64,
    /// How likely it is late, 0 to 1.
    pub chance_late: f64,
    /// Whether its player is taken from their station, which has its price.
    pub away_from_home: bool,
}

/// One station's jobs to come, in order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlannedLane {
    /// The station.
    pub station_id: String,
    /// Its name.
    pub station_name: String,
    /// What it does next, in order.
    pub jobs: Vec<PlannedJob>,
}

/// A job that is not in the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct UnplannedJob {
    /// The job.
    pub job_id: String,
    /// Why, and so what would help.
    pub why: String,
    /// The same as a code.
    #[serde(default = "UnplannedJob::held")]
    pub code: NoPlace,
}

impl UnplannedJob {
    /// What plans that were kept without a code are read as: it asks nobody anything.
    fn held() -> NoPlace {
        NoPlace::Held
    }
}

/// How likely a job is not ready for its match.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MatchRisk {
    /// The job.
    pub job_id: String,
    /// The match.
    pub match_id: String,
    /// P(not ready when the player wants it), 0 to 1.
    pub soft: f64,
    /// P(not ready when the player walks on), 0 to 1.
    pub hard: f64,
}

/// A plan.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WorkPlan {
    /// Stations that are open, and those that open with a published shift still to come.
    pub lanes: Vec<PlannedLane>,
    /// What no open station may do now.
    pub unplanned: Vec<UnplannedJob>,
    /// The odds of every open job that is for a match, begun ones too.
    #[serde(default)]
    pub risks: Vec<MatchRisk>,
    /// The planner's cost: lower is better.
    pub cost: i64,
    /// Continuity breaks in it.
    pub continuity_breaks: i64,
}

impl WorkPlan {
    /// The jobs of a station, in order.
    #[must_use]
    pub fn jobs_of(&self, station_id: &str) -> Vec<String> {
        let lanes = self.lanes.iter().filter(|lane| lane.station_id == station_id);
        lanes
            .flat_map(|lane| &lane.jobs)
            .map(|job| job.job_id.clone())
            .collect()
    }
}

/// The kept plan with the number of the log it was made from.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn kept(db: &mut Db, tournament: &str) -> DeskResult<Option<(WorkPlan, KeptPlan)>> {
    match schedules::find(db, tournament)? {
        Some(row) => Ok(Some((from_record(&row.record)?, row))),
        None => Ok(None),
    }
}

/// The jobs that the kept plan gives a station, in order; none without a plan. The rest of the plan is not made into anything.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn kept_lane(db: &mut Db, tournament: &str, station_id: &str) -> DeskResult<Vec<String>> {
    let Some(row) = schedules::find(db, tournament)? else {
        return Ok(Vec::new());
    };
    let plan: LanesOnly = from_record(&row.record)?;
    let lane = plan.lanes.into_iter().find(|lane| lane.station_id == station_id);
    Ok(lane
        .map(|lane| lane.jobs.into_iter().map(|job| job.job_id).collect())
        .unwrap_or_default())
}

/// Of a plan, who does what in which order.
#[derive(Deserialize)]
struct LanesOnly {
    lanes: Vec<LaneOnly>,
}

#[derive(Deserialize)]
struct LaneOnly {
    station_id: String,
    jobs: Vec<JobOnly>,
}

#[derive(Deserialize)]
struct JobOnly {
    job_id: String,
}

/// Whether nothing but the planner's own entries was logged since the plan was made.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn is_up_to_date(db: &mut Db, tournament: &str, made_from: i64) -> DeskResult<bool> {
    let since = events::after(db, tournament, made_from, LOOK)?;
    Ok(since
        .iter()
        .all(|event| OWN_EVENTS.contains(&event.kind.as_str())))
}

/// The kept plan, or where something has happened since, what the next one will be; with when it is made.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn of_this_moment(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    room: &Room,
) -> DeskResult<(WorkPlan, DateTime<Utc>)> {
    let last = match kept(db, tournament)? {
        Some((plan, row)) if is_up_to_date(db, tournament, row.made_from_sequence)? => {
            return Ok((plan, row.made_at.utc()));
        }
        Some((plan, _)) => plan,
        None => WorkPlan::default(),
    };
    let work = work_in(db, tournament, room.clone(), now)?;
    Ok((plan_of(&work, &last), now))
}
