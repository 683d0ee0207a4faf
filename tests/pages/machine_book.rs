//! A machine's checks are read and written down on a page of its own.
use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::browser::{behind, location, send};
use crate::day::{page, set_up, taken_by_station_1, with_a_racket};
use crate::harness::Harness;

/// The page that Setup leads to.
async fn book(harness: &Harness) -> String {
    let setup = page(harness, Role::Coordinator, "/setup").await;
    format!("/machines/{}", behind(&setup, "href=\"/machines/"))
}

/// Three pulls at 24 kg.
fn pulls(measured: [&str; 3]) -> Vec<(&str, &str)> {
    let [first, second, third] = measured;
    vec![
        ("unit", "kg"),
        ("nominal_1", "24"),
        ("measured_1_1", first),
        ("measured_1_2", second),
        ("measured_1_3", third),
    ]
}

#[actix_web::test]
async fn a_check_is_written_down_and_told_in_words() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let address = book(&harness).await;
    let shown = page(&harness, Role::Stringer, &address).await;
    assert!(
        shown.contains("It was not checked here yet.") && shown.contains("check due"),
        "{shown}"
    );
    let done = location(
        &send(
            &harness,
            Role::Stringer,
            &address,
            &pulls(["24,1", "24.0", "24.1"]),
        )
        .await,
    );
    let told = page(&harness, Role::Stringer, &done).await;
    // a mean error of 0.0667 with s = 0.0577: half interval 4.303 * 0.0577 / sqrt 3 = 0.143 (t(.975, 2) = 4.303)
    for words in [
        "within 0.5 kg",
        "At 24 kg it pulls 0.07 kg too much; with 95 % certainty it is off by −0.08 to +0.21.",
        "Set it to 23.93 kg to get 24 kg.",
        "24.1 at 24, 24 at 24, 24.1 at 24",
        "holds until Sun 04:00",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    // the next check begins with the same tension
    assert_eq!(
        behind(&told, "id=\"nominal_1\" name=\"nominal_1\" value=\""),
        "24"
    );
    let gone = location(&send(&harness, Role::Stringer, &format!("{address}/adjusted"), &[]).await);
    let told = page(&harness, Role::Stringer, &gone).await;
    assert!(
        told.contains("it was adjusted") && told.contains("check due"),
        "{told}"
    );
}

#[actix_web::test]
async fn wrong_readings_are_named_at_their_boxes_and_kept() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let address = book(&harness).await;
    for (fields, at, words) in [
        (pulls(["24", "much", "24"]), "measured_1_2", "is no number"),
        (
            pulls(["24", "24", ""]),
            "measured_1_3",
            "give at least 3, here are 2",
        ),
        (pulls(["24", "-24", "24"]), "measured_1_2", "must be above 0"),
        (
            [&pulls(["24", "24", "24"])[..], &[("nominal_1", "")]].concat(),
            "nominal_1",
            "Say what the machine was set to",
        ),
        (
            [&pulls(["24", "24", "24"])[..], &[("unit", "")]].concat(),
            "unit",
            "Choose the unit",
        ),
    ] {
        let refused = send(&harness, Role::Stringer, &address, &fields).await;
        assert_eq!(refused.status, 422, "{at}");
        let fault = refused
            .text
            .split(&format!("id=\"{at}-fault\""))
            .nth(1)
            .unwrap_or_default();
        assert!(fault.contains(words), "{words} at {at}: {}", refused.text);
    }
    assert!(
        page(&harness, Role::Stringer, &address)
            .await
            .contains("It was not checked here yet.")
    );
}

#[actix_web::test]
async fn the_bench_is_told_of_a_machine_that_failed_or_was_not_checked_and_where_to_check_it() {
    let (harness, _) = with_a_racket().await;
    let address = book(&harness).await;
    taken_by_station_1(&harness).await;
    let next = page(&harness, Role::Stringer, "/next-up").await;
    assert!(!next.contains(&address), "nobody asks for a check here");
    let settings = format!("/v1/tournaments/{}", harness.tournament);
    harness
        .patch_current(Role::Admin, &settings, json!({"require_cleared_machines": true}))
        .await
        .expect(200);
    let next = page(&harness, Role::Stringer, "/next-up").await;
    assert!(
        next.contains("M1 has no good check today") && next.contains(&format!("href=\"{address}\"")),
        "{next}"
    );
    location(
        &send(
            &harness,
            Role::Stringer,
            &address,
            &pulls(["22.9", "22.8", "22.9"]),
        )
        .await,
    );
    let next = page(&harness, Role::Stringer, "/next-up").await;
    assert!(next.contains("M1 failed its last check"), "{next}");
    let shown = page(&harness, Role::Desk, &address).await;
    assert!(shown.contains("off by more than 0.5 kg"), "{shown}");
    assert!(
        !shown.contains("name=\"measured_1_1\""),
        "the desk reads it alone"
    );
    assert_eq!(harness.get(Role::Runner, &address).await.status, 403);
    assert_eq!(
        send(&harness, Role::Desk, &address, &pulls(["24", "24", "24"]))
            .await
            .status,
        403
    );
    location(&send(&harness, Role::Stringer, &address, &pulls(["24.1", "24", "24.1"])).await);
    assert!(
        !page(&harness, Role::Stringer, "/next-up")
            .await
            .contains(&address)
    );
}
