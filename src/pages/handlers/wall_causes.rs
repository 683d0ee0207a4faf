//! Why a job on the wall stands where it stands: the plan's word, or a stop of play that many wait on.
use std::collections::HashMap;

use chrono::{DateTime, Utc};

use super::visit::Visitor;
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::Db;
use crate::desk::schedule::WorkPlan;
use crate::desk::stopped_play::{StoppedPlay, stopped_play};
use crate::desk::{CourtMemory, DeskResult};

/// A job's place in the plan: station, when it begins, and how many go before it there.
type Place = (String, DateTime<Utc>, usize);

/// What is known of causes now.
#[derive(Debug, Default)]
pub struct Causes {
    /// Stops of play that last.
    pub stops: Vec<StoppedPlay>,
    now: DateTime<Utc>,
    places: HashMap<String, Place>,
    unplanned: HashMap<String, String>,
}

impl Causes {
    /// Reads them for these jobs, which stand in this plan.
    pub fn now(
        db: &mut Db,
        tournament: &str,
        now: DateTime<Utc>,
        (sheets, plan): (&[JobSheet], WorkPlan),
        memory: &CourtMemory,
    ) -> DeskResult<Self> {
        let mut places = HashMap::new();
        for lane in plan.lanes {
            for (before, job) in lane.jobs.into_iter().enumerate() {
                places.insert(job.job_id, (lane.station_name.clone(), job.start_at, before));
            }
        }
        Ok(Self {
            stops: stopped_play(db, tournament, now, sheets, memory)?,
            now,
            places,
            unplanned: plan
                .unplanned
                .into_iter()
                .map(|one| (one.job_id, one.why))
                .collect(),
        })
    }

    /// Whether the job waits and its match does not begin because play stands still.
    pub fn stopped(&self, sheet: &JobSheet) -> bool {
        let waits = matches!(sheet.job.state.as_str(), "waiting" | "assigned");
        waits
            && sheet.held(self.now).is_none()
            && self.stops.iter().any(|stop| stop.job_ids.contains(&sheet.job.id))
    }

    /// What a waiting job waits for, by the plan; nothing for any other, or where the plan does not know it yet.
    pub fn of_waiting(&self, visitor: &Visitor, sheet: &JobSheet) -> Option<String> {
        if sheet.job.state != "waiting" || sheet.held(visitor.now).is_some() {
            return None;
        }
        if let Some((station, begins, before)) = self.places.get(&sheet.job.id) {
            let begins = visitor.time((*begins).max(visitor.now));
            return Some(match before {
                0 => format!("next at {station}, {begins}"),
                1 => format!("1 before it at {station}, begins {begins}"),
                more => format!("{more} before it at {station}, begins {begins}"),
            });
        }
        let why = self.unplanned.get(&sheet.job.id)?;
        Some(why.trim_end_matches('.').to_lowercase())
    }
}
