//! When each open job will be strung, with its spread: by the kept plan where it has a place there.
use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};

use crate::craft::match_times::distribution::Distribution;
use crate::craft::match_times::ready_by;
use crate::craft::match_times::venue_time::minute_of;
use crate::craft::promise::{JobTime, Progress, safe_time};
use crate::craft::units::Seconds;
use crate::desk::promise::job_time;
use crate::desk::records::{JobRecord, WorkEstimate};
use crate::desk::refusal::DeskResult;
use crate::desk::schedule::{PlannedJob, WorkPlan};
use crate::desk::waiting_work::CHECK_S;
use crate::storage::from_record;
use crate::storage::jobs::Job;

/// What a racket on the machine or in the check still takes at least: common practice, no source.
const LEAST_S: f64 = 120.0;
/// The spread of what is left of a check: common practice, no source.
const CHECK_SPREAD_S: f64 = 60.0;
/// Half of such jobs take this share of what nine in ten take, where only the latter is known.
const P50_OF_P90: f64 = 0.8;

/// When one job will be strung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Completion {
    /// The expected time.
    pub strung_at: DateTime<Utc>,
    /// Its standard deviation.
    pub spread_s: f64,
    /// Whether a station has it or the plan gives it to one; else it is a guess from what goes before it.
    pub placed: bool,
}

impl Completion {
    fn after(now: DateTime<Utc>, mean_s: f64, spread_s: f64, placed: bool) -> Self {
        Self {
            strung_at: now + seconds(mean_s),
            spread_s,
            placed,
        }
    }

    /// When it is expected to be ready: strung and checked.
    #[must_use]
    pub fn ready_at(&self) -> DateTime<Utc> {
        self.strung_at + TimeDelta::seconds(CHECK_S)
    }

    /// The minute of its stringing's end, as a distribution.
    #[must_use]
    pub fn distribution(&self, now: DateTime<Utc>) -> Distribution {
        let mean_min = self.seconds_from(now, self.strung_at) / 60.0;
        ready_by::completion(minute_of(now), mean_min, (self.spread_s / 60.0).powi(2))
    }

    /// The time by which it is ready in nine cases of ten.
    #[must_use]
    pub fn safe_at(&self, now: DateTime<Utc>, progress: Progress) -> Option<DateTime<Utc>> {
        let whole = JobTime {
            mean_s: Seconds::new(self.seconds_from(now, self.ready_at()))?,
            spread_s: Seconds::new(self.spread_s)?,
        };
        safe_time(now, whole, progress)
    }

    #[expect(clippy::cast_precision_loss, reason = "seconds of a few days")]
    fn seconds_from(&self, now: DateTime<Utc>, at: DateTime<Utc>) -> f64 {
        (at.signed_duration_since(now).num_milliseconds() as f64 / 1000.0).max(LEAST_S)
    }
}

#[expect(clippy::cast_possible_truncation, reason = "seconds of a few days")]
fn seconds(seconds: f64) -> TimeDelta {
    TimeDelta::milliseconds((seconds * 1000.0).round() as i64)
}

/// The completions of these jobs, which stand in the order of their ready-bys, with `stations` open.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError) where a row cannot be read.
pub fn completions(
    jobs: &[Job],
    plan: Option<&WorkPlan>,
    stations: usize,
    now: DateTime<Utc>,
) -> DeskResult<BTreeMap<String, Completion>> {
    let lanes = plan.into_iter().flat_map(|plan| &plan.lanes);
    let places: BTreeMap<&str, &PlannedJob> = lanes
        .flat_map(|lane| &lane.jobs)
        .map(|job| (job.job_id.as_str(), job))
        .collect();
    let stations = f64::from(u32::try_from(stations.max(1)).unwrap_or(u32::MAX));
    let (mut ahead_mean_s, mut ahead_variance) = (0.0, 0.0);
    let mut done = BTreeMap::new();
    for job in jobs {
        let record: JobRecord = from_record(&job.record)?;
        let own = work_of(job, record.estimate);
        let (mean_s, spread_s) = (own.mean_s.get(), own.spread_s.get());
        let completion = match (job.state.as_str(), places.get(job.id.as_str())) {
            ("checking", _) => Completion::after(now, 0.0, CHECK_SPREAD_S, true),
            ("on_machine", _) => {
                let since_s = now.signed_duration_since(job.state_since.utc()).num_seconds();
                #[expect(clippy::cast_precision_loss, reason = "seconds of a few days")]
                let left_s = (mean_s - since_s as f64).max(LEAST_S);
                Completion::after(now, left_s, spread_s, true)
            }
            ("assigned", _) => Completion::after(now, mean_s, spread_s, true),
            (_, Some(place)) => Completion {
                strung_at: (place.ready_at - TimeDelta::seconds(place.check_s)).max(now),
                spread_s: place.ready_spread_s,
                placed: true,
            },
            (_, None) => {
                let mean_s = ahead_mean_s / stations + mean_s;
                let variance = ahead_variance / stations + spread_s.powi(2);
                Completion::after(now, mean_s, variance.sqrt(), false)
            }
        };
        done.insert(job.id.clone(), completion);
        ahead_mean_s += mean_s;
        ahead_variance += spread_s.powi(2);
    }
    Ok(done)
}

/// Mean and spread of a job's work.
fn work_of(job: &Job, estimate: Option<WorkEstimate>) -> JobTime {
    job_time(estimate.unwrap_or_else(|| {
        let p90_s = u32::try_from(job.work_p90_s).unwrap_or(0).max(60);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a positive whole number"
        )]
        let p50_s = (f64::from(p90_s) * P50_OF_P90) as u32;
        WorkEstimate {
            p50_s,
            p80_s: p90_s,
            p90_s,
        }
    }))
}
