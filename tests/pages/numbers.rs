//! The number that a player gave a racket finds it on every screen of the counter, and what is not found says so.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::browser::{location, send};
use crate::day::{option, page, set_up};
use crate::harness::Harness;

/// A player with a racket number 7 that was just taken in; their ids, and the job's.
async fn seven_is_in(harness: &Harness) -> (String, String, String) {
    let text = |value: &Value| value.as_str().expect("an id").to_owned();
    let player = json!({"name": {"display": "Example Seven"}});
    let player = harness.post(Role::Desk, "/v1/players", player).await.expect(201);
    let frames = harness.get(Role::Desk, "/v1/frames").await.expect(200);
    let racket = json!({"player_id": player["id"], "frame_id": frames["items"][0]["id"], "number": "7"});
    let racket = harness.post(Role::Desk, "/v1/rackets", racket).await.expect(201);
    let (player, racket) = (text(&player["id"]), text(&racket["id"]));
    let form = page(harness, Role::Desk, &format!("/hand-in?player={player}&mode=new")).await;
    let string = option(&form, "String A");
    let fields = [
        ("player_id", player.as_str()),
        ("wish", "new"),
        ("lines", "1"),
        ("line_1_racket_id", racket.as_str()),
        ("line_1_as_said", "24/23"),
        ("line_1_unit", "kg"),
        ("line_1_ready_by", "12:00"),
        ("mains_string_id", string.as_str()),
        ("crosses_string_id", string.as_str()),
        ("condition", "ok"),
    ];
    let taken = location(&send(harness, Role::Desk, "/hand-in", &fields).await);
    let job = taken.rsplit('=').next().unwrap_or_default().to_owned();
    (player, racket, job)
}

#[actix_web::test]
async fn a_bare_number_is_the_racket_of_the_card_and_is_offered_without_one() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let (player, racket, job) = seven_is_in(&harness).await;
    let desk = |path: String| {
        let harness = &harness;
        async move { page(harness, Role::Desk, &path).await }
    };
    let offered = desk("/hand-out?q=7".to_owned()).await;
    assert!(offered.contains("racket 7, tag "), "{offered}");
    assert!(offered.contains(&format!("hand={job}")), "{offered}");
    let ticked = desk(format!("/hand-out?player={player}&q=racket%207")).await;
    assert!(ticked.contains("in-hand"), "{ticked}");
    let unknown = desk(format!("/hand-out?player={player}&q=8")).await;
    assert!(unknown.contains("no number of theirs"), "{unknown}");

    let offered = desk("/court-call?q=7".to_owned()).await;
    assert!(offered.contains("Example Seven, racket 7"), "{offered}");
    let chosen = desk(format!("/court-call?player={player}&q=7")).await;
    assert!(
        chosen.contains(&format!("value=\"{racket}\" required checked")),
        "{chosen}"
    );
    let unknown = desk("/court-call?q=88".to_owned()).await;
    assert!(
        unknown.contains("Nothing found for “88”") && unknown.contains("/hand-in?q=88"),
        "{unknown}"
    );

    let told = location(
        &harness
            .get(Role::Desk, &format!("/rackets?q=7&beside={racket}"))
            .await,
    );
    assert_eq!(told, format!("/rackets/{racket}"));
    let unknown = location(&harness.get(Role::Desk, "/rackets?q=88").await);
    assert_eq!(unknown, "/hand-in?q=88");
    assert!(desk(unknown).await.contains("Nothing found for “88”"));
}
