//! The plan of who strings what next: made from what waits, kept with the log's number it was made from.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::dispatch::checker::check;
use crate::craft::dispatch::rules::block_length;
use crate::craft::dispatch::solver::Search;
use crate::craft::normal::share_below;
use crate::desk::refusal::DeskResult;
use crate::desk::waiting_work::{CHECK_S, WaitingWork, waiting_work};
use crate::desk::{Caller, Desk};
use crate::storage::schedules::{self, KeptPlan};
use crate::storage::{Db, events, from_record, to_record};

/// Rounds of search for one plan.
const ROUNDS: u64 = 300;
/// What the planner itself writes into the log.
const OWN_EVENT: &str = "schedule.changed";
/// Log entries that are looked at to tell whether anything has happened.
const LOOK: i64 = 200;

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
}

/// A plan.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WorkPlan {
    /// Stations that are open.
    pub lanes: Vec<PlannedLane>,
    /// What no open station may do now.
    pub unplanned: Vec<UnplannedJob>,
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

/// Whether nothing but the planner's own entries was logged since the plan was made.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn is_up_to_date(db: &mut Db, tournament: &str, made_from: i64) -> DeskResult<bool> {
    let since = events::after(db, tournament, made_from, LOOK)?;
    Ok(since.iter().all(|event| event.kind == OWN_EVENT))
}

/// A plan for this work, searched from `last`; rounds and seed are fixed, so the same work gives the same plan.
#[must_use]
pub fn plan_of(work: &WaitingWork, last: &WorkPlan) -> WorkPlan {
    let problem = &work.problem;
    let index_of = |id: &String| work.sheets.iter().position(|sheet| &sheet.job.id == id);
    let sequences: Vec<Vec<usize>> = work
        .stations
        .iter()
        .map(|station| {
            let lane = last.lanes.iter().find(|lane| lane.station_id == station.id);
            let jobs = lane.into_iter().flat_map(|lane| &lane.jobs);
            jobs.filter_map(|job| index_of(&job.job_id)).collect()
        })
        .collect();
    let mut search = Search::from_sequences(problem, 1, &sequences);
    search.anneal(ROUNDS, &mut || true);
    let best = search.best();
    let mut lanes = Vec::new();
    for (index, station) in work.stations.iter().enumerate() {
        let slots = best.lane(index);
        let jobs = slots.iter().map(|slot| {
            let job = usize::try_from(slot.job).unwrap_or(0);
            planned(work, job, index, slot.end - slot.length, slot.end)
        });
        lanes.push(PlannedLane {
            station_id: station.id.clone(),
            station_name: station.name.clone(),
            jobs: jobs.collect(),
        });
    }
    let unplanned = work.unplanned.iter().map(|job| UnplannedJob {
        job_id: job.job_id.clone(),
        why: job.why.clone(),
    });
    WorkPlan {
        lanes,
        unplanned: unplanned.collect(),
        cost: search.best_cost(),
        continuity_breaks: check(problem, &best.schedule()).figures.breaks,
    }
}

fn planned(work: &WaitingWork, job: usize, station: usize, start: i64, end: i64) -> PlannedJob {
    let (facts, sheet) = (&work.problem.jobs[job], &work.sheets[job]);
    let stringing_s = block_length::stringing_s(facts, &work.problem.stations[station]);
    let due_at = sheet.job.due_at.utc();
    // a rush moves the planner's due time, not the one that was asked for
    let late_s = work.at(end + CHECK_S).signed_duration_since(due_at).num_seconds();
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    let chance = share_below(late_s as f64 / facts.spread_s.max(1.0));
    let home = work.problem.players[facts.player].home;
    PlannedJob {
        job_id: sheet.job.id.clone(),
        tag_code: sheet.job.code.clone(),
        start_at: work.at(start),
        set_up_s: end - start - stringing_s,
        stringing_s,
        check_s: CHECK_S,
        ready_at: work.at(end + CHECK_S),
        due_at,
        late_s: late_s.max(0),
        chance_late: (chance * 1000.0).round() / 1000.0,
        away_from_home: home.is_some_and(|home| home != station),
    }
}

/// The jobs that stations begin next: when these change, others want to know.
fn front(plan: &WorkPlan) -> Vec<(&str, Option<&str>)> {
    plan.lanes
        .iter()
        .map(|lane| {
            (
                lane.station_id.as_str(),
                lane.jobs.first().map(|job| job.job_id.as_str()),
            )
        })
        .collect()
}

/// Plans anew if something has happened since the last plan; whether it did.
///
/// Reading and searching happen outside the line of writes. The plan is kept only
/// if no other instance has kept one made from a later number.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub async fn replan(desk: &Desk, tournament: &str) -> DeskResult<bool> {
    let (now, whose) = (desk.clock().desk(), tournament.to_owned());
    let made = desk
        .read(move |db| {
            let made_from = events::newest(db, &whose)?;
            let last = kept(db, &whose)?;
            if let Some((_, row)) = &last
                && is_up_to_date(db, &whose, row.made_from_sequence)?
            {
                return Ok(None);
            }
            let last = last.map(|(plan, _)| plan).unwrap_or_default();
            let plan = plan_of(&waiting_work(db, &whose, now)?, &last);
            let changed = front(&plan) != front(&last);
            Ok(Some((plan, made_from, changed)))
        })
        .await?;
    let Some((plan, made_from, changed)) = made else {
        return Ok(false);
    };
    let caller = Caller::system(tournament);
    desk.write(&caller, move |tx| {
        let newer =
            schedules::find(tx.db, tx.tournament())?.is_some_and(|row| row.made_from_sequence >= made_from);
        if newer {
            return Ok(false);
        }
        let row = KeptPlan {
            tournament_id: tx.tournament().to_owned(),
            made_from_sequence: made_from,
            made_at: tx.at(),
            record: to_record(&plan)?,
        };
        schedules::keep(tx.db, &row)?;
        if changed {
            let whose = tx.tournament();
            tx.emit(OWN_EVENT, whose, &json!({"made_from_sequence": made_from}))?;
        }
        Ok(true)
    })
    .await
}
