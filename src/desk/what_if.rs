//! What an intervention would cost, before it is made: two plans compared, nothing changed.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::craft::job::RushLevel;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::schedule::{PlannedJob, WorkPlan, kept, plan_of};
use crate::desk::waiting_work::{WaitingWork, due, waiting_work, weight};
use crate::storage::Db;

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
    /// Let a job wait.
    Hold {
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
    /// Close a station: its stringer goes off shift.
    CloseStation {
        /// The station.
        station_id: String,
    },
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
    /// Jobs that no station could do any more.
    pub left_over: Vec<String>,
    /// Continuity breaks more, or fewer.
    pub continuity_breaks_more: i64,
    /// The planner's cost more, or less.
    pub cost_more: i64,
}

/// Compares the plan as things stand with the plan after the intervention.
///
/// # Errors
/// [`DeskError::NotFound`] for a job that does not wait or a station that is not open.
pub fn price(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    what: &WhatIf,
) -> DeskResult<InterventionPrice> {
    let mut work = waiting_work(db, tournament, now)?;
    let last = kept(db, tournament)?.map(|(plan, _)| plan).unwrap_or_default();
    let before = plan_of(&work, &last);
    change(&mut work, what)?;
    let after = plan_of(&work, &before);
    Ok(compare(&before, &after))
}

fn change(work: &mut WaitingWork, what: &WhatIf) -> DeskResult<()> {
    let job_of = |work: &WaitingWork, id: &String| {
        let found = work.sheets.iter().position(|sheet| &sheet.job.id == id);
        found.ok_or(DeskError::NotFound(Thing::Job))
    };
    let station_of = |work: &WaitingWork, id: &String| {
        let found = work.stations.iter().position(|station| &station.id == id);
        found.ok_or(DeskError::NotFound(Thing::Station))
    };
    match what {
        WhatIf::Rush { job_id, level } => {
            let index = job_of(work, job_id)?;
            work.sheets[index].job.rush = Some(level.as_str().to_owned());
            again(work, index);
        }
        WhatIf::Hold { job_id } => {
            let index = job_of(work, job_id)?;
            take_out(work, index);
        }
        WhatIf::Move { job_id, station_id } => {
            let index = job_of(work, job_id)?;
            work.problem.jobs[index].pinned = Some(station_of(work, station_id)?);
        }
        WhatIf::Due { job_id, due_at } => {
            let index = job_of(work, job_id)?;
            work.sheets[index].job.due_at = (*due_at).into();
            again(work, index);
        }
        WhatIf::CloseStation { station_id } => {
            let index = station_of(work, station_id)?;
            close(work, index);
        }
    }
    Ok(())
}

/// Due time and weight of a job whose sheet was changed.
fn again(work: &mut WaitingWork, index: usize) {
    let due = due(&work.sheets[index], work.now);
    work.problem.jobs[index].due = due;
    work.problem.jobs[index].weight = weight(&work.sheets[index], due);
}

fn take_out(work: &mut WaitingWork, job: usize) {
    work.problem.jobs.remove(job);
    work.sheets.remove(job);
}

/// Takes a station out; jobs that only it could do are left over.
fn close(work: &mut WaitingWork, station: usize) {
    work.stations.remove(station);
    work.problem.stations.remove(station);
    let moved = |index: usize| (index != station).then(|| if index > station { index - 1 } else { index });
    for player in &mut work.problem.players {
        player.home = player.home.and_then(moved);
    }
    let mut job = 0;
    while job < work.problem.jobs.len() {
        let facts = &mut work.problem.jobs[job];
        let pinned_here = facts.pinned == Some(station);
        facts.pinned = facts.pinned.and_then(moved);
        let able = work
            .problem
            .stations
            .iter()
            .any(|place| crate::craft::dispatch::rules::clamps::allows(facts, place));
        if pinned_here || !able {
            take_out(work, job);
        } else {
            job += 1;
        }
    }
}

fn jobs_of(plan: &WorkPlan) -> impl Iterator<Item = &PlannedJob> {
    plan.lanes.iter().flat_map(|lane| &lane.jobs)
}

fn compare(before: &WorkPlan, after: &WorkPlan) -> InterventionPrice {
    let mut price = InterventionPrice {
        later: Vec::new(),
        sooner: Vec::new(),
        left_over: Vec::new(),
        continuity_breaks_more: after.continuity_breaks - before.continuity_breaks,
        cost_more: after.cost - before.cost,
    };
    for job in jobs_of(before) {
        let Some(then) = jobs_of(after).find(|then| then.job_id == job.job_id) else {
            price.left_over.push(job.job_id.clone());
            continue;
        };
        // lateness is against the due time as it would then be
        let difference = then.late_s - job.late_s;
        if difference.abs() < 60 {
            continue;
        }
        let minutes = (then.late_s + 59) / 60;
        let sentence = if then.late_s == 0 {
            format!("{} becomes in time.", job.tag_code)
        } else {
            format!("{} becomes {minutes} min late.", job.tag_code)
        };
        let changed = ChangedJob {
            job_id: job.job_id.clone(),
            tag_code: job.tag_code.clone(),
            late_s_before: job.late_s,
            late_s_after: then.late_s,
            ready_at: Some(then.ready_at),
            sentence,
        };
        if difference > 0 {
            price.later.push(changed);
        } else {
            price.sooner.push(changed);
        }
    }
    price.later.sort_by_key(|job| std::cmp::Reverse(job.late_s_after));
    price
}
