//! Rain in the browser: what it moves, what it leaves, and that it is one cause on the wall, not a row for each racket.
use serde_json::{Value, json};

use crate::chromium::{TABLET, WALL};
use crate::screen::Screen;
use crate::tournament::Tournament;

const COURTS: [&str; 4] = ["C1", "C2", "C3", "C4"];
/// Whose second match of the day is on which court.
const SECOND: [(&str, &str); 4] = [("P1", "C1"), ("P2", "C2"), ("P3", "C3"), ("P6", "C4")];

/// Four courts of two matches each; the second follows the first.
fn order_of_play(tournament: &Tournament) -> Value {
    let courts: Vec<Value> = COURTS
        .iter()
        .map(|id| {
            json!({"id": id, "label": format!("Court {}", &id[1..]), "surface": "clay", "covered": false,
                         "opens": "10:00", "closes": "26:00"})
        })
        .collect();
    let mut matches = Vec::new();
    for (player, court) in SECOND {
        let number = &court[1..];
        let one = |seq: u32, start: Value, first: &str| {
            json!({"id": format!("M{number}{seq}"), "court": court, "seq": seq, "discipline": "tennis", "draw": "WS",
                   "round": "R16", "format": "bo3_tb", "start": start,
                   "sides": [[first], ["TBD"]]})
        };
        matches.push(one(1, json!({"rule": "starting_at", "time": "11:00"}), "TBD"));
        matches.push(one(2, json!({"rule": "followed_by"}), tournament.id(player)));
    }
    json!({"schema": "weftdesk.order_of_play/1", "tournament": "demo", "tzid": "Europe/Paris", "day": "2026-05-02",
           "version": 1, "defaults": {"warm_up_min": 8, "turnaround_min": 7, "rest_min": 30},
           "courts": courts, "matches": matches})
}

pub(crate) async fn enter_order(tournament: &Tournament) {
    let order = order_of_play(tournament);
    let (status, told) = tournament
        .admin
        .call("PUT", "/v1/order-of-play/2026-05-02", order)
        .await;
    assert!([200, 201].contains(&status), "{told}");
}

/// Enough for a racket of every player; the fixtures' own reels last for two.
pub(crate) async fn receive_string(tournament: &Tournament) {
    for string in ["SA", "SB"] {
        let reel = json!({"string_id": tournament.id(string), "kind": "reel_remainder", "length_mm": 200_000,
                          "label_code": format!("REEL-{string}-WHOLE-DAY")});
        tournament.admin.create("/v1/reels", reel).await;
    }
}

/// Takes a racket of the player in for their next match.
async fn for_next_match(tournament: &Tournament, player: &str) -> Value {
    let side = |string: &str| json!({"string": {"string_id": tournament.id(string)}, "tension": {"value": "24", "unit": "kg"}});
    let order = json!({
        "racket_id": tournament.id(&format!("{player}/1")),
        "spec": {"pieces": "two", "mains": side("SA"), "crosses": side("SB")},
        "purpose": "match", "follows_match": true,
        "condition": {"ok": true},
    });
    let (status, job) = tournament.admin.call("POST", "/v1/jobs", order).await;
    assert_eq!(status, 201, "{job}");
    job
}

async fn ready_by(tournament: &Tournament, job: &Value) -> String {
    let path = format!("/v1/jobs/{}", job["id"].as_str().expect("an id"));
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    now["due_at"].as_str().expect("a time").to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_rain_stop_of_two_of_four_courts_moves_the_chained_matches_leaves_the_others_and_shows_as_one_grouped_cause()
 {
    let tournament = Tournament::start().await;
    receive_string(&tournament).await;
    enter_order(&tournament).await;
    let mut jobs = Vec::new();
    for (player, _) in SECOND {
        jobs.push(for_next_match(&tournament, player).await);
    }
    let mut before = Vec::new();
    for job in &jobs {
        before.push(ready_by(&tournament, job).await);
    }
    let wall = tournament.screen("coordinator", WALL).await;
    wall.open("/wall?for=room").await;
    wall.reads(".live", "live").await;
    let bench = tournament.screen("stringer", TABLET).await;
    bench
        .open(&format!("/next-up?station={}", tournament.id("ST1")))
        .await;

    // five hours after the first matches would have begun
    let stop =
        json!({"courts": ["C1", "C2"], "reason": "rain", "expected_resume_at": "2026-05-02T14:00:00Z"});
    let (status, told) = tournament
        .admin
        .call("POST", "/v1/courts/actions/stop", stop)
        .await;
    assert_eq!(status, 200, "{told}");
    let took = wall.reads("#room", "rain on Court 1, Court 2").await;
    println!(
        "the stop is on the open wall {} ms after it was looked for",
        took.as_millis()
    );
    bench
        .reads("#next", "rain on Court 1, Court 2: 2 rackets wait on it.")
        .await;
    for ((job, before), (player, court)) in jobs.iter().zip(&before).zip(SECOND) {
        let after = ready_by(&tournament, job).await;
        if ["C1", "C2"].contains(&court) {
            assert!(&after > before, "{player} on {court}: {before} to {after}");
        } else {
            assert_eq!(&after, before, "{player} on {court}");
        }
    }
    one_row_tells_of_rain(&wall, &jobs).await;
    for screen in [wall, bench, tournament.admin] {
        screen.close().await;
    }
}

/// The rackets of the first two courts stand in one row, the others in rows of their own.
async fn one_row_tells_of_rain(wall: &Screen, jobs: &[Value]) {
    let rows = "return [...document.querySelectorAll('#room tbody tr')].map(row => row.innerText)";
    let rows = wall.run(rows, json!([])).await;
    let rows: Vec<&str> = rows
        .as_array()
        .expect("rows")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let of_rain: Vec<&&str> = rows.iter().filter(|row| row.contains("rain")).collect();
    assert_eq!(of_rain.len(), 1, "{rows:?}");
    for (place, job) in jobs.iter().enumerate() {
        let code = job["tag_code"].as_str().expect("a code");
        assert_eq!(of_rain[0].contains(code), place < 2, "{code}: {rows:?}");
        assert_eq!(
            rows.iter().filter(|row| row.contains(code)).count(),
            1,
            "{code}: {rows:?}"
        );
    }
}
