//! Planning anew: the first order of work, which stations and walls wait for, the settled one, then the odds and
//! the promises.
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use serde_json::json;

use super::{MatchRisk, OWN_EVENTS, PLAN_CHANGED, Planning, WorkPlan, is_up_to_date, kept};
use crate::desk::court_times::board::boards;
use crate::desk::court_times::next_match::{self, Outlook};
use crate::desk::keep_promises::{Causes, keep_promises};
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::waiting_work::{WaitingWork, waiting_work};
use crate::desk::{Caller, CourtMemory, Desk, Tx, nobody_can};
use crate::storage::schedules::{self, KeptPlan};
use crate::storage::{Db, events, to_record};

/// A plan is made anew when it is older than this, whatever was logged: work goes on without events.
const STALE: TimeDelta = TimeDelta::seconds(60);
/// As long as a screen takes from hearing of another order to showing it: its pause between two looks and the look.
const SCREENS_FIRST: Duration = Duration::from_millis(50);

/// What planning anew came to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Replanned {
    /// Whether a plan was made and kept.
    pub anew: bool,
    /// How long nothing was done, so that screens could look.
    pub idle: Duration,
}

/// What is to be planned, and from where.
struct Wanted {
    work: WaitingWork,
    last: WorkPlan,
    made_from: i64,
    causes: Causes,
}

/// Plans anew if something has happened since the last plan.
///
/// Reading and searching happen outside the line of writes. The plan is kept only
/// if no other instance has kept one made from a later number.
///
/// # Errors
/// [`DeskError::Storage`].
pub async fn replan(desk: &Desk, tournament: &str) -> DeskResult<Replanned> {
    let mut done = Replanned::default();
    let (now, whose) = (desk.clock().desk(), tournament.to_owned());
    let begun = desk.read(move |db| {
        let Some(wanted) = wanted(db, &whose, now)? else {
            return Ok(None);
        };
        let mut planning = Planning::begin(&wanted.work, &wanted.last);
        let first = planning.first(&wanted.work);
        Ok::<_, DeskError>(Some((wanted, planning, first)))
    });
    let Some((wanted, mut planning, mut first)) = begun.await? else {
        return Ok(done);
    };
    let (last, made_from) = (wanted.last, wanted.made_from);
    let caller = Caller::system(tournament);
    // the odds take several times as long as an order: who waits for another order sees it before, with the odds as they were
    first.risks.clone_from(&last.risks);
    if order(&first) != order(&last) && !announce(desk, &caller, made_from, &first, &mut done).await? {
        return Ok(done);
    }
    let work = wanted.work;
    // reads nothing; but what takes long is done where readers wait, not where requests are answered
    let settled = desk.read(move |_| Ok::<_, DeskError>(planning.settled(&work)));
    let mut plan = settled.await?;
    plan.risks = last.risks;
    if order(&plan) != order(&first) && !announce(desk, &caller, made_from, &plan, &mut done).await? {
        return Ok(done);
    }
    let (whose, memory) = (tournament.to_owned(), desk.court_memory());
    let plan = desk
        .read(move |db| {
            plan.risks = risks(db, &whose, now, &plan, &memory)?;
            Ok::<_, DeskError>(plan)
        })
        .await?;
    let causes = wanted.causes;
    let kept = desk.write(&caller, move |tx| {
        if !keep(tx, made_from, &plan)? {
            return Ok(false);
        }
        keep_promises(tx, &plan, &causes)?;
        nobody_can::follow(tx, &plan.unplanned)?;
        Ok(true)
    });
    done.anew = kept.await?;
    Ok(done)
}

/// What waits now, unless the kept plan still holds.
fn wanted(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Option<Wanted>> {
    let made_from = events::newest(db, tournament)?;
    let last = kept(db, tournament)?;
    let last_from = last
        .as_ref()
        .map_or(made_from - 1, |(_, row)| row.made_from_sequence);
    if let Some((plan, row)) = &last {
        // a hold may end and a shift begin by the clock alone: what has no place now may have one later
        let idle = plan.lanes.iter().all(|lane| lane.jobs.is_empty())
            && plan.unplanned.is_empty()
            && plan.risks.is_empty();
        let fresh = idle || now.signed_duration_since(row.made_at.utc()) < STALE;
        if fresh && is_up_to_date(db, tournament, last_from)? {
            return Ok(None);
        }
    }
    Ok(Some(Wanted {
        work: waiting_work(db, tournament, now)?,
        last: last.map(|(plan, _)| plan).unwrap_or_default(),
        made_from,
        causes: Causes::since(db, tournament, last_from, &OWN_EVENTS)?,
    }))
}

/// Keeps another order of work and tells everybody, then lets the screens look first: what is computed next
/// would take the cores from under them. False where another instance has kept a later one.
async fn announce(
    desk: &Desk,
    caller: &Caller,
    made_from: i64,
    plan: &WorkPlan,
    done: &mut Replanned,
) -> DeskResult<bool> {
    let plan = plan.clone();
    let kept = desk.write(caller, move |tx| {
        let kept = keep(tx, made_from, &plan)?;
        if kept {
            let whose = tx.tournament();
            tx.emit(PLAN_CHANGED, whose, &json!({"made_from_sequence": made_from}))?;
        }
        Ok::<_, DeskError>(kept)
    });
    if !kept.await? {
        return Ok(false);
    }
    tokio::time::sleep(SCREENS_FIRST).await;
    done.idle += SCREENS_FIRST;
    Ok(true)
}

/// Who does what in which order: when this changes, others want to know.
fn order(plan: &WorkPlan) -> Vec<(&str, Vec<&str>)> {
    plan.lanes
        .iter()
        .map(|lane| {
            let jobs = lane.jobs.iter().map(|job| job.job_id.as_str());
            (lane.station_id.as_str(), jobs.collect())
        })
        .collect()
}

/// Keeps a plan; false where another instance has kept one made from a later number.
fn keep(tx: &mut Tx<'_>, made_from: i64, plan: &WorkPlan) -> DeskResult<bool> {
    let standing = schedules::find(tx.db, tx.tournament())?;
    if standing.is_some_and(|row| row.made_from_sequence > made_from) {
        return Ok(false);
    }
    let row = KeptPlan {
        tournament_id: tx.tournament().to_owned(),
        made_from_sequence: made_from,
        made_at: tx.at(),
        record: to_record(plan)?,
    };
    schedules::keep(tx.db, &row)?;
    Ok(true)
}

/// The odds of all open jobs that are for a match, by this plan.
fn risks(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    plan: &WorkPlan,
    memory: &CourtMemory,
) -> DeskResult<Vec<MatchRisk>> {
    let boards = boards(db, tournament, now, memory)?;
    if boards.is_empty() {
        return Ok(Vec::new());
    }
    let outlook = Outlook::by_plan(db, tournament, now, boards, Some(plan))?;
    let share = |share: f64| (share * 1000.0).round() / 1000.0;
    let risks = next_match::all(db, tournament, &outlook)?
        .into_iter()
        .map(|(job, _, ready)| MatchRisk {
            job_id: job.id,
            match_id: ready.match_id,
            soft: share(ready.risk.soft),
            hard: share(ready.risk.hard),
        });
    Ok(risks.collect())
}
