//! After a power cut: what stands on paper is typed into a table, checked as a whole, then entered once.
use serde_json::{Value, json};

use crate::chromium::TABLET;
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// Types one line of paper.
async fn line(desk: &Screen, number: usize, time: &str, code: &str, what: &str, who: &str) {
    desk.fill(&format!("#row_{number}_time"), time).await;
    desk.fill(&format!("#row_{number}_code"), code).await;
    desk.choose(&format!("#row_{number}_what"), what).await;
    desk.fill(&format!("#row_{number}_who"), who).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d16_lines_of_paper_are_mended_until_all_are_sound_and_entered_once() {
    let tournament = Tournament::start().await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let known = job["tag_code"].as_str().expect("a code").to_owned();
    let (_, codes) = tournament
        .admin
        .call("POST", "/v1/codes/reserve", json!({"count": 1}))
        .await;
    let fresh = codes["codes"][0].as_str().expect("a code").to_owned();
    let desk = tournament.screen("desk", TABLET).await;
    desk.open("/hand-in").await;
    desk.tap("Catch Up").await;
    desk.arrived_at("/catch-up").await;

    line(&desk, 1, "10:00", &known, "started", "Nowhere").await;
    line(&desk, 2, "10:00", &known, "strung", "").await;
    line(&desk, 3, "10:00", &fresh, "taken_in", "Example A 2").await;
    desk.fill("#row_3_wish", "25/24 kg").await;
    desk.fill("#row_3_ready_by", "15:00").await;
    desk.tap("Check all lines").await;
    desk.reads(".fate", "No station is called").await;
    desk.picture("catch-up-wrong-tablet").await;
    desk.fill("#row_1_who", "Station 1").await;
    desk.tap("Check all lines").await;
    desk.reads("#checked-title", "3 lines can be entered").await;
    let path = format!("/v1/jobs/{}", job["id"].as_str().expect("an id"));
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(now["state"], "waiting", "only looked at: {now}");
    desk.picture("catch-up-checked-tablet").await;
    desk.tap("Enter these lines").await;
    desk.reads("main, [role=status]", "Entered: 3 lines.").await;
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(now["state"], "checking", "{now}");

    // the same sheet copied a second time
    line(&desk, 1, "10:00", &known, "strung", "").await;
    desk.tap("Check all lines").await;
    desk.reads(".fate", "entered before").await;
    desk.open(&format!("/rackets/{}", tournament.id("P1/1"))).await;
    desk.reads(".story", "from paper, entered").await;

    desk.open("/catch-up").await;
    let mut broken = page_rules::broken(&desk, "catch-up").await;
    desk.open("/catch-up").await;
    line(&desk, 1, "10:00", &known, "started", "Nowhere").await;
    desk.tap("Check all lines").await;
    desk.reads(".fate", "No station is called").await;
    broken.extend(page_rules::broken(&desk, "catch-up with a wrong line").await);
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    desk.close().await;
    tournament.admin.close().await;
}
