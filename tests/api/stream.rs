//! The live stream over HTTP: what a listener reads, and where it goes on.
use serde_json::{Value, json};
use weftdesk::api::stream::HEARTBEAT;
use weftdesk::craft::roles::Role;

use crate::jobs::{act, ready, strung, taken_in};

/// The log numbers and the data of the events in a piece of the stream.
fn events(text: &str) -> Vec<(i64, Value)> {
    let frames = text.split("\n\n").filter(|frame| frame.starts_with("id: "));
    frames
        .map(|frame| {
            let line = |name: &str| {
                let line = frame.lines().find_map(|line| line.strip_prefix(name));
                line.expect("the frame has this line")
            };
            let data = serde_json::from_str(line("data: ")).expect("the data are JSON");
            (line("id: ").parse().expect("a log number"), data)
        })
        .collect()
}

#[actix_web::test]
async fn d13_the_stream_counts_by_one_and_goes_on_where_a_listener_left_off() {
    let (harness, fixture) = ready().await;
    strung(&harness, &fixture, "P1/1").await;
    let feed = harness
        .get(Role::Coordinator, "/v1/events?limit=1")
        .await
        .expect(200);
    let newest = feed["newest"].as_i64().expect("a number");
    let all = usize::try_from(newest).expect("small");
    let (head, text) = harness
        .listen(Role::Coordinator, "/v1/stream?after=0", None, all)
        .await;
    assert!(head.contains("text/event-stream"), "{head}");
    assert!(text.starts_with("retry: 3000\n\n"), "{text}");
    let numbers: Vec<i64> = events(&text).iter().map(|(number, _)| *number).collect();
    assert_eq!(numbers, (1..=newest).collect::<Vec<_>>(), "ids rise by 1");
    let (_, missed) = harness
        .listen(Role::Coordinator, "/v1/stream", Some(newest - 4), 4)
        .await;
    assert_eq!(
        events(&missed),
        events(&text)[all - 4..],
        "what was missed comes again, the same"
    );
    let pulled = format!("/v1/events?after={}&limit=200", newest - 4);
    let pulled = harness.get(Role::Coordinator, &pulled).await.expect(200);
    let data: Vec<Value> = events(&missed).into_iter().map(|(_, data)| data).collect();
    assert_eq!(pulled["items"], json!(data), "stream and pull feed tell the same");
    assert_eq!(HEARTBEAT.as_secs(), 15);
}

#[actix_web::test]
async fn d13_topics_narrow_the_stream_and_thin_events_carry_no_spec() {
    let (harness, fixture) = ready().await;
    let mut body = fixture.hand_in("P1/1", ("24.7", "kg"), ("23.3", "kg"));
    body["spec"]["note"] = json!("softer than last week");
    let job = harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    act(
        &harness,
        Role::Desk,
        &job,
        "hold",
        json!({"reason": "waits for the coach"}),
    )
    .await
    .expect(200);
    taken_in(&harness, &fixture, "P1/2").await;
    let (_, jobs) = harness
        .listen(Role::Coordinator, "/v1/stream?after=0&topics=jobs", None, 3)
        .await;
    let kinds: Vec<String> = events(&jobs)
        .iter()
        .filter_map(|(_, data)| data["type"].as_str().map(str::to_owned))
        .collect();
    assert_eq!(
        kinds,
        [
            "weftdesk.job.received",
            "weftdesk.job.held",
            "weftdesk.job.received"
        ]
    );
    let feed = harness
        .get(Role::Coordinator, "/v1/events?limit=200")
        .await
        .expect(200);
    let log = feed.to_string();
    for secret in ["24.7", "23.3", "String A", "softer than last week", "tension"] {
        assert!(!log.contains(secret), "{secret} is in a thin event");
    }
}
