//! What the demo's coordinator does: now and then a job is rushed, held, or withdrawn by its owner.
use chrono::TimeDelta;

use crate::craft::job::RushLevel;
use crate::desk::Tx;
use crate::desk::cancel_job::{ChargeDecision, cancel_job};
use crate::desk::refusal::DeskResult;
use crate::desk::steer_job::{hold_job, release_job, rush_job};
use crate::storage::jobs::{self, JobFilter};

/// How long a job is held.
const HOLD: TimeDelta = TimeDelta::minutes(40);

/// Ends holds whose time has come; then looks at the job that came in last, once.
pub(super) fn steer(tx: &mut Tx<'_>) -> DeskResult<()> {
    let tournament = tx.caller.tournament();
    let waiting = jobs::in_states(tx.db, tournament, &["waiting"])?;
    let over = waiting
        .iter()
        .find(|job| job.held_until.is_some_and(|until| until.utc() <= tx.now));
    if let Some(job) = over {
        return release_job(tx, &job.id).map(|_| ());
    }
    // a job of the first version is one that nobody has touched since it came in
    let newest = waiting.into_iter().max_by_key(|job| job.received_at);
    let Some(job) = newest.filter(|job| job.version == 1) else {
        return Ok(());
    };
    match jobs::count(tx.db, tournament, &JobFilter::default())? % 7 {
        2 => hold_job(
            tx,
            &job.id,
            "the owner decides on the string",
            Some(tx.now + HOLD),
        )
        .map(|_| ()),
        4 => rush_job(tx, &job.id, RushLevel::Rush).map(|_| ()),
        6 => cancel_job(tx, &job.id, "the owner withdrew", ChargeDecision::None).map(|_| ()),
        _ => Ok(()),
    }
}
