//! How photos of marks go: by hand, or after the days the tournament sets; the story goes on telling of them.
use std::time::Duration;

use serde_json::{Value, json};
use weftdesk::craft::roles::Role;
use weftdesk::desk::{Caller, racket_photos};
use weftdesk::server::upkeep;

use crate::harness::Harness;
use crate::jobs::{ready, taken_in};
use crate::photos::{DOTS_PNG, DOTS_WEBP, address, kept, last, list};
use crate::wishes::given_back;

#[actix_web::test]
async fn a_removed_photo_is_gone_and_the_story_says_who_removed_it() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    let photo = kept(&harness, racket, DOTS_PNG).await;
    let refused = harness.delete(Role::Stringer, &address(&photo)).await;
    assert_eq!(refused.refusal(), (403, "role_forbidden"));
    assert_eq!(harness.delete(Role::Desk, &address(&photo)).await.status, 204);
    for reply in [
        harness.get(Role::Desk, &address(&photo)).await,
        harness.delete(Role::Desk, &address(&photo)).await,
    ] {
        assert_eq!(reply.refusal(), (404, "not_found"));
    }
    assert!(list(&harness, racket).await.is_empty());
    let story = harness
        .get(Role::Desk, &format!("/v1/rackets/{racket}/story"))
        .await
        .expect(200);
    let told = last(&story);
    assert_eq!(told["type"], "weftdesk.racket.photo_removed");
    assert_eq!(told["account_id"], json!(harness.accounts["desk"]));
    assert_eq!(
        told["data"],
        json!({"photo_id": photo["id"], "job_id": null, "place": null, "why": "by_hand"})
    );
}

#[actix_web::test]
async fn photos_go_by_themselves_after_the_days_the_tournament_sets() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    let settings = format!("/v1/tournaments/{}", harness.tournament);
    let days = |count: u32| json!({"photos_kept_days": count});
    let wrong = harness.patch_current(Role::Admin, &settings, days(0)).await;
    assert_eq!(wrong.first_pointer(), "/photos_kept_days");
    harness
        .patch_current(Role::Admin, &settings, days(10))
        .await
        .expect(200);
    let old = kept(&harness, racket, DOTS_PNG).await;
    harness.pass_minutes(9 * 24 * 60);
    let young = kept(&harness, racket, DOTS_WEBP).await;
    assert_eq!(forget(&harness).await, (false, 0));
    harness.pass_minutes(24 * 60 + 1);
    assert_eq!(forget(&harness).await, (true, 1));
    assert_eq!(forget(&harness).await, (false, 0));
    assert_eq!(harness.get(Role::Desk, &address(&old)).await.status, 404);
    assert_eq!(list(&harness, racket).await, [young]);
    let story = harness
        .get(Role::Desk, &format!("/v1/rackets/{racket}/story"))
        .await
        .expect(200);
    let told = last(&story);
    assert_eq!(
        (&told["type"], &told["data"]["why"], &told["account_id"]),
        (
            &json!("weftdesk.racket.photo_removed"),
            &json!("kept_long_enough"),
            &Value::Null
        )
    );
}

#[actix_web::test]
async fn photos_of_a_racket_at_the_desk_stay_and_the_days_count_from_its_leaving() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    let photo = kept(&harness, racket, DOTS_PNG).await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    // far longer than the thirty days that are set
    harness.pass_minutes(40 * DAY_MIN);
    assert_eq!(forget(&harness).await, (false, 0));
    given_back(&harness, &job).await;
    harness.pass_minutes(30 * DAY_MIN - 1);
    assert_eq!(forget(&harness).await, (false, 0));
    assert_eq!(list(&harness, racket).await, [photo]);
    harness.pass_minutes(2);
    assert_eq!(forget(&harness).await, (true, 1));
    assert!(list(&harness, racket).await.is_empty());
}

#[actix_web::test]
async fn the_service_looks_again_and_again_and_leaves_what_is_at_the_desk() {
    let (harness, fixture) = ready().await;
    let (gone, here) = (fixture.id("P1/1"), fixture.id("P1/2"));
    for racket in [gone, here] {
        kept(&harness, racket, DOTS_PNG).await;
    }
    taken_in(&harness, &fixture, "P1/2").await;
    let looks = upkeep::forget_old_photos(harness.desk.clone(), Duration::from_millis(20));
    let looks = actix_web::rt::spawn(looks);
    // the second time shows that the first look was not the last
    for file in [DOTS_PNG, DOTS_WEBP] {
        let mut bell = harness.desk.listen();
        if list(&harness, gone).await.is_empty() {
            kept(&harness, gone, file).await;
        }
        harness.pass_minutes(31 * DAY_MIN);
        let empty = async {
            while !list(&harness, gone).await.is_empty() {
                let _ = bell.recv().await;
            }
        };
        tokio::time::timeout(Duration::from_secs(10), empty)
            .await
            .expect("the photo goes by itself");
    }
    assert_eq!(list(&harness, here).await.len(), 1, "its racket is at the desk");
    looks.abort();
}

/// Minutes of a day.
const DAY_MIN: i64 = 24 * 60;

/// What the service does by itself from time to time: whether there was something to do, and how many went.
async fn forget(harness: &Harness) -> (bool, usize) {
    let (tournament, now) = (harness.tournament.clone(), harness.desk.clock().desk());
    let asked = tournament.clone();
    let read = harness
        .desk
        .read(move |db| racket_photos::some_are_old(db, &asked, now));
    let some = read.await.expect("a look");
    let system = Caller::system(&tournament);
    let gone = harness.desk.write(&system, racket_photos::forget_old).await;
    (some, gone.expect("they go"))
}
