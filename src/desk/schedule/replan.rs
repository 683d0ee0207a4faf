//! Planning anew: the order of work first, which stations and walls wait for, then the odds and the promises.
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use serde_json::json;

use super::{MatchRisk, OWN_EVENTS, PLAN_CHANGED, WorkPlan, is_up_to_date, kept, plan_of};
use crate::desk::court_times::board::boards;
use crate::desk::court_times::next_match::{self, Outlook};
use crate::desk::keep_promises::{Causes, keep_promises};
use crate::desk::refusal::DeskResult;
use crate::desk::waiting_work::waiting_work;
use crate::desk::{Caller, CourtMemory, Desk, Tx, nobody_can};
use crate::storage::schedules::{self, KeptPlan};
use crate::storage::{Db, events, to_record};

/// A plan is made anew when it is older than this, whatever was logged: work goes on without events.
const STALE: TimeDelta = TimeDelta::seconds(60);
/// As long as a screen takes from hearing of another order to showing it: its pause between two looks and the look.
const SCREENS_FIRST: Duration = Duration::from_millis(50);

/// An order of work that was just found.
struct Found {
    /// With the odds of the plan before.
    plan: WorkPlan,
    made_from: i64,
    /// Whether a station's jobs or their order are others than by the plan before.
    changed: bool,
    causes: Causes,
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
    let found = desk.read(move |db| find_order(db, &whose, now)).await?;
    let Some(Found {
        mut plan,
        made_from,
        changed,
        causes,
    }) = found
    else {
        return Ok(false);
    };
    let caller = Caller::system(tournament);
    // the odds take several times as long as the order: who waits for another order sees it before
    if changed {
        let order = plan.clone();
        let kept = desk.write(&caller, move |tx| {
            let kept = keep(tx, made_from, &order)?;
            if kept {
                let whose = tx.tournament();
                tx.emit(PLAN_CHANGED, whose, &json!({"made_from_sequence": made_from}))?;
            }
            Ok(kept)
        });
        if !kept.await? {
            return Ok(false);
        }
        // the screens that heard of it look first: the odds would take the cores from under them
        tokio::time::sleep(SCREENS_FIRST).await;
    }
    let (whose, memory) = (tournament.to_owned(), desk.court_memory());
    let plan = desk
        .read(move |db| {
            plan.risks = risks(db, &whose, now, &plan, &memory)?;
            Ok(plan)
        })
        .await?;
    desk.write(&caller, move |tx| {
        if !keep(tx, made_from, &plan)? {
            return Ok(false);
        }
        keep_promises(tx, &plan, &causes)?;
        nobody_can::follow(tx, &plan.unplanned)?;
        Ok(true)
    })
    .await
}

/// An order of work for what waits now, unless the kept plan still holds.
fn find_order(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Option<Found>> {
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
    let last = last.map(|(plan, _)| plan).unwrap_or_default();
    let mut plan = plan_of(&waiting_work(db, tournament, now)?, &last);
    let changed = order(&plan) != order(&last);
    plan.risks = last.risks;
    Ok(Some(Found {
        plan,
        made_from,
        changed,
        causes: Causes::since(db, tournament, last_from, &OWN_EVENTS)?,
    }))
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
