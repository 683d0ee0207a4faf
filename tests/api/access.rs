//! Who may do what: every role at every operation of the API document, both ways.
//!
//! A role that may gets past 401 and 403 (an empty body is then refused for its
//! shape); one that may not gets 403. An operation without a row fails.
use std::collections::BTreeSet;

use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::api;
use weftdesk::craft::roles::Role;

use crate::fixtures::{self, Fixtures};
use crate::harness::Harness;

mod rows;

use Role::{Admin, Coordinator, Desk};
use rows::{EVERYBODY, ROWS};

/// Operations for which one need not be signed in.
const OPEN: [&str; 2] = ["POST /v1/sessions", "POST /v1/sessions/current/refresh"];

/// The stream never ends, so its body can't be read here: `events.rs` opens it.
const ENDLESS: [&str; 1] = ["GET /v1/stream"];

#[test]
fn every_operation_of_the_document_has_one_row() {
    let mut rows: Vec<&str> = ROWS.iter().map(|(operation, _)| *operation).collect();
    rows.extend(OPEN);
    rows.extend(ENDLESS);
    let as_set: BTreeSet<String> = rows.iter().map(|row| (*row).to_owned()).collect();
    assert_eq!(as_set.len(), rows.len(), "a row stands twice");
    assert_eq!(as_set, operations());
}

#[actix_web::test]
async fn every_role_gets_exactly_as_far_as_its_row_says() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let device = json!({"name": "Tablet", "kind": "tablet"});
    let device = harness.post(Admin, "/v1/devices", device).await.created_id();
    let work = Work::done(&harness, &entered).await;
    let shifts = format!("/v1/shifts/{DAY_OF_PLAY}");
    harness
        .put(Coordinator, &shifts, "\"0\"", json!({"shifts": []}))
        .await
        .expect(201);
    for (operation, may) in ROWS {
        let (method, template) = operation.split_once(' ').expect("method and address");
        for role in EVERYBODY {
            let address = filled(template, &harness, &entered, &device, &work).await;
            let request = harness.signed(method_of(method), role, &address);
            let reply = harness.ask(emptily(request, &harness, method)).await;
            let let_in = !matches!(reply.status, 401 | 403);
            assert!(
                reply.status != 404 && reply.status < 500,
                "{operation} as {role}: {}",
                reply.text
            );
            assert_eq!(
                let_in,
                may.contains(&role),
                "{operation} as {role} got {}",
                reply.status
            );
        }
    }
}

#[actix_web::test]
async fn nobody_gets_in_without_a_token() {
    let harness = Harness::start().await;
    for (operation, _) in ROWS {
        let (method, template) = operation.split_once(' ').expect("method and address");
        let request = actix_web::test::TestRequest::with_uri(
            &template
                .replace("{id}", "x")
                .replace("{code}", "x")
                .replace("{date}", DAY_OF_PLAY)
                .replace("{name}", "hold"),
        );
        let request = emptily(request.method(method_of(method)), &harness, method);
        let reply = harness.ask(request).await;
        assert_eq!(reply.refusal(), (401, "not_signed_in"), "{operation}");
    }
}

#[actix_web::test]
async fn what_belongs_to_another_tournament_is_not_there() {
    let harness = Harness::start().await;
    let entered = fixtures::enter(&harness).await;
    let device = json!({"name": "Tablet", "kind": "tablet"});
    let device = harness.post(Admin, "/v1/devices", device).await.created_id();
    let work = Work::done(&harness, &entered).await;
    let other = crate::harness::found(&harness.desk, "Second Open").await;
    for (operation, _) in ROWS.iter().filter(|(operation, _)| operation.contains("{id}")) {
        let (method, template) = operation.split_once(' ').expect("method and address");
        let address = filled(template, &harness, &entered, &device, &work).await;
        let token = harness.token_in(&other, Admin);
        let request = actix_web::test::TestRequest::with_uri(&address)
            .method(method_of(method))
            .insert_header(("Authorization", format!("Bearer {token}")));
        let reply = harness.ask(emptily(request, &harness, method)).await;
        assert_eq!(reply.refusal(), (404, "not_found"), "{operation}");
    }
}

fn emptily(
    request: actix_web::test::TestRequest,
    harness: &Harness,
    method: &str,
) -> actix_web::test::TestRequest {
    match method {
        "GET" | "DELETE" => request,
        "PATCH" => request
            .set_json(json!({"no_such_member": 1}))
            .insert_header(("Content-Type", "application/merge-patch+json")),
        _ => request
            .set_json(json!({}))
            .insert_header(("Idempotency-Key", harness.fresh_key())),
    }
}

fn method_of(name: &str) -> Method {
    Method::from_bytes(name.as_bytes()).expect("a method")
}

/// Ids of what only work at the desk makes: a job, a hand-out, a snag.
struct Work {
    job: String,
    code: String,
    pickup: String,
    snag: String,
}

