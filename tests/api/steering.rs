//! Holding, rushing and moving jobs; long lists of them.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::Harness;
use crate::jobs::{KG, act, path, ready, taken_in};

async fn next_at(harness: &Harness, fixture: &Fixture, station: &str) -> Value {
    let address = format!("/v1/stations/{}/next", fixture.id(station));
    harness.get(Role::Coordinator, &address).await.expect(200)
}

async fn pull(harness: &Harness, fixture: &Fixture, station: &str) -> Value {
    let address = format!("/v1/stations/{}/actions/pull", fixture.id(station));
    harness
        .post(Role::Coordinator, &address, json!({}))
        .await
        .expect(200)
}

async fn due(harness: &Harness, fixture: &Fixture, racket: &str, due_at: &str) -> Value {
    let mut body = fixture.hand_in(racket, KG, KG);
    body["due_at"] = json!(due_at);
    harness.post(Role::Desk, "/v1/jobs", body).await.expect(201)
}

#[actix_web::test]
async fn d07_a_hold_hides_a_job_and_a_release_puts_it_back_in_its_place() {
    let (harness, fixture) = ready().await;
    let early = due(&harness, &fixture, "P1/1", "2026-05-02T10:00:00Z").await;
    let late = due(&harness, &fixture, "P1/2", "2026-05-02T14:00:00Z").await;
    let shown = next_at(&harness, &fixture, "ST1").await.to_string();
    let early_id = early["id"].as_str().expect("an id");
    assert!(shown.contains(early_id), "{shown}");
    let hold = json!({"reason": "the player asks again"});
    let held = act(&harness, Role::Desk, &early, "hold", hold).await.expect(200);
    assert_eq!(held["flags"]["held"]["reason"], "the player asks again");
    assert_eq!(held["state"], "waiting");
    let pulled = pull(&harness, &fixture, "ST1").await;
    assert_eq!(pulled["id"], late["id"], "a held job is not pulled");
    act(&harness, Role::Desk, &early, "release", json!({}))
        .await
        .expect(200);
    let latest = due(&harness, &fixture, "P1/3", "2026-05-02T13:00:00Z").await;
    let pulled = pull(&harness, &fixture, "ST2").await;
    assert_eq!(pulled["id"], early["id"], "its ready-by is the earliest again");
    assert_ne!(pulled["id"], latest["id"]);
}

#[actix_web::test]
async fn d07_a_rush_goes_first_and_the_desk_rushes_only_for_the_court() {
    let (harness, fixture) = ready().await;
    due(&harness, &fixture, "P1/1", "2026-05-02T10:00:00Z").await;
    let late = due(&harness, &fixture, "P1/2", "2026-05-02T14:00:00Z").await;
    let refused = act(&harness, Role::Desk, &late, "rush", json!({"level": "rush"})).await;
    assert_eq!(refused.refusal(), (403, "role_forbidden"));
    let rushed = act(&harness, Role::Desk, &late, "rush", json!({"level": "court"})).await;
    assert_eq!(rushed.expect(200)["flags"]["rush"], "court");
    let why = harness
        .get(Role::Coordinator, &path(&late, "/why"))
        .await
        .expect(200);
    assert_eq!(why["ahead"], 0, "{why}");
    let pulled = pull(&harness, &fixture, "ST1").await;
    assert_eq!(pulled["id"], late["id"]);
}

