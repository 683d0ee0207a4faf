//! The demo lives by itself, whatever its visitors leave behind.
use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use weftdesk::demo::director::{open_the_desk, play};
use weftdesk::demo::set_up::Founded;
use weftdesk::desk::bench_stops::pause_job;
use weftdesk::desk::court_times::due_by::DueBy;
use weftdesk::desk::hand_in::{HandIn, hand_in};
use weftdesk::desk::register_racket::{RacketFacts, register_racket};
use weftdesk::desk::steer_job::hold_job;
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::jobs::{Job, JobFilter};
use weftdesk::storage::{Store, StoreError, jobs, rackets, work::waiting_decisions};

use crate::database::TestDatabase;
use crate::replay::Replay;

async fn all_jobs(desk: &Desk, founded: &Founded) -> Vec<Job> {
    let id = founded.tournament.clone();
    let read = desk.store().read(move |db| {
        let all = jobs::list(db, &id, &JobFilter::default(), i64::MAX)?;
        Ok::<_, StoreError>(all)
    });
    read.await.expect("the query runs")
}

fn by_state(jobs: &[Job]) -> BTreeMap<&str, usize> {
    let mut counts = BTreeMap::new();
    for job in jobs {
        *counts.entry(job.state.as_str()).or_default() += 1;
    }
    counts
}

fn noon() -> DateTime<Utc> {
    DateTime::parse_from_rfc3339("2026-05-02T12:00:00Z")
        .expect("a time")
        .to_utc()
}

async fn opened(database: &TestDatabase) -> (Desk, Founded) {
    let clock = Clock::told_by(noon, noon);
    let desk = Desk::new(Store::open(database.address()).expect("a database"), clock);
    let founded = open_the_desk(&desk).await.expect("the demo opens");
    (desk, founded)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_first_visitor_finds_a_desk_at_work_and_the_log_agrees_with_it() {
    let database = TestDatabase::fresh();
    let (desk, founded) = opened(&database).await;
    let jobs = all_jobs(&desk, &founded).await;
    let states = by_state(&jobs);
    assert!(states["waiting"] >= 5, "{states:?}");
    assert!(states["ready"] >= 1 && states["out"] >= 3, "{states:?}");
    assert!(
        states.get("on_machine").unwrap_or(&0) + states.get("assigned").unwrap_or(&0) >= 2,
        "{states:?}"
    );
    assert!(jobs.iter().any(|job| job.rush.is_some()), "one was rushed");
    assert!(
        jobs.iter().all(|job| job.received_at.utc() <= noon()),
        "nothing from the future"
    );
    let replay = Replay::of(desk.store(), &founded.tournament).await;
    assert_eq!(replay.received, jobs.len());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_day_of_the_demo_never_stalls_though_visitors_leave_things_behind() {
    let database = TestDatabase::fresh();
    let (desk, founded) = opened(&database).await;
    visitors(&desk, &founded).await;
    let mut out = 0;
    for hour in 1..=8 {
        let (from, until) = (
            noon() + TimeDelta::hours(hour - 1),
            noon() + TimeDelta::hours(hour),
        );
        play(&desk, &founded, from, until).await;
        let jobs = all_jobs(&desk, &founded).await;
        let states = by_state(&jobs);
        assert!(
            states["out"] > out,
            "hour {hour}: nothing was handed out: {states:?}"
        );
        out = states["out"];
        for job in &jobs {
            let busy = job.state == "assigned" || job.state == "on_machine";
            let since = until - job.state_since.utc();
            assert!(
                !busy || since < TimeDelta::hours(2),
                "hour {hour}: a station is stuck: {job:?}"
            );
        }
        assert!(states["waiting"] < 20, "hour {hour}: the queue grows: {states:?}");
    }
    let id = founded.tournament.clone();
    let open = desk.read(move |db| Ok(waiting_decisions::open(db, &id)?)).await;
    assert!(open.expect("the query runs").len() < 10, "questions are answered");
}

/// A racket the demo does not know, a job on hold, and a pause that nobody ends.
async fn visitors(desk: &Desk, founded: &Founded) {
    let id = founded.tournament.clone();
    let known = founded.rackets[0].racket_id.clone();
    let of_player = desk.read(move |db| Ok(rackets::find(db, &id, &known)?));
    let of_player = of_player.await.expect("the query runs").expect("a racket");
    let string_id = founded.rackets[0].string_id.clone();
    let spec = serde_json::json!({"pieces": "two",
        "mains": {"string": {"string_id": string_id}, "tension": {"value": "24", "unit": "kg"}},
        "crosses": {"string": {"name": "the player's own"}, "tension": {"value": "23", "unit": "kg"}}});
    let foreign = desk.write(&founded.coordinator, move |tx| {
        let facts = RacketFacts {
            player_id: of_player.player_id,
            frame_id: of_player.frame_id,
            label_code: None,
            record: weftdesk::desk::records::RacketRecord::default(),
        };
        let racket_id = register_racket(tx, facts)?.id;
        let one = HandIn {
            racket_id,
            spec: serde_json::from_value(spec).expect("a spec"),
            due: DueBy::Time(tx.now + TimeDelta::minutes(30)),
            purpose: None,
            not_before_at: None,
            wants_stringer_id: None,
            condition_ok: true,
            damage: Vec::new(),
            code: None,
            insist: None,
        };
        hand_in(tx, one)
    });
    let foreign = foreign.await.expect("it is taken in");
    let jobs = all_jobs(desk, founded).await;
    let held = jobs
        .iter()
        .find(|job| job.state == "waiting" && job.held_reason.is_none() && job.id != foreign.id);
    let held = held.expect("a job that waits").id.clone();
    let holding = desk.write(&founded.desk, move |tx| {
        hold_job(tx, &held, "a visitor's hold", None)
    });
    holding.await.expect("it is held");
    let strung = jobs.iter().find(|job| job.state == "on_machine" && !job.paused);
    let strung = strung.expect("a job on a machine").id.clone();
    let pausing = desk.write(&founded.stringer, move |tx| {
        pause_job(tx, &strung, "a visitor's pause")
    });
    pausing.await.expect("it is paused");
}
