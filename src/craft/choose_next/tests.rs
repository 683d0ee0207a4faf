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
        planned: None,
        rush: None,
        ready_by_at: Some(minutes(120)),
        received_at: minutes(-60),
        drop_off_place: 1,
        needs_swivel: false,
        skills: BTreeSet::from(["tennis".into()]),
        refused_here: false,
    }
}

#[test]
fn of_one_drop_off_the_first_racket_is_first_whatever_the_codes_are() {
    let second = WaitingJob {
        drop_off_place: 2,
        ..job("A")
    };
    let jobs = [second, job("Z")];
    assert_eq!(first(&jobs), ("Z".to_owned(), ChosenFor::Received));
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
fn the_plan_goes_before_the_plain_rule_and_a_pin_before_the_plan() {
    let planned = |id: &str, place: usize| WaitingJob {
        planned: Some(place),
        ..job(id)
    };
    let rushed = |job: WaitingJob| WaitingJob {
        rush: Some(RushLevel::Rush),
        ..job
    };
    let here = |job: WaitingJob| WaitingJob {
        pinned_station_id: Some("here".into()),
        ..job
    };
    let mut jobs = vec![job("a"), rushed(job("b")), planned("c", 1), planned("d", 0)];
    let choice = choose_next(&jobs, &station(), noon());
    let pick = choice.pick.unwrap();
    assert_eq!((pick.job_id.as_str(), pick.why), ("d", ChosenFor::Planned));
    assert_eq!(choice.runners_up, ["c", "b", "a"]);
    // among those pinned here the plain rule holds, whatever place an old plan gave them
    jobs.extend([here(planned("e", 2)), here(rushed(planned("f", 3)))]);
    let choice = choose_next(&jobs, &station(), noon());
    let pick = choice.pick.unwrap();
    assert_eq!((pick.job_id.as_str(), pick.why), ("f", ChosenFor::Pinned));
    assert_eq!(choice.runners_up, ["e", "d", "c", "b", "a"]);
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
