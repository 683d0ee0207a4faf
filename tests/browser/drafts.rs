//! What was filled in at Hand In stays: another way of ordering, another racket and a scan take it along, and it
//! never comes back on somebody else's card.
use fantoccini::key::Key;
use serde_json::json;

use crate::busy_day::BusyDay;
use crate::chromium::TABLET;
use crate::keys::key;
use crate::no_script::Bare;
use crate::page_rules;
use crate::photos::{choose_photo, shows};
use crate::screen::Screen;
use crate::tournament::Tournament;

/// Whether the page asks before it is left.
const ASKS: &str = "const leaving = new Event('beforeunload', {cancelable: true}); dispatchEvent(leaving); \
    return leaving.defaultPrevented";
const SAID: &str = "return document.querySelector('[name=line_1_as_said]').value";

/// A busy day with somebody at the counter, who has a returning player before them.
async fn at_the_counter() -> (Tournament, BusyDay, Screen) {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let desk = tournament.screen("desk", TABLET).await;
    (tournament, day, desk)
}

/// The returning player has another racket, with the label SECOND.
async fn a_second_racket(tournament: &Tournament, day: &BusyDay) {
    let second = json!({"player_id": day.returning_player, "frame_id": tournament.id("F4"),
                        "number": "2", "label_code": "SECOND"});
    tournament.admin.create("/v1/rackets", second).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_photo_and_a_wish_outlive_every_way_of_ordering_and_a_scan() {
    let (tournament, day, desk) = at_the_counter().await;
    a_second_racket(&tournament, &day).await;
    desk.open(&format!("/hand-in?player={}", day.returning_player))
        .await;
    assert_eq!(desk.run(ASKS, json!([])).await, false, "nothing would be lost");
    choose_photo(&desk, "#line_1_photo").await;
    assert_eq!(
        desk.run(ASKS, json!([])).await,
        true,
        "no page can give a file back"
    );
    desk.tap("Same, but change").await;
    desk.fill("#line_1_as_said", "23/22").await;
    desk.fill("#note", "two knots").await;
    desk.tap("New spec").await;
    desk.reads("main", "Same again instead").await;
    desk.appears(".photo-again img").await;
    assert_eq!(desk.run(SAID, json!([])).await, "23/22");
    desk.tap("Same again instead").await;
    desk.appears(".same").await;
    // somebody else's racket is offered below, and the card stays
    let other = tournament.id("P6").to_owned();
    desk.fill("#q", "SECOND\n").await;
    desk.appears("#line_2_racket_id").await;
    desk.tap("New spec").await;
    desk.appears(".photo-again img").await;
    assert_eq!(desk.run(SAID, json!([])).await, "23/22");
    let note = "return document.querySelector('#note').value";
    assert_eq!(desk.run(note, json!([])).await, "two knots");
    desk.picture("hand-in-draft-tablet").await;
    let broken = page_rules::broken(&desk, "a draft").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));

    desk.open(&format!("/hand-in?player={other}&mode=new")).await;
    assert_eq!(desk.run(SAID, json!([])).await, "", "another player's wish");
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn enter_in_a_wish_takes_it_in_with_the_photo_that_came_along() {
    let (tournament, day, desk) = at_the_counter().await;
    desk.open(&format!("/hand-in?player={}", day.returning_player))
        .await;
    choose_photo(&desk, "#line_1_photo").await;
    desk.tap("Same, but change").await;
    desk.fill("#line_1_as_said", "21/20").await;
    key(&desk, Key::Enter).await;
    desk.arrived_at("/hand-in?taken").await;
    desk.reads(".taken", "21 kg").await;
    shows(&desk, ".taken", 1).await;
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn where_no_script_runs_a_scan_takes_the_draft_along_and_enter_in_a_wish_takes_it_in() {
    let (tournament, day, desk) = at_the_counter().await;
    a_second_racket(&tournament, &day).await;
    let bare = Bare::new(&desk).await;
    let card = format!("/hand-in?player={}&mode=change", day.returning_player);
    bare.open(&card).await;
    bare.write("#line_1_as_said", "23/22").await;
    bare.write("#q", "SECOND").await;
    bare.enter().await;
    bare.hears("Racket 2 of this drop-off").await;
    assert_eq!(bare.attribute("#line_1_as_said", "value").await, "23/22");
    // somebody else's name is offered, and the card stays
    bare.write("#q", "Example").await;
    bare.tap(".search button.primary").await;
    bare.hears("Found").await;
    assert_eq!(bare.attribute("#line_1_as_said", "value").await, "23/22");
    desk.picture("hand-in-draft-no-script-tablet").await;

    bare.open(&card).await;
    bare.write("#line_1_as_said", "21/20").await;
    bare.enter().await;
    bare.hears("21 kg").await;
    bare.hears("Print tag").await;
    desk.close().await;
    tournament.admin.close().await;
}
