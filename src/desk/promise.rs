//! What the player is told: a time that holds nine times in ten, from the work that is ahead.
use chrono::{DateTime, TimeDelta, Utc};
use serde::Deserialize;

use crate::craft::normal::Z90;
use crate::craft::promise::{JobTime, QueueAhead, promised_at};
use crate::craft::units::Seconds;
use crate::desk::Tx;
use crate::desk::records::WorkEstimate;
use crate::desk::refusal::DeskResult;
use crate::desk::waiting_work::CHECK_S;
use crate::storage::workshop::places;
use crate::storage::{from_record, jobs};

/// The one member of a job's record that counts here.
#[derive(Deserialize)]
struct Estimated {
    #[serde(default)]
    estimate: Option<WorkEstimate>,
}

/// The promise for a job that comes in now, before a plan holds it; `None` while no station is open.
///
/// It waits for what is on the machines and for what must be ready no later than it; where it may not be
/// strung before `not_before`, it is strung from then on at the earliest.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn for_new_job(
    tx: &mut Tx<'_>,
    own: WorkEstimate,
    due_at: DateTime<Utc>,
    not_before: Option<DateTime<Utc>>,
) -> DeskResult<Option<DateTime<Utc>>> {
    let tournament = tx.tournament();
    let mut ahead = Vec::new();
    let mut records = jobs::records_in(tx.db, tournament, &["assigned", "on_machine"])?;
    records.extend(jobs::waiting_records_due(tx.db, tournament, due_at.into())?);
    for record in records {
        let part: Estimated = from_record(&record)?;
        ahead.push(job_time(part.estimate.unwrap_or(own)));
    }
    let stations = places::all(tx.db, tournament)?
        .iter()
        .filter(|station| station.open)
        .count();
    let queue = QueueAhead {
        jobs: u32::try_from(ahead.len()).unwrap_or(u32::MAX),
        stations: u32::try_from(stations).unwrap_or(u32::MAX),
        each: typical(&ahead).unwrap_or_else(|| job_time(own)),
    };
    // strung, then checked
    let check = TimeDelta::seconds(CHECK_S);
    let from = tx.now + check;
    let promised = promised_at(from, queue, job_time(own));
    let alone = QueueAhead { jobs: 0, ..queue };
    let after_hold = not_before.and_then(|at| promised_at(at + check, alone, job_time(own)));
    Ok(promised.map(|at| after_hold.map_or(at, |held| held.max(at))))
}

/// Mean and spread of the lognormal with these quantiles.
pub(super) fn job_time(estimate: WorkEstimate) -> JobTime {
    let p50_s = f64::from(estimate.p50_s.max(1));
    let sigma = (f64::from(estimate.p90_s.max(1)) / p50_s).ln().max(0.0) / Z90;
    let mean_s = p50_s * (sigma * sigma / 2.0).exp();
    let spread_s = mean_s * (sigma * sigma).exp_m1().sqrt();
    JobTime {
        mean_s: seconds(mean_s),
        spread_s: seconds(spread_s),
    }
}

/// The average job: equal mean work, equal variance.
#[expect(clippy::cast_precision_loss, reason = "a queue has far fewer than 2^52 jobs")]
fn typical(jobs: &[JobTime]) -> Option<JobTime> {
    if jobs.is_empty() {
        return None;
    }
    let count = jobs.len() as f64;
    let mean_s = jobs.iter().map(|job| job.mean_s.get()).sum::<f64>() / count;
    let variance = jobs.iter().map(|job| job.spread_s.get().powi(2)).sum::<f64>() / count;
    Some(JobTime {
        mean_s: seconds(mean_s),
        spread_s: seconds(variance.sqrt()),
    })
}

fn seconds(value: f64) -> Seconds {
    Seconds::new(value).unwrap_or(Seconds::ZERO)
}
