//! Matches on their page, and the rackets that are taken in for them.
use weftdesk::craft::roles::Role;
use weftdesk::desk::DeskError;
use weftdesk::desk::find;

use crate::browser::{location, send};
use crate::day::{hand_in, option, page, set_up};
use crate::harness::Harness;

const DAY: &str = "2026-05-02";

/// The one player of the desk.
async fn player(harness: &Harness) -> String {
    let tournament = harness.tournament.clone();
    let read = harness.desk.read(move |db| {
        let found = find::find(db, &tournament, "example")?;
        Ok::<_, DeskError>(found.players[0].id.clone())
    });
    read.await.expect("the player is found")
}

/// Two matches of this player on two courts, with another before the first.
fn order(player: &str) -> String {
    format!(
        "day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n\
         {DAY},C1,1,M1,WS,bo3_tb,starting_at,14:00,TBD,TBD\n\
         {DAY},C1,2,M2,WS,bo3_tb,followed_by,,{player},TBD\n\
         {DAY},C2,1,M3,WD,dbl_noad_mtb10,not_before,20:00,{player},TBD\n"
    )
}

#[actix_web::test]
async fn a_racket_is_taken_in_for_the_next_match_or_the_one_after() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    hand_in(&harness).await;
    let player = player(&harness).await;
    let early = page(&harness, Role::Desk, &format!("/hand-in?player={player}")).await;
    assert!(early.contains("None is known yet"), "no match is promised");
    let text = order(&player);
    let fields = [("day", DAY), ("text", text.as_str()), ("do", "apply")];
    location(&send(&harness, Role::Referee, "/court-times", &fields).await);

    let card = page(
        &harness,
        Role::Desk,
        &format!("/hand-in?player={player}&mode=new"),
    )
    .await;
    for words in [
        "for the next match",
        "M2, C1, about",
        "for the one after",
        "value=\"match:M3\"",
    ] {
        assert!(card.contains(words), "{words}");
    }
    let frame = option(&card, "F-16x19");
    let frame = frame.as_str();
    let fields = [
        ("player_id", player.as_str()),
        ("wish", "new"),
        ("lines", "2"),
        ("line_1_racket_id", "new"),
        ("line_1_frame_id", frame),
        ("line_1_marks", "one dot"),
        ("line_1_as_said", "24/23"),
        ("line_1_unit", "kg"),
        ("line_1_due", "match:M3"),
        ("own_string", "String X"),
        ("line_2_racket_id", "new"),
        ("line_2_frame_id", frame),
        ("line_2_marks", "two dots"),
        ("line_2_as_said", "24/23"),
        ("line_2_unit", "kg"),
        ("line_2_due", "time"),
        ("line_2_ready_by", "half past"),
        ("condition", "ok"),
    ];
    let wrong = send(&harness, Role::Desk, "/hand-in", &fields).await;
    assert_eq!(wrong.status, 422, "{}", wrong.text);
    assert!(wrong.text.contains("such as 14:30"), "{}", wrong.text);
    let mut fields = fields;
    fields[16] = ("line_2_ready_by", "18:05");
    let taken = location(&send(&harness, Role::Desk, "/hand-in", &fields).await);
    let taken = page(&harness, Role::Desk, &taken).await;
    // 35 minutes before the match that does not start before 20:00
    assert!(
        taken.contains("by 19:25") && taken.contains("by 18:05"),
        "{taken}"
    );
}
