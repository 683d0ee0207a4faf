//! The plain rule for the next job of a station, with its reasons.
//!
//! Of the waiting jobs this station may do: those pinned to it first, then by
//! rush, then the earliest ready-by, then the earlier received, then the code.
use std::cmp::Ordering;
use std::collections::BTreeSet;

use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use crate::craft::job::RushLevel;
use crate::craft::text_enum::text_enum;

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
    /// Moved forward.
    pub rush: Option<RushLevel>,
    /// When it must be ready; later than any other if not known.
    pub ready_by_at: Option<DateTime<Utc>>,
    /// When it came in.
    pub received_at: DateTime<Utc>,
    /// Its method frees a clamp in mid job, which takes swivel clamps.
    pub needs_swivel: bool,
    /// What its stringer must be able to do.
    pub skills: BTreeSet<String>,
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
        (
            job.not_before_at.is_some_and(|at| at > now),
            PassedOverFor::NotBefore,
        ),
    ];
    reasons.into_iter().find(|(bars, _)| *bars).map(|(_, why)| why)
}

/// Which of two jobs comes first, and by what.
fn compare(one: &WaitingJob, other: &WaitingJob) -> (Ordering, ChosenFor) {
    // jobs pinned elsewhere are barred, so any pin is to this station; without a ready-by a job comes last
    let due = |job: &WaitingJob| job.ready_by_at.unwrap_or(DateTime::<Utc>::MAX_UTC);
    let by = [
        (
            other
                .pinned_station_id
                .is_some()
                .cmp(&one.pinned_station_id.is_some()),
            ChosenFor::Pinned,
        ),
        (other.rush.cmp(&one.rush), ChosenFor::Rush),
        (due(one).cmp(&due(other)), ChosenFor::ReadyBy),
        (one.received_at.cmp(&other.received_at), ChosenFor::Received),
    ];
    let decided = by.into_iter().find(|(order, _)| order.is_ne());
    decided.unwrap_or_else(|| {
        let order = one
            .code
            .cmp(&other.code)
            .then_with(|| one.job_id.cmp(&other.job_id));
        (order, ChosenFor::Code)
    })
}

