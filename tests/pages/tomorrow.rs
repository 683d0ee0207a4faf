//! Tomorrow: played from the order of play, on a thread of its own.
use std::time::Duration;

use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::browser::{location, send};
use crate::day::{page, set_up, with_a_racket};
use crate::harness::Harness;

const ORDER: &str = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n\
    2026-05-03,C1,1,M1,bo3_tb,starting_at,11:00,P1,P2\n\
    2026-05-03,C1,2,M2,bo3_tb,followed_by,,P3,P4\n\
    2026-05-03,C1,3,M3,bo3_tb,not_before,15:00,W:M1,W:M2\n\
    2026-05-03,C2,1,M4,dbl_noad_mtb10,starting_at,11:00,P5+P6,P7+P8\n";

async fn with_order(harness: &Harness) {
    for badge in ["P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8"] {
        let player = json!({"name": {"display": format!("Example {badge}")}, "badge": badge});
        harness.post(Role::Desk, "/v1/players", player).await.expect(201);
    }
    let fields = [("day", "2026-05-03"), ("text", ORDER), ("do", "apply")];
    location(&send(harness, Role::Coordinator, "/court-times", &fields).await);
}

/// The page once the day is played; it says by when that will be, at most twenty seconds ahead.
async fn played(harness: &Harness, path: &str) -> String {
    for _ in 0..200 {
        let shown = page(harness, Role::Coordinator, path).await;
        if !shown.contains("The day is being played") {
            return shown;
        }
        // the answer is waited for by the page itself, which gives up sooner than a slow machine plays
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    String::new()
}

#[actix_web::test]
async fn the_next_day_is_played_with_fewer_and_more_stations() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    with_order(&harness).await;
    let path = "/tomorrow?day=2026-05-03&stations=2";
    let shown = played(&harness, path).await;
    for words in [
        "4 matches",
        "2 chosen",
        "With 2 stations",
        "Erlang",
        "Stations at work",
        "rackets are ready when due",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(shown.matches("<svg class=\"chart\"").count() == 4, "{shown}");
    assert!(shown.contains("stations=3") && shown.contains("stations=1"));
    let again = page(&harness, Role::Coordinator, path).await;
    assert!(!again.contains("being played"), "an answer is kept");
}

#[actix_web::test]
async fn what_is_asked_of_each_string_stands_against_the_stock() {
    let (harness, _) = with_a_racket().await;
    let player = {
        let tournament = harness.tournament.clone();
        let read = harness.desk.read(move |db| {
            let found = weftdesk::desk::find::find(db, &tournament, "example")?;
            Ok::<_, weftdesk::desk::DeskError>(found.players[0].id.clone())
        });
        read.await.expect("the player is found")
    };
    let decided_later = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n\
        2026-05-03,C1,1,M1,bo3_tb,starting_at,11:00,PLAYER,TBD\n";
    let order = decided_later.replace("PLAYER", &player);
    let fields = [("day", "2026-05-03"), ("text", order.as_str()), ("do", "apply")];
    location(&send(&harness, Role::Coordinator, "/court-times", &fields).await);
    let shown = played(&harness, "/tomorrow?day=2026-05-03").await;
    assert!(shown.contains("String A") && shown.contains("m short"), "{shown}");
}

#[actix_web::test]
async fn without_an_order_of_play_the_page_says_where_to_paste_one() {
    let harness = Harness::start().await;
    let shown = page(&harness, Role::Coordinator, "/tomorrow").await;
    assert!(shown.contains("No order of play yet.") && shown.contains("/court-times"));
    with_order(&harness).await;
    let shown = page(&harness, Role::Coordinator, "/tomorrow?day=2026-05-03").await;
    assert!(shown.contains("No station yet."), "{shown}");
}

#[actix_web::test]
async fn only_coordinators_plan_and_a_wrong_time_is_named() {
    let harness = Harness::start().await;
    let refused = harness.get(Role::Desk, "/tomorrow").await;
    assert_eq!(refused.status, 403);
    let wrong = harness
        .get(Role::Coordinator, "/tomorrow?opens=7.30&stations=0")
        .await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text.contains("hh:mm") && wrong.text.contains("1 to 60 stations"));
    let late = harness.get(Role::Coordinator, "/tomorrow?opens=25:00").await;
    assert!(late.status == 422 && late.text.contains("href=\"#opens\""));
}

#[actix_web::test]
async fn a_coordinator_publishes_the_shifts_of_the_day() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    with_order(&harness).await;
    let path = "/tomorrow?day=2026-05-03&stations=1";
    let shown = page(&harness, Role::Coordinator, path).await;
    assert!(
        shown.contains("Not published yet.") && shown.contains("Publish shifts"),
        "{shown}"
    );
    assert_eq!(
        shown.matches("value=\"yes\" checked").count(),
        1,
        "as many as are planned: {shown}"
    );
    let station = shown.split("name=\"station-0\" value=\"").nth(1);
    let station = station
        .and_then(|rest| rest.split('"').next())
        .expect("a station");
    let fields = |to: &'static str| {
        [
            ("day", "2026-05-03"),
            ("stations", "1"),
            ("read", "0"),
            ("row", "0"),
            ("works-0", "yes"),
            ("station-0", station),
            ("stringer-0", ""),
            ("from-0", "08:00"),
            ("to-0", to),
        ]
    };
    let refused = send(&harness, Role::Coordinator, "/tomorrow", &fields("07:00")).await;
    assert_eq!(refused.status, 422);
    assert!(
        refused.text.contains("The shift ends before it begins."),
        "{}",
        refused.text
    );
    assert!(refused.text.contains("href=\"#to-0\"") && refused.text.contains("value=\"07:00\""));
    let done = send(&harness, Role::Coordinator, "/tomorrow", &fields("19:00")).await;
    assert_eq!(location(&done), "/tomorrow?day=2026-05-03");
    let shown = page(&harness, Role::Coordinator, "/tomorrow?day=2026-05-03").await;
    assert!(
        shown.contains(": 1 station.") && shown.contains("value=\"19:00\""),
        "{shown}"
    );
    // who looked at an older state is told, and nothing is lost
    let late = send(&harness, Role::Coordinator, "/tomorrow", &fields("20:00")).await;
    assert_eq!(late.status, 409);
    assert_eq!(
        send(&harness, Role::Stringer, "/tomorrow", &fields("20:00"))
            .await
            .status,
        403
    );
}
