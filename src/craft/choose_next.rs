//! The plain rule for the next job of a station, with its reasons.
//!
//! Of the waiting jobs this station may do: those pinned to it first, then those
//! the plan gives it, in the plan's order; the rest, and those pinned to it among
//! one another, by rush, then the earliest ready-by, then the earlier received,
//! then the code.
use std::cmp::{Ordering, Reverse};
use std::collections::BTreeSet;

use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use crate::job::RushLevel;
use crate::text_enum::text_enum;

/// A job that waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingJob {
    /// Its id.
    pub job_id: String,
    /// Its tag code.
    pub code: String,
    /// Waits on purpose.
    pub held: bool,
    /// Not to be begun earlier.
    pub not_before_at: Option<DateTime<Utc>>,
    /// The only station it goes to, if a coordinator said so.
    pub pinned_station_id: Option<String>,
    /// Its place among the jobs that the plan gives the station that asks.
    pub planned: Option<usize>,
    /// Moved forward.
    pub rush: Option<RushLevel>,
    /// When it must be ready; later than any other if not known.
    pub ready_by_at: Option<DateTime<Utc>>,
    /// When it came in.
    pub received_at: DateTime<Utc>,
    /// Its place in its drop-off, from 1: the first racket over the counter is the first on the machine.
    pub drop_off_place: i32,
    /// Its method frees a clamp in mid job, which takes swivel clamps.
    pub needs_swivel: bool,
    /// What its stringer must be able to do.
    pub skills: BTreeSet<String>,
    /// The stringer of the station that asks has refused it there.
    pub refused_here: bool,
}

/// The station that asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskingStation {
    /// Its id.
    pub station_id: String,
    /// Its machine has swivel clamps, or its stringer confirmed that it does as well.
    pub swivel: bool,
    /// What its stringer can do.
    pub skills: BTreeSet<String>,
}

text_enum! {
    /// What put a job before the next one.
    pub enum ChosenFor, "reason for a choice" {
        /// Nothing else could be done here.
        OnlyOne = "only_one",
        /// It is pinned to this station.
        Pinned = "pinned",
        /// The plan gives it to this station next.
        Planned = "planned",
        /// It is rushed more.
        Rush = "rush",
        /// It must be ready earlier.
        ReadyBy = "ready_by",
        /// It came in earlier.
        Received = "received",
        /// All else is equal; the code decides.
        Code = "code",
    }
}

text_enum! {
    /// Why this station does not get a job.
    pub enum PassedOverFor, "reason for passing over" {
        /// It is held.
        Held = "held",
        /// It is not to be begun yet.
        NotBefore = "not_before",
        /// It is pinned to another station.
        PinnedElsewhere = "pinned_elsewhere",
        /// Its method takes swivel clamps.
        NeedsSwivel = "needs_swivel",
        /// The stringer here lacks a skill it takes.
        LacksSkill = "lacks_skill",
        /// The stringer here has refused it.
        RefusedHere = "refused_here",
    }
}

/// The next job and what put it first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Pick {
    /// The job.
    pub job_id: String,
    /// What put it before the first of the others.
    pub why: ChosenFor,
    /// The same in English.
    pub sentence: String,
}

/// A job that this station does not get, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct PassedOver {
    /// The job.
    pub job_id: String,
    /// Why.
    pub why: PassedOverFor,
}

/// The answer to a station that asks for its next job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Choice {
    /// The next job; none if nothing can be done here now.
    pub pick: Option<Pick>,
    /// The ids of the jobs that would come after it, in their order.
    pub runners_up: Vec<String>,
    /// The jobs that this station does not get.
    pub passed_over: Vec<PassedOver>,
    /// When the first job that only waits for its time may be begun here.
    pub next_possible_at: Option<DateTime<Utc>>,
}

/// Why a planned job is next.
const PLANNED: &str = "By the plan it comes next here, so that as few rackets as possible are late.";

impl WaitingJob {
    fn plain_key(&self) -> PlainKey<'_> {
        plain_key(
            self.rush,
            self.ready_by_at,
            (self.received_at, self.drop_off_place),
            &self.code,
            &self.job_id,
        )
    }
}

/// The next job of `station` at `now`.
#[must_use]
pub fn choose_next(jobs: &[WaitingJob], station: &AskingStation, now: DateTime<Utc>) -> Choice {
    let mut fit: Vec<&WaitingJob> = Vec::new();
    let mut passed_over = Vec::new();
    let mut next_possible_at = None;
    for job in jobs {
        let Some(why) = barred(job, station, now) else {
            fit.push(job);
            continue;
        };
        if why == PassedOverFor::NotBefore {
            next_possible_at = next_possible_at.into_iter().chain(job.not_before_at).min();
        }
        passed_over.push(PassedOver {
            job_id: job.job_id.clone(),
            why,
        });
    }
    fit.sort_by(|one, other| compare(one, other).0);
    let pick = fit.first().map(|first| picked(first, fit.get(1).copied()));
    let runners_up = fit.iter().skip(1).map(|job| job.job_id.clone()).collect();
    Choice {
        pick,
        runners_up,
        passed_over,
        next_possible_at,
    }
}

