//! Lines of paper, entered after the power came back.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::craft::tag_code::TagCode;

use crate::fixture::Fixture;
use crate::harness::{Harness, Reply};
use crate::jobs::{ready, taken_in};

async fn reserved(harness: &Harness) -> String {
    let codes = harness
        .post(Role::Desk, "/v1/codes/reserve", json!({"count": 1}))
        .await;
    text(&codes.expect(201)["codes"][0])
}

fn text(value: &Value) -> String {
    value.as_str().expect("a text").to_owned()
}

fn line(time: &str, code: &str, line: Value) -> Value {
    json!({"written_at": format!("2026-05-02T{time}:00Z"), "code": code, "line": line})
}

async fn send(harness: &Harness, lines: &[Value], preview: bool) -> Reply {
    let table = json!({"lines": lines, "preview": preview});
    harness.post(Role::Desk, "/v1/catch-up", table).await
}

async fn events_of(harness: &Harness, job: &str) -> Vec<Value> {
    let page = harness.get(Role::Desk, "/v1/events?limit=200").await.expect(200);
    let all = page["items"].as_array().expect("a list").iter();
    all.filter(|event| event["subject"] == job).cloned().collect()
}

/// An hour and a half on paper, in no order: one racket that was in before, one that came on paper.
fn paper(fixture: &Fixture, known: &str, fresh: &str) -> Vec<Value> {
    let station = fixture.id("ST1");
    vec![
        line(
            "09:30",
            known,
            json!({"what": "out", "to": "coach, showed the ticket"}),
        ),
        line(
            "08:40",
            fresh,
            json!({"what": "taken_in", "racket_id": fixture.id("P1/2"), "wish": "25/24 kg",
                   "due_at": "2026-05-02T12:00:00Z", "condition_ok": true}),
        ),
        line("08:35", known, json!({"what": "started", "station_id": station})),
        line("09:00", known, json!({"what": "strung"})),
        line("08:47", known, json!({"what": "mains_done"})),
        line("09:05", fresh, json!({"what": "started", "station_id": station})),
        line("09:05", known, json!({"what": "checked"})),
        line("09:35", fresh, json!({"what": "strung"})),
    ]
}

#[actix_web::test]
async fn d16_lines_of_paper_are_entered_in_their_order_and_keep_both_times() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let (known, fresh) = (text(&job["tag_code"]), reserved(&harness).await);
    harness.pass_minutes(120);
    let lines = paper(&fixture, &known, &fresh);

    let before = events_of(&harness, &text(&job["id"])).await.len();
    let seen = send(&harness, &lines, true).await.expect(200);
    assert_eq!(seen["lines"][0]["state"], "out", "{seen}");
    assert_eq!(
        events_of(&harness, &text(&job["id"])).await.len(),
        before,
        "only looked at"
    );

    let done = send(&harness, &lines, false).await.expect(200);
    let states: Vec<&Value> = done["lines"]
        .as_array()
        .expect("lines")
        .iter()
        .map(|one| &one["state"])
        .collect();
    let expected = [
        "out",
        "waiting",
        "on_machine",
        "checking",
        "on_machine",
        "on_machine",
        "ready",
        "checking",
    ];
    assert_eq!(states, expected, "{done}");

    let path = format!("/v1/jobs/by-code/{fresh}");
    let second = harness.get(Role::Desk, &path).await.expect(200);
    assert_eq!(second["received_at"], "2026-05-02T08:40:00Z");
    assert_eq!(second["spec"]["mains"]["tension"]["value"], "25", "as written");
    assert_eq!(
        second["spec"]["crosses"]["string"]["name"], "String B",
        "as last time"
    );
    assert_eq!(second["flags"]["recorded_late"], true, "{second}");
    both_times_are_kept(&harness, &text(&job["id"]), &text(&second["id"])).await;
}

async fn both_times_are_kept(harness: &Harness, known: &str, fresh: &str) {
    for (job, kind, written) in [
        (known, "weftdesk.job.started", "08:35"),
        (known, "weftdesk.job.out", "09:30"),
        (fresh, "weftdesk.job.received", "08:40"),
    ] {
        let events = events_of(harness, job).await;
        let event = events
            .iter()
            .find(|event| event["type"] == kind)
            .expect("the event");
        assert!(
            text(&event["devicetime"]).starts_with(&format!("2026-05-02T{written}:00")),
            "{event}"
        );
        assert!(
            text(&event["time"]).starts_with("2026-05-02T10:00:00"),
            "entered: {event}"
        );
        assert!(event["data"]["on_paper"].is_string(), "{event}");
    }
}

#[actix_web::test]
async fn d16_a_line_entered_twice_is_entered_once() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let (known, fresh) = (text(&job["tag_code"]), reserved(&harness).await);
    harness.pass_minutes(120);
    let mut lines = paper(&fixture, &known, &fresh);
    // the same line of one sheet copied twice
    lines.push(lines[3].clone());
    let done = send(&harness, &lines, false).await.expect(200);
    assert_eq!(done["lines"][8]["known"], true, "{done}");
    let count = events_of(&harness, &text(&job["id"])).await.len();

    let again = send(&harness, &lines, false).await.expect(200);
    let all = again["lines"].as_array().expect("lines");
    assert!(all.iter().all(|one| one["known"] == true), "{again}");
    assert_eq!(events_of(&harness, &text(&job["id"])).await.len(), count);
}

#[actix_web::test]
async fn d16_every_faulty_line_says_why_and_then_none_is_entered() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let (known, fresh) = (text(&job["tag_code"]), reserved(&harness).await);
    harness.pass_minutes(60);
    let unreserved = TagCode::from_number(123_456).as_str().to_owned();
    let strung = json!({"what": "strung"});
    let take_in = |racket: &str| json!({"what": "taken_in", "racket_id": fixture.id(racket), "due_at": "2026-05-02T12:00:00Z"});
    let lines = [
        line(
            "08:30",
            &known,
            json!({"what": "started", "station_id": fixture.id("ST1")}),
        ),
        // nobody started it
        line("08:40", &unreserved, take_in("P1/2")),
        line("08:45", &unreserved, strung.clone()),
        line("09:30", &fresh, take_in("P1/3")),
        line("07:10", &known, json!({"what": "mains_done"})),
        line("08:50", "K7M4Z", strung.clone()),
    ];
    let reply = send(&harness, &lines, false).await;
    assert_eq!(reply.status, 422, "{}", reply.text);
    let errors: Vec<(String, String)> = reply.json["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .map(|one| (text(&one["pointer"]), text(&one["code"])))
        .collect();
    let expected = [
        ("/lines/0/code", "hangs_on_another"),
        ("/lines/1/code", "unknown_reference"),
        ("/lines/2/code", "hangs_on_another"),
        ("/lines/3/written_at", "out_of_range"),
        ("/lines/4/written_at", "out_of_range"),
        ("/lines/5/code", "check_the_code"),
    ];
    let expected: Vec<(String, String)> = expected
        .into_iter()
        .map(|(at, code)| (at.to_owned(), code.to_owned()))
        .collect();
    assert_eq!(errors, expected, "{}", reply.text);
    let path = format!("/v1/jobs/{}", text(&job["id"]));
    let now = harness.get(Role::Desk, &path).await.expect(200);
    assert_eq!(now["state"], "waiting", "all or none");
}