#[actix_web::test]
async fn d07_a_job_moves_to_a_free_station_at_once_and_to_a_busy_one_as_its_next() {
    let (harness, fixture) = ready().await;
    let first = taken_in(&harness, &fixture, "P1/1").await;
    let second = taken_in(&harness, &fixture, "P1/2").await;
    let to = |station: &str| json!({"station_id": fixture.id(station)});
    let moved = act(&harness, Role::Coordinator, &first, "assign", to("ST2"))
        .await
        .expect(200);
    assert_eq!(
        (&moved["state"], &moved["station_id"]),
        (&json!("assigned"), &json!(fixture.id("ST2")))
    );
    let moved = act(&harness, Role::Coordinator, &second, "assign", to("ST2"))
        .await
        .expect(200);
    assert_eq!(moved["state"], "waiting");
    assert_eq!(moved["pinned_station_id"], fixture.id("ST2"));
    let again = act(&harness, Role::Coordinator, &first, "assign", to("ST1")).await;
    assert_eq!(
        again.refusal(),
        (409, "action_not_allowed"),
        "its place is taken away first"
    );
    let back = json!({"reason": "moved to another station"});
    act(&harness, Role::Coordinator, &first, "unassign", back)
        .await
        .expect(200);
    let moved = act(&harness, Role::Coordinator, &first, "assign", to("ST1"))
        .await
        .expect(200);
    assert_eq!(moved["station_id"], fixture.id("ST1"));
    let pulled = pull(&harness, &fixture, "ST2").await;
    assert_eq!(pulled["id"], second["id"], "what is pinned comes first");
}

async fn many_jobs(harness: &Harness, fixture: &Fixture, count: usize) {
    for number in 0..count {
        let racket = json!({"player_id": fixture.id("P1"), "frame_id": fixture.id("F1"), "number": number.to_string()});
        let racket = harness.post(Role::Desk, "/v1/rackets", racket).await.created_id();
        let mut body = fixture.hand_in("P1/1", KG, KG);
        body["racket_id"] = json!(racket);
        harness.post(Role::Desk, "/v1/jobs", body).await.expect(201);
    }
}

fn ids(page: &Value) -> Vec<String> {
    let items = page["items"].as_array().expect("items");
    let id = |item: &Value| item["id"].as_str().expect("an id").to_owned();
    items.iter().map(id).collect()
}

#[actix_web::test]
async fn d12_a_hundred_and_twenty_jobs_come_in_three_pages_while_more_are_added() {
    let (harness, fixture) = ready().await;
    many_jobs(&harness, &fixture, 120).await;
    let mut address = "/v1/jobs?limit=50".to_owned();
    let mut seen: Vec<String> = Vec::new();
    let mut sizes = Vec::new();
    loop {
        let page = harness.get(Role::Desk, &address).await;
        let link = page.header("Link").to_owned();
        let body = page.expect(200);
        sizes.push(ids(&body).len());
        seen.extend(ids(&body));
        if sizes.len() == 1 {
            // taken in meanwhile: it comes last and moves nothing
            taken_in(&harness, &fixture, "P1/2").await;
        }
        let Some((next, _)) = link.split_once(">; rel=\"next\"") else {
            break;
        };
        address = next.trim_start_matches('<').to_owned();
    }
    assert_eq!(sizes, [50, 50, 21]);
    let distinct: std::collections::BTreeSet<&String> = seen.iter().collect();
    assert_eq!(distinct.len(), 121, "no job comes twice and none is left out");
}

#[actix_web::test]
async fn d12_lists_are_narrowed_by_state_and_ready_by() {
    let (harness, fixture) = ready().await;
    let early = due(&harness, &fixture, "P1/1", "2026-05-02T10:00:00Z").await;
    let late = due(&harness, &fixture, "P1/2", "2026-05-02T14:00:00Z").await;
    let before = harness
        .get(Role::Desk, "/v1/jobs?due_before=2026-05-02T12:00:00Z")
        .await;
    assert_eq!(ids(&before.expect(200)), [early["id"].as_str().expect("an id")]);
    pull(&harness, &fixture, "ST1").await;
    let waiting = harness
        .get(Role::Desk, "/v1/jobs?state=waiting")
        .await
        .expect(200);
    assert_eq!(ids(&waiting), [late["id"].as_str().expect("an id")]);
    let both = harness
        .get(Role::Desk, "/v1/jobs?state=waiting,assigned&count=true")
        .await;
    assert_eq!(both.expect(200)["count"], 2);
    let unknown = harness.get(Role::Desk, "/v1/jobs?state=lost").await;
    assert_eq!(unknown.status, 400);
}
