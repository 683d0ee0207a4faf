//! Why a job is ready when it is: a chain that adds up, and what goes before it.
use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use crate::desk::job_sheet::JobSheet;
use crate::desk::minutes::{late_minutes, links};
use crate::desk::pull_job::place_in_queue;
use crate::desk::refusal::DeskResult;
use crate::desk::room::Room;
use crate::desk::schedule::{PlannedJob, PlannedLane, WorkPlan, of_this_moment};
use crate::storage::Db;

/// One link of the chain.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ChainLink {
    /// `waiting`, `set_up`, `stringing` or `check`.
    pub what: &'static str,
    /// How long.
    pub seconds: i64,
    /// When it ends.
    pub until_at: DateTime<Utc>,
}

/// Why a job stands where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PlaceInPlan {
    /// The job.
    pub job_id: String,
    /// From `from_at` on, link by link, to `ready_at`; empty for a job that is in no plan.
    pub chain: Vec<ChainLink>,
    /// Where the chain begins: now, by the plan.
    pub from_at: Option<DateTime<Utc>>,
    /// Where it ends.
    pub ready_at: Option<DateTime<Utc>>,
    /// When it must be ready.
    pub due_at: DateTime<Utc>,
    /// Expected seconds late; 0 in time.
    pub late_s: i64,
    /// How likely it is late, 0 to 1; nothing for a job that is in no plan.
    pub chance_late: Option<f64>,
    /// The station that strings it by the plan.
    pub station_id: Option<String>,
    /// Jobs that station does before it, in order.
    pub before: Vec<String>,
    /// In words.
    pub sentences: Vec<String>,
}

/// Explains a job.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError) for a job that is not there.
pub fn why(db: &mut Db, tournament: &str, job_id: &str, now: DateTime<Utc>) -> DeskResult<PlaceInPlan> {
    let sheet = JobSheet::of(db, tournament, job_id)?;
    let room = Room::now(db, tournament)?;
    let (plan, made_at) = of_this_moment(db, tournament, now, &room)?;
    let mut told = PlaceInPlan {
        job_id: job_id.to_owned(),
        chain: Vec::new(),
        from_at: None,
        ready_at: None,
        due_at: sheet.job.due_at.utc(),
        late_s: 0,
        chance_late: None,
        station_id: sheet.job.station_id.clone(),
        before: Vec::new(),
        sentences: Vec::new(),
    };
    if let Some((lane, place)) = find(&plan, job_id) {
        told.explain(lane, place, made_at);
        return Ok(told);
    }
    let unplanned = plan.unplanned.iter().filter(|job| job.job_id == job_id);
    told.sentences.extend(unplanned.map(|job| job.why.clone()));
    if told.sentences.is_empty() {
        let place = place_in_queue(db, tournament, job_id, now)?;
        told.sentences
            .extend(Some(place.sentence).filter(|sentence| !sentence.is_empty()));
        told.sentences.extend(place.barred);
    }
    Ok(told)
}

fn find<'a>(plan: &'a WorkPlan, job_id: &str) -> Option<(&'a PlannedLane, usize)> {
    plan.lanes.iter().find_map(|lane| {
        let place = lane.jobs.iter().position(|job| job.job_id == job_id)?;
        Some((lane, place))
    })
}

impl PlaceInPlan {
    fn explain(&mut self, lane: &PlannedLane, place: usize, from: DateTime<Utc>) {
        let job = &lane.jobs[place];
        let waiting = job.start_at.signed_duration_since(from).num_seconds().max(0);
        let mut until = from;
        for (what, seconds) in [
            ("waiting", waiting),
            ("set_up", job.set_up_s),
            ("stringing", job.stringing_s),
            ("check", job.check_s),
        ] {
            until += TimeDelta::seconds(seconds);
            self.chain.push(ChainLink {
                what,
                seconds,
                until_at: until,
            });
        }
        self.from_at = Some(from);
        self.ready_at = Some(until);
        self.late_s = job.late_s;
        self.chance_late = Some(job.chance_late);
        self.station_id = Some(lane.station_id.clone());
        self.before = lane.jobs[..place].iter().map(|job| job.job_id.clone()).collect();
        self.sentences.push(sentence(lane, place, waiting, job));
        if job.away_from_home {
            self.sentences.push(
                "It is not at its player's own station: waiting for that one would cost more than the change."
                    .to_owned(),
            );
        }
    }
}

fn sentence(lane: &PlannedLane, place: usize, waiting: i64, job: &PlannedJob) -> String {
    let [waits, set_up, strings, checks] = links([waiting, job.set_up_s, job.stringing_s, job.check_s]);
    let queue = match place {
        0 => format!("It is next at {}", lane.station_name),
        1 => format!("1 job goes before it at {}", lane.station_name),
        more => format!("{more} jobs go before it at {}", lane.station_name),
    };
    let sum = format!("waiting {waits} + set-up {set_up} + stringing {strings} + check {checks} min");
    if job.late_s > 0 {
        format!("{queue}: {sum}, {} min late.", late_minutes(job.late_s))
    } else {
        format!("{queue}: {sum}, in time.")
    }
}