impl Work {
    async fn done(harness: &Harness, entered: &Fixtures) -> Self {
        let first = hand_in(harness, entered, &entered.rackets["P1"][0]).await;
        let pickup = handed_out(harness, &first).await;
        let job = hand_in(harness, entered, &entered.rackets["P1"][1]).await;
        hand_in(harness, entered, &entered.rackets["P4"][0]).await;
        let address = format!("/v1/order-of-play/{DAY_OF_PLAY}");
        let put = harness
            .signed(Method::PUT, Coordinator, &address)
            .set_json(one_match());
        harness.ask(put).await.expect(201);
        // the frame of that last racket has no pattern on record, which opens a snag
        let snags = harness.get(Desk, "/v1/snags").await.expect(200);
        Self {
            job: text(&job["id"]),
            code: text(&job["tag_code"]),
            pickup,
            snag: text(&snags[0]["id"]),
        }
    }
}

fn text(value: &Value) -> String {
    value.as_str().expect("a text").to_owned()
}

const DAY_OF_PLAY: &str = "2026-05-02";

/// An order of play of one match.
fn one_match() -> Value {
    json!({
        "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": DAY_OF_PLAY, "version": 1,
        "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false}],
        "matches": [{"id": "M1", "court": "C1", "seq": 1, "format": "bo3_tb", "draw": "WS",
            "start": {"rule": "not_before", "time": "14:00"}, "sides": [["TBD"], ["TBD"]]}],
    })
}

async fn hand_in(harness: &Harness, entered: &Fixtures, racket: &str) -> Value {
    let string = |value: &str| json!({"string": {"string_id": entered.strings["SA"]}, "tension": {"value": value, "unit": "kg"}});
    let body = json!({
        "racket_id": racket,
        "spec": {"pieces": "two", "mains": string("24"), "crosses": string("23")},
        "due_at": "2026-05-02T12:00:00Z",
        "condition": {"ok": true},
    });
    harness.post(Desk, "/v1/jobs", body).await.expect(201)
}

/// Given out by court release, so that only an undo is left to be refused.
async fn handed_out(harness: &Harness, job: &Value) -> String {
    use weftdesk::desk::hand_out::{HandOut, Proof};
    let (id, tag) = (text(&job["id"]), text(&job["tag_code"]));
    let who =
        weftdesk::desk::Caller::account(&harness.tournament, &harness.accounts["coordinator"], Coordinator);
    let second = harness.accounts["desk"].clone();
    let made = harness.desk.write(&who, move |tx| {
        use weftdesk::desk::check_racket::{Points, pass_job, record_check, strung};
        let station = weftdesk::desk::reads::stations::all(tx.db, tx.tournament())?.remove(0);
        let stringer = weftdesk::desk::reads::stringers::all(tx.db, tx.tournament())?.remove(0);
        weftdesk::desk::shifts::open_station(tx, &station.id, &stringer.id)?;
        let start = weftdesk::desk::start_job::StartJob {
            station_id: Some(station.id.clone()),
            tag: tag.clone(),
            mains: Some("String A".to_owned()),
            crosses: Some("String A".to_owned()),
        };
        weftdesk::desk::start_job::start_job(tx, &id, &start)?;
        strung(tx, &id)?;
        record_check(
            tx,
            &id,
            Points {
                weave: true,
                tie_offs: true,
                grommets: true,
            },
        )?;
        pass_job(tx, &id, None)?;
        let proof = Proof::SecondPerson {
            reason: "known".to_owned(),
            account_id: second,
        };
        let out = HandOut {
            job_ids: vec![id],
            tags: vec![tag],
            proof,
            collector: None,
        };
        weftdesk::desk::hand_out::hand_out(tx, &out)
    });
    made.await.expect("the racket goes out").id
}

async fn filled(template: &str, harness: &Harness, entered: &Fixtures, device: &str, work: &Work) -> String {
    if template == "/v1/photos/{id}" {
        let photo = crate::photos::some_photo(harness, &entered.rackets["P1"][0]).await;
        return format!("/v1/photos/{photo}");
    }
    let id = match template.split('/').nth(2) {
        Some("tournaments") => &harness.tournament,
        Some("devices") => device,
        Some("frames") => &entered.frames["F1"],
        Some("strings") => &entered.strings["SA"],
        Some("reels") => &entered.reels["SA"],
        Some("players") => &entered.players["P1"],
        Some("rackets") => &entered.rackets["P1"][0],
        Some("machines") => &entered.machines["M1"],
        Some("stations") => &entered.stations["M1"],
        Some("stringers") => &entered.stringers["W1"],
        Some("jobs") => &work.job,
        Some("pickups") => &work.pickup,
        Some("snags") => &work.snag,
        Some("matches") => "M1",
        _ => "",
    };
    template
        .replace("{id}", id)
        .replace("{code}", &work.code)
        .replace("{name}", "hold")
        .replace("{date}", DAY_OF_PLAY)
}

/// `METHOD /address` of everything under `/v1` in the API document.
fn operations() -> BTreeSet<String> {
    let text = api::openapi::text().expect("the document is plain data");
    let document: Value = serde_json::from_str(&text).expect("the document is JSON");
    let paths = document["paths"].as_object().expect("paths");
    let methods = ["get", "put", "post", "patch", "delete"];
    paths
        .iter()
        .filter(|(address, _)| address.starts_with("/v1"))
        .flat_map(|(address, item)| {
            methods
                .into_iter()
                .filter(|method| item.get(*method).is_some())
                .map(move |method| format!("{} {address}", method.to_uppercase()))
        })
        .collect()
}
