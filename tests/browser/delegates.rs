//! Name somebody who may collect: named at the desk after Hand In or beside the proof, once or always, and withdrawn there.
use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{LAPTOP, SMALL_TABLET};
use crate::keys::{enter, key, tick, write};
use crate::tournament::Tournament;
use crate::{bars, page_rules};

#[tokio::test(flavor = "multi_thread")]
async fn who_is_named_once_at_the_desk_collects_once_and_the_ticks_stay() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let desk = tournament.screen("desk", SMALL_TABLET).await;
    desk.open(&format!("/hand-out?player={}", day.player)).await;
    tick(&desk, &format!("input[name=job_id][value={}]", day.ready)).await;
    enter(&desk, "#delegates summary").await;
    write(&desk, "#delegate_name", "Partner Example").await;
    key(&desk, Key::Enter).await;
    desk.appears("[name=proof][value='delegate:Partner Example']:checked")
        .await;
    let held = "return [...document.querySelectorAll('[name=job_id]:checked')].map(one => one.value)";
    assert_eq!(desk.run(held, json!([])).await, json!([day.ready]));
    desk.picture("hand-out-delegate-tablet").await;
    let mut broken = Vec::new();
    desk.click("#delegates summary").await;
    broken.extend(bars::broken(&desk, "hand-out, delegates").await);
    desk.chromium.resize(LAPTOP).await;
    broken.extend(page_rules::broken(&desk, "hand-out, delegates").await);
    assert!(broken.is_empty(), "{}", broken.join("\n"));

    desk.open(&format!(
        "/hand-out?player={}&hand={}&proof=delegate:Partner%20Example",
        day.player, day.ready
    ))
    .await;
    desk.tap("Give out").await;
    desk.reads("main", "to Partner Example at").await;
    desk.open(&format!("/hand-out?player={}", day.player)).await;
    desk.reads("#delegates summary", "Name somebody who may collect")
        .await;
    desk.reads_no_more("main", "Partner Example may collect").await;
    desk.open("/hand-out").await;
    desk.tap("Undo").await;
    desk.tap("wrong racket").await;
    desk.open(&format!("/hand-out?player={}", day.player)).await;
    desk.appears("[name=proof][value='delegate:Partner Example']")
        .await;
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn after_hand_in_somebody_is_named_for_always_and_withdrawn() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let desk = tournament.screen("desk", LAPTOP).await;
    desk.open(&format!("/hand-in?taken={}", day.ready)).await;
    desk.tap("Name somebody who may collect").await;
    desk.tap("Name them").await;
    desk.reads(".problem", "Give 1 to 120 characters").await;
    desk.appears("#delegate_name-fault").await;
    let broken = page_rules::broken(&desk, "hand-in, delegates").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    desk.open(&format!("/hand-in?taken={}", day.ready)).await;
    desk.tap("Name somebody who may collect").await;
    desk.click("[name=delegate_often][value=always] + span").await;
    desk.fill("#delegate_name", "Coach Example\n").await;
    desk.reads("#delegates summary", "1 named").await;
    let player = format!("/v1/players/{}", day.player);
    let (_, said) = desk.call("GET", &player, Value::Null).await;
    assert_eq!(said["delegates"], json!(["Coach Example"]), "{said}");
    desk.open(&format!("/hand-in?player={}", day.player)).await;
    desk.reads(".card .panel-head", "may collect Coach Example (always)")
        .await;
    desk.open(&format!("/hand-in?taken={}", day.ready)).await;
    desk.tap("Name somebody who may collect").await;
    desk.picture("hand-in-delegate-laptop").await;
    desk.tap("Withdraw Coach Example").await;
    desk.reads_no_more("#delegates summary", "named").await;
    let (_, said) = desk.call("GET", &player, Value::Null).await;
    assert_eq!(said["delegates"], json!([]), "{said}");
    desk.close().await;
    tournament.admin.close().await;
}