/// What bars the job from this station; the time last, so that a job that only
/// waits for it is known as such.
fn barred(job: &WaitingJob, station: &AskingStation, now: DateTime<Utc>) -> Option<PassedOverFor> {
    let pinned_elsewhere = job
        .pinned_station_id
        .as_ref()
        .is_some_and(|pinned| *pinned != station.station_id);
    let reasons = [
        (job.held, PassedOverFor::Held),
        (pinned_elsewhere, PassedOverFor::PinnedElsewhere),
        (job.needs_swivel && !station.swivel, PassedOverFor::NeedsSwivel),
        (!job.skills.is_subset(&station.skills), PassedOverFor::LacksSkill),
        (job.refused_here, PassedOverFor::RefusedHere),
        (
            job.not_before_at.is_some_and(|at| at > now),
            PassedOverFor::NotBefore,
        ),
    ];
    reasons.into_iter().find(|(bars, _)| *bars).map(|(_, why)| why)
}

/// Which of two jobs comes first, and by what.
fn compare(one: &WaitingJob, other: &WaitingJob) -> (Ordering, ChosenFor) {
    // jobs pinned elsewhere are barred, so any pin is to this station
    let pinned = |job: &WaitingJob| job.pinned_station_id.is_some();
    let (order, by) = match (pinned(one), pinned(other)) {
        (true, true) => plainly(one, other),
        (false, false) => {
            // what the plan does not give this station comes last
            let place = |job: &WaitingJob| job.planned.unwrap_or(usize::MAX);
            match place(one).cmp(&place(other)) {
                Ordering::Equal => plainly(one, other),
                order => (order, ChosenFor::Planned),
            }
        }
        (here, there) => (there.cmp(&here), ChosenFor::Pinned),
    };
    // of two that are pinned here the better one is next because it is pinned here
    let both = pinned(one) && pinned(other);
    (order, if both { ChosenFor::Pinned } else { by })
}

/// The order of the plain rule as a key: rush, ready-by, received and place in the drop-off, code, id.
pub type PlainKey<'a> = (
    Reverse<Option<RushLevel>>,
    DateTime<Utc>,
    (DateTime<Utc>, i32),
    &'a str,
    &'a str,
);

/// Where a job stands as long as neither a person nor the plan has said so: the least key first.
#[must_use]
pub fn plain_key<'a>(
    rush: Option<RushLevel>,
    ready_by_at: Option<DateTime<Utc>>,
    received: (DateTime<Utc>, i32),
    code: &'a str,
    job_id: &'a str,
) -> PlainKey<'a> {
    // without a ready-by a job comes last
    let due = ready_by_at.unwrap_or(DateTime::<Utc>::MAX_UTC);
    (Reverse(rush), due, received, code, job_id)
}

fn plainly(one: &WaitingJob, other: &WaitingJob) -> (Ordering, ChosenFor) {
    let (one, other) = (one.plain_key(), other.plain_key());
    let why = if one.0 != other.0 {
        ChosenFor::Rush
    } else if one.1 != other.1 {
        ChosenFor::ReadyBy
    } else if one.2 != other.2 {
        ChosenFor::Received
    } else {
        ChosenFor::Code
    };
    (one.cmp(&other), why)
}

fn picked(first: &WaitingJob, second: Option<&WaitingJob>) -> Pick {
    let why = second.map_or(ChosenFor::OnlyOne, |second| compare(first, second).1);
    let sentence = match why {
        ChosenFor::OnlyOne => "The only waiting job that this station can do.",
        ChosenFor::Pinned => "A coordinator put it at this station.",
        ChosenFor::Planned => PLANNED,
        ChosenFor::Rush if first.rush == Some(RushLevel::Court) => "Its player is on court.",
        ChosenFor::Rush => "It is rushed.",
        ChosenFor::ReadyBy => "It must be ready before the others that this station can do.",
        ChosenFor::Received => "It came in before others that must be ready at the same time.",
        ChosenFor::Code => "It came in with others that must be ready at the same time; the code decides.",
    };
    Pick {
        job_id: first.job_id.clone(),
        why,
        sentence: sentence.to_owned(),
    }
}

#[cfg(test)]
mod tests;
