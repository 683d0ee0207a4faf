//! What the plan makes of published shifts: nothing after their end, and stations that are still to come.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role::Coordinator;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::ready;
use crate::schedule::{four_jobs, jobs_in, lanes, planned};

async fn close(harness: &Harness, fixture: &Fixture, station: &str) {
    let address = format!("/v1/stations/{}/actions/close", fixture.id(station));
    harness.post(Coordinator, &address, json!({})).await.expect(200);
}

fn lane<'a>(schedule: &'a Value, station: &str) -> Option<&'a Vec<Value>> {
    let lane = lanes(schedule)
        .iter()
        .find(|lane| lane["station_id"] == station)?;
    lane["jobs"].as_array()
}

/// When a job's stringing ends, before its check.
fn strung_at(job: &Value) -> String {
    let ready_at: chrono::DateTime<chrono::Utc> = job["ready_at"]
        .as_str()
        .and_then(|at| at.parse().ok())
        .expect("a time");
    let check_s = job["check_s"].as_i64().expect("seconds");
    (ready_at - chrono::TimeDelta::seconds(check_s)).to_rfc3339()
}

#[actix_web::test]
async fn nothing_is_planned_after_a_shift_and_what_is_left_waits_for_the_next_one() {
    // it is ten in Paris
    let (harness, fixture) = ready().await;
    close(&harness, &fixture, "ST2").await;
    close(&harness, &fixture, "ST3").await;
    four_jobs(&harness, &fixture).await;
    let before = planned(&harness).await;
    assert_eq!(lanes(&before).len(), 1, "{before}");
    assert_eq!(lane(&before, fixture.id("ST1")).map(Vec::len), Some(4));

    let shift = |station: &str, who: &str, from: &str, to: &str| json!({"station_id": fixture.id(station), "stringer_id": fixture.id(who), "from": from, "to": to});
    let shifts = json!({"shifts": [
        shift("ST1", "W1", "07:30", "11:00"),
        shift("ST2", "W2", "12:00", "20:00"),
        // closed in the middle of it: somebody went off, and the plan does not count on them
        shift("ST3", "W3", "08:00", "20:00"),
    ]});
    let published = harness
        .put(Coordinator, "/v1/shifts/2026-05-02", "\"0\"", shifts)
        .await;
    published.expect(201);
    let after = planned(&harness).await;
    let (early, late) = (
        lane(&after, fixture.id("ST1")).expect("it is open"),
        lane(&after, fixture.id("ST2")).expect("it opens at noon"),
    );
    assert_eq!(lane(&after, fixture.id("ST3")), None);
    assert!(!early.is_empty() && !late.is_empty(), "{after}");
    assert_eq!(jobs_in(&after).len(), 4);
    for job in early {
        assert!(strung_at(job).as_str() <= "2026-05-02T09:00:00", "{job}");
    }
    for job in late {
        let from = job["start_at"].as_str().expect("a time");
        assert!(
            ("2026-05-02T10:00:00".."2026-05-02T18:00:00").contains(&from),
            "{job}"
        );
    }
}