fn picked(first: &WaitingJob, second: Option<&WaitingJob>) -> Pick {
    let why = second.map_or(ChosenFor::OnlyOne, |second| compare(first, second).1);
    let sentence = match why {
        ChosenFor::OnlyOne => "The only waiting job that this station can do.",
        ChosenFor::Pinned => "A coordinator put it at this station.",
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
mod tests {
    use chrono::TimeDelta;
    use proptest::prelude::*;

    use super::*;

    fn noon() -> DateTime<Utc> {
        "2031-06-04T12:00:00Z".parse().unwrap()
    }

    fn minutes(minutes: i64) -> DateTime<Utc> {
        noon() + TimeDelta::minutes(minutes)
    }

    fn station() -> AskingStation {
        AskingStation {
            station_id: "here".into(),
            swivel: false,
            skills: BTreeSet::from(["tennis".into()]),
        }
    }

    fn job(id: &str) -> WaitingJob {
        WaitingJob {
            job_id: id.into(),
            code: id.into(),
            held: false,
            not_before_at: None,
            pinned_station_id: None,
            rush: None,
            ready_by_at: Some(minutes(120)),
            received_at: minutes(-60),
            needs_swivel: false,
            skills: BTreeSet::from(["tennis".into()]),
        }
    }

    fn first(jobs: &[WaitingJob]) -> (String, ChosenFor) {
        let pick = choose_next(jobs, &station(), noon()).pick.unwrap();
        (pick.job_id, pick.why)
    }

    #[test]
    fn each_reason_outranks_the_next_one() {
        let plain = job("a");
        let earlier_in = WaitingJob {
            received_at: minutes(-90),
            ..job("b")
        };
        let due_sooner = WaitingJob {
            ready_by_at: Some(minutes(90)),
            ..job("c")
        };
        let rushed = WaitingJob {
            rush: Some(RushLevel::Rush),
            ..job("d")
        };
        let court = WaitingJob {
            rush: Some(RushLevel::Court),
            ready_by_at: None,
            ..job("e")
        };
        let pinned = WaitingJob {
            pinned_station_id: Some("here".into()),
            ..job("f")
        };
        let mut jobs = vec![plain];
        assert_eq!(first(&jobs), ("a".into(), ChosenFor::OnlyOne));
        jobs.push(job("z"));
        assert_eq!(first(&jobs), ("a".into(), ChosenFor::Code));
        for (next, why) in [
            (earlier_in, ChosenFor::Received),
            (due_sooner, ChosenFor::ReadyBy),
            (rushed, ChosenFor::Rush),
            (court, ChosenFor::Rush),
            (pinned, ChosenFor::Pinned),
        ] {
            let id = next.job_id.clone();
            jobs.push(next);
            assert_eq!(first(&jobs), (id, why));
        }
        let choice = choose_next(&jobs, &station(), noon());
        assert_eq!(choice.runners_up, ["e", "d", "c", "b", "a", "z"]);
    }

    #[test]
    fn what_this_station_may_not_do_is_passed_over_with_the_reason() {
        let jobs = [
            WaitingJob {
                held: true,
                ..job("a")
            },
            WaitingJob {
                pinned_station_id: Some("there".into()),
                ..job("b")
            },
            WaitingJob {
                needs_swivel: true,
                ..job("c")
            },
            WaitingJob {
                skills: BTreeSet::from(["badminton".into()]),
                ..job("d")
            },
            WaitingJob {
                not_before_at: Some(minutes(30)),
                ..job("e")
            },
            WaitingJob {
                not_before_at: Some(minutes(10)),
                ..job("f")
            },
        ];
        let choice = choose_next(&jobs, &station(), noon());
        assert_eq!(choice.pick, None);
        assert_eq!(choice.next_possible_at, Some(minutes(10)));
        let why: Vec<_> = choice
            .passed_over
            .iter()
            .map(|passed| passed.why.as_str())
            .collect();
        assert_eq!(
            why,
            [
                "held",
                "pinned_elsewhere",
                "needs_swivel",
                "lacks_skill",
                "not_before",
                "not_before"
            ]
        );
    }

    #[test]
    fn a_job_may_be_begun_at_its_very_time() {
        assert_eq!(
            first(&[WaitingJob {
                not_before_at: Some(noon()),
                ..job("a")
            }])
            .0,
            "a"
        );
    }

    fn any_job() -> impl Strategy<Value = WaitingJob> {
        let rush = prop::option::of(prop::sample::select(RushLevel::ALL));
        let pin = prop::option::of(prop::sample::select(vec!["here", "there"]));
        (
            0_u32..1000,
            any::<[bool; 2]>(),
            rush,
            pin,
            prop::option::of(0_i64..4),
            0_i64..4,
        )
            .prop_map(
                |(number, [held, needs_swivel], rush, pin, due, received)| WaitingJob {
                    held,
                    needs_swivel,
                    rush,
                    pinned_station_id: pin.map(str::to_owned),
                    ready_by_at: due.map(minutes),
                    received_at: minutes(-received),
                    ..job(&format!("{number:04}"))
                },
            )
    }

    proptest! {
        #[test]
        fn the_order_of_the_list_does_not_matter(mut jobs in prop::collection::vec(any_job(), 0..12)) {
            let asked = choose_next(&jobs, &station(), noon());
            prop_assert_eq!(
                jobs.len(),
                asked.passed_over.len() + asked.runners_up.len() + usize::from(asked.pick.is_some())
            );
            jobs.reverse();
            let again = choose_next(&jobs, &station(), noon());
            prop_assert_eq!(asked.pick.map(|pick| pick.job_id), again.pick.map(|pick| pick.job_id));
            prop_assert_eq!(asked.runners_up, again.runners_up);
        }

        #[test]
        fn a_pinned_or_court_job_is_never_behind_a_plain_one(jobs in prop::collection::vec(any_job(), 1..12)) {
            if let Some(pick) = choose_next(&jobs, &station(), noon()).pick {
                let rank = |id: &str| {
                    let job = jobs.iter().filter(|job| job.job_id == id && !job.held && !job.needs_swivel);
                    let job = job.filter(|job| job.pinned_station_id.as_deref() != Some("there"));
                    job.map(|job| (job.pinned_station_id.is_some(), job.rush)).max()
                };
                let best = jobs.iter().filter_map(|job| rank(&job.job_id)).max();
                prop_assert_eq!(rank(&pick.job_id), best);
            }
        }
    }
}
