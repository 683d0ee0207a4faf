//! Players whose name is in another script: whoever cannot read it reads the one in Latin letters beside it.
use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::browser::{location, send};
use crate::day::{option, page, set_up};
use crate::harness::Harness;

/// The name as it is said in both scripts.
const BOTH: &str = "اسم مثال (Ism Mithal)";

#[actix_web::test]
async fn hits_and_what_was_taken_in_name_a_player_in_both_scripts() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let desk = Role::Desk;
    let name = json!({"name": {"display": "اسم مثال", "latin": "Ism Mithal"}, "badge": "B-77"});
    let player = harness.post(desk, "/v1/players", name).await.created_id();
    // of one name alone nothing more is said
    let plain = json!({"name": {"display": "Mithal Example", "latin": "Mithal Example"}});
    harness.post(desk, "/v1/players", plain).await.created_id();
    for screen in ["/hand-in", "/hand-out"] {
        let found = page(&harness, desk, &format!("{screen}?q=mithal")).await;
        assert!(found.contains(&format!("<bdi>{BOTH}</bdi>")), "{screen}: {found}");
        assert!(found.contains("<bdi>Mithal Example</bdi>"), "{screen}: {found}");
    }
    let card = page(&harness, desk, &format!("/hand-in?player={player}&mode=new")).await;
    let (frame, string) = (option(&card, "F-16x19"), option(&card, "String A"));
    let fields = [
        ("player_id", player.as_str()),
        ("wish", "new"),
        ("lines", "1"),
        ("line_1_racket_id", "new"),
        ("line_1_frame_id", frame.as_str()),
        ("line_1_marks", "one dot"),
        ("line_1_as_said", "24/23"),
        ("line_1_unit", "kg"),
        ("line_1_ready_by", "12:00"),
        ("mains_string_id", string.as_str()),
        ("crosses_string_id", string.as_str()),
        ("condition", "ok"),
    ];
    let taken = location(&send(&harness, desk, "/hand-in", &fields).await);
    let taken = page(&harness, desk, &taken).await;
    assert!(
        taken.contains(&format!("Taken in for <bdi>{BOTH}</bdi>")),
        "{taken}"
    );
}
