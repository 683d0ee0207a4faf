//! What an intervention would cost, before it is made: two plans compared, nothing changed.
mod court_stop;
mod price;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::craft::job::{JobState, RushLevel};
use crate::desk::CourtMemory;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::room::Room;
use crate::desk::schedule::{kept, plan_of};
use crate::desk::waiting_work::work_in;
use crate::storage::Db;
use crate::storage::workshop::people;

/// Why a job is held in a plan that only supposes it.
const SUPPOSED: &str = "supposed";

/// What somebody thinks of doing.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(tag = "action", rename_all = "snake_case", deny_unknown_fields)]
pub enum WhatIf {
    /// Move a job forward.
    Rush {
        /// The job.
        job_id: String,
        /// How much.
        level: RushLevel,
    },
    /// Take a rush back.
    Unrush {
        /// The job.
        job_id: String,
    },
    /// Let a job wait.
    Hold {
        /// The job.
        job_id: String,
        /// Until when; nothing: until somebody releases it.
        #[serde(default)]
        until: Option<DateTime<Utc>>,
    },
    /// End a hold.
    Release {
        /// The job.
        job_id: String,
    },
    /// Give a job to a station.
    Move {
        /// The job.
        job_id: String,
        /// The station.
        station_id: String,
    },
    /// Change when a job must be ready.
    Due {
        /// The job.
        job_id: String,
        /// The new time.
        due_at: DateTime<Utc>,
    },
    /// Close a station: it gets no more jobs, and what was not begun there waits again.
    CloseStation {
        /// The station.
        station_id: String,
    },
    /// Open a station with a stringer.
    OpenStation {
        /// The station.
        station_id: String,
        /// Who works there.
        stringer_id: String,
    },
    /// A stringer goes off shift: every station they work at closes.
    StringerOff {
        /// The stringer.
        stringer_id: String,
    },
    /// Play stops: matches on these courts and those after them come later.
    StopCourts {
        /// The courts; none named: all that are not covered.
        #[serde(default)]
        courts: Vec<String>,
        /// When play is expected to go on, where somebody has said so.
        #[serde(default)]
        expected_resume_at: Option<DateTime<Utc>>,
    },
}

impl WhatIf {
    /// The job that it is about, where it is about one that keeps waiting.
    #[must_use]
    pub fn job(&self) -> Option<&str> {
        match self {
            Self::Rush { job_id, .. }
            | Self::Unrush { job_id }
            | Self::Move { job_id, .. }
            | Self::Due { job_id, .. } => Some(job_id),
            _ => None,
        }
    }
}

/// A job whose time would change by more than a minute.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ChangedJob {
    /// The job.
    pub job_id: String,
    /// Its tag code.
    pub tag_code: String,
    /// Seconds late as things stand; 0 in time.
    pub late_s_before: i64,
    /// Seconds late afterwards; 0 in time.
    pub late_s_after: i64,
    /// When it would be ready; nothing if it would not be strung for now.
    pub ready_at: Option<DateTime<Utc>>,
    /// In words.
    pub sentence: String,
}

/// The price of an intervention.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct InterventionPrice {
    /// Who becomes late or later.
    pub later: Vec<ChangedJob>,
    /// Who becomes less late.
    pub sooner: Vec<ChangedJob>,
    /// Who would wait for a station and has a place or a hold now.
    pub joining: Vec<ChangedJob>,
    /// Jobs that no station could do any more.
    pub left_over: Vec<String>,
    /// Jobs on a machine that is concerned: they stay there.
    pub staying: Vec<String>,
    /// Continuity breaks more, or fewer.
    pub continuity_breaks_more: i64,
    /// The planner's cost more, or less.
    pub cost_more: i64,
    /// All of it in words.
    pub sentences: Vec<String>,
}

/// Compares the plan as things stand with the plan after the intervention.
///
/// # Errors
/// [`DeskError::NotFound`] for a job that no station has to do with, a station, a stringer or a day of play
/// that is not there; [`DeskError::Conflict`] for moving a job that is on a machine; [`DeskError::Invalid`].
pub fn price(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    what: &WhatIf,
    memory: &CourtMemory,
) -> DeskResult<InterventionPrice> {
    let last = kept(db, tournament)?.map(|(plan, _)| plan).unwrap_or_default();
    let room = Room::now(db, tournament)?;
    let mut supposed = room.clone();
    if let WhatIf::StringerOff { stringer_id } | WhatIf::OpenStation { stringer_id, .. } = what
        && people::find(db, tournament, stringer_id)?.is_none()
    {
        return Err(DeskError::NotFound(Thing::Stringer));
    }
    let mut first = Vec::new();
    match what {
        WhatIf::StopCourts {
            courts,
            expected_resume_at,
        } => {
            let (resume, room) = (*expected_resume_at, (tournament, room.sheets.as_slice()));
            let stopped = court_stop::stopped(db, room, now, courts, resume, memory)?;
            first = stopped.sentences;
            for (job_id, due_at) in stopped.new_times {
                if let Ok(sheet) = supposed.job(&job_id) {
                    sheet.job.due_at = due_at.into();
                }
            }
        }
        other => change(&mut supposed, other)?,
    }
    let staying = staying(&room, &supposed);
    let before = plan_of(&work_in(db, tournament, room, now)?, &last);
    let after_work = work_in(db, tournament, supposed, now)?;
    let after = plan_of(&after_work, &before);
    let mut price = price::compare(&before, &after, &after_work, staying);
    first.extend(price::stays(&price, &after, what.job()));
    price.sentences.splice(0..0, first);
    Ok(price)
}

/// The codes of jobs on machines whose station closes.
fn staying(room: &Room, supposed: &Room) -> Vec<(String, String)> {
    let closes = supposed
        .stations
        .iter()
        .zip(&room.stations)
        .filter(|(then, now)| now.open && !then.open);
    closes
        .filter_map(|(station, _)| supposed.present(&station.id))
        .map(|sheet| (sheet.job.id.clone(), sheet.job.code.clone()))
        .collect()
}

fn change(room: &mut Room, what: &WhatIf) -> DeskResult<()> {
    match what {
        WhatIf::Rush { job_id, level } => room.job(job_id)?.job.rush = Some(level.as_str().to_owned()),
        WhatIf::Unrush { job_id } => room.job(job_id)?.job.rush = None,
        WhatIf::Hold { job_id, .. } => {
            let job = &mut room.job(job_id)?.job;
            job.held_reason = Some(SUPPOSED.to_owned());
            job.held_until = None;
        }
        WhatIf::Release { job_id } => {
            let job = &mut room.job(job_id)?.job;
            job.held_reason = None;
            job.held_until = None;
        }
        WhatIf::Move { job_id, station_id } => {
            if room.job(job_id)?.job.state == JobState::OnMachine.as_str() {
                let detail = "It is on a machine: hand it over there.";
                return Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
            }
            room.give(job_id, station_id)?;
        }
        WhatIf::Due { job_id, due_at } => room.job(job_id)?.job.due_at = (*due_at).into(),
        WhatIf::CloseStation { station_id } => room.close(station_id)?,
        WhatIf::OpenStation {
            station_id,
            stringer_id,
        } => room.open(station_id, stringer_id)?,
        WhatIf::StringerOff { stringer_id } => {
            let theirs: Vec<String> = room
                .stations
                .iter()
                .filter(|station| station.stringer_id.as_ref() == Some(stringer_id))
                .map(|station| station.id.clone())
                .collect();
            for station in theirs {
                room.close(&station)?;
            }
        }
        WhatIf::StopCourts { .. } => {}
    }
    Ok(())
}
