//! The log as other systems read it, and whether the service is ready.
use serde_json::json;
use weftdesk::craft::roles::Role;
use weftdesk::desk::Caller;

use crate::harness::Harness;

async fn write_three(harness: &Harness) {
    let system = Caller::system(&harness.tournament);
    let written = harness.desk.write(&system, |tx| {
        for kind in ["job.ready", "racket.moved", "job.out"] {
            tx.emit(kind, "thing_1", &json!({}))?;
        }
        Ok(())
    });
    written.await.expect("events are written");
}

#[actix_web::test]
async fn the_pull_feed_reads_the_log_without_gaps_from_any_number() {
    let harness = Harness::start().await;
    write_three(&harness).await;
    let all = harness
        .get(Role::Runner, "/v1/events?limit=200")
        .await
        .expect(200);
    let items = all["items"].as_array().expect("items").clone();
    for (place, item) in items.iter().enumerate() {
        assert_eq!(item["sequence"], json!(place + 1));
    }
    assert_eq!(all["after"], all["newest"]);
    let newest = all["newest"].as_i64().expect("a number");
    let path = format!("/v1/events?after={}", newest - 3);
    let rest = harness.get(Role::Runner, &path).await.expect(200);
    assert_eq!(
        rest["items"].as_array().map(Vec::as_slice),
        items.get(items.len() - 3..)
    );
    let first = harness
        .get(Role::Runner, &format!("{path}&limit=1"))
        .await
        .expect(200);
    assert_eq!(first["after"], json!(newest - 2));
    assert_eq!(first["newest"], json!(newest));
}

#[actix_web::test]
async fn topics_leave_events_out_but_not_their_numbers() {
    let harness = Harness::start().await;
    write_three(&harness).await;
    let jobs = harness
        .get(Role::Desk, "/v1/events?limit=200&topics=jobs")
        .await
        .expect(200);
    let kinds: Vec<&str> = jobs["items"]
        .as_array()
        .expect("items")
        .iter()
        .filter_map(|item| item["type"].as_str())
        .collect();
    assert_eq!(kinds, ["weftdesk.job.ready", "weftdesk.job.out"]);
    assert_eq!(jobs["after"], jobs["newest"]);
}

#[actix_web::test]
async fn wrong_parameters_of_the_log_are_named() {
    let harness = Harness::start().await;
    for query in [
        "after=-1",
        "after=x",
        "limit=0",
        "limit=201",
        "topics=everything",
        "since=1",
    ] {
        let reply = harness.get(Role::Desk, &format!("/v1/events?{query}")).await;
        assert_eq!(reply.status, 400, "{query}: {}", reply.text);
    }
    for path in ["/v1/events", "/v1/stream"] {
        let unsigned = harness.ask(actix_web::test::TestRequest::get().uri(path)).await;
        assert_eq!(unsigned.status, 401, "{path}");
    }
}

#[actix_web::test]
async fn a_service_with_a_working_database_is_ready() {
    let harness = Harness::start().await;
    let ready = harness
        .ask(actix_web::test::TestRequest::get().uri("/readyz"))
        .await
        .expect(200);
    assert_eq!(ready["status"], "ready");
    for check in ["database", "migrations", "clock"] {
        assert_eq!(ready["checks"][check]["ok"], json!(true), "{check}");
    }
}

#[actix_web::test]
async fn a_desk_clock_behind_the_log_is_not_ready() {
    let harness = Harness::start().await;
    harness.pass_minutes(-2);
    let reply = harness
        .ask(actix_web::test::TestRequest::get().uri("/readyz"))
        .await;
    assert_eq!(reply.status, 503, "{}", reply.text);
    assert_eq!(reply.json["checks"]["clock"]["ok"], json!(false));
    assert_eq!(reply.json["checks"]["database"]["ok"], json!(true));
}
