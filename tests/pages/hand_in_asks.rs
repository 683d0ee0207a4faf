//! What Hand In asks before it takes a racket in, and what it says of what it took.
use weftdesk::craft::roles::Role;

use crate::browser::{location, send};
use crate::day::{option, page, set_up, with_a_racket};
use crate::harness::{Harness, Reply};

/// A new player's new rackets at 24/23 kg with String A, with `more` of the form.
async fn drop_off(harness: &Harness, lines: usize, more: &[(&str, &str)]) -> Reply {
    let form = page(harness, Role::Desk, "/hand-in?mode=new").await;
    let (frame, string) = (option(&form, "F-16x19"), option(&form, "String A"));
    let mut fields = vec![
        ("wish".to_owned(), "new".to_owned()),
        ("lines".to_owned(), lines.to_string()),
        ("new_player_name".to_owned(), "Example B.".to_owned()),
        ("mains_string_id".to_owned(), string),
    ];
    for line in 1..=lines {
        let said = [
            ("racket_id", "new"),
            ("frame_id", &frame),
            ("marks", "dots"),
            ("as_said", "24/23 kilos"),
            ("due", "tomorrow"),
            ("condition", "ok"),
        ];
        fields.extend(said.map(|(field, value)| (format!("line_{line}_{field}"), value.to_owned())));
    }
    fields.retain(|(name, _)| !more.iter().any(|(other, _)| other == name));
    let own = fields.iter().map(|(name, value)| (name.as_str(), value.as_str()));
    let all: Vec<(&str, &str)> = own.chain(more.iter().copied()).collect();
    send(harness, Role::Desk, "/hand-in", &all).await
}

#[actix_web::test]
async fn each_racket_has_its_own_condition_and_a_tick_is_damage() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let taken = location(&drop_off(&harness, 2, &[("line_2_damage", "shoulders")]).await);
    let read_back = page(&harness, Role::Desk, &taken).await;
    let seen = read_back.matches("Damage seen: Shoulders").count();
    assert_eq!(seen, 1, "{read_back}");
    // the words carried the unit, and the crosses are strung with the mains' string
    assert!(read_back.contains("24 kg (52.9 lb) String A") && read_back.contains("23 kg (50.7 lb) String A"));
    assert!(read_back.contains("09:00</strong>") && read_back.contains("Change the wish"));
}

#[actix_web::test]
async fn what_is_missing_is_said_in_plain_words_at_its_field() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let refused = async |more: &[(&str, &str)], field: &str, words: &str| {
        let answer = drop_off(&harness, 1, more).await;
        assert_eq!(answer.status, 422, "{words}: {}", answer.text);
        assert!(
            answer.text.contains(words) && answer.text.contains(&format!("href=\"#{field}\"")),
            "{words} at {field}: {}",
            answer.text
        );
        assert!(
            !answer.text.contains('`') && !answer.text.contains("due_at"),
            "{}",
            answer.text
        );
    };
    refused(
        &[("mains_string_id", "")],
        "mains_string_id",
        "Choose the string of the mains",
    )
    .await;
    refused(&[("own_string", "String X")], "own_string", "Which is the player").await;
    refused(
        &[("line_1_condition", "marked")],
        "line_1_damage",
        "tick where the damage is",
    )
    .await;
    refused(
        &[("line_1_ready_by", "18:00")],
        "line_1_ready_by",
        "A time is written",
    )
    .await;
    refused(
        &[("line_1_as_said", "31 kg")],
        "line_1_as_said",
        "if they insist, give a reason",
    )
    .await;
    let cracked = [("line_1_damage", "throat"), ("line_1_damage", "cracked")];
    let answer = drop_off(&harness, 1, &cracked).await;
    assert!(
        answer.text.contains("Give it back, take nothing in"),
        "{}",
        answer.text
    );
    assert!(!answer.text.contains("Read the tension back"), "{}", answer.text);
}

#[actix_web::test]
async fn what_was_searched_in_vain_closes_the_card_and_a_name_goes_along() {
    let (harness, job) = with_a_racket().await;
    let job = harness.get(Role::Desk, &format!("/v1/jobs/{job}")).await;
    let player = job.json["player"]["id"].as_str().expect("whose racket it is");
    let card = format!("/hand-in?player={player}");
    assert!(page(&harness, Role::Desk, &card).await.contains("Take it in"));
    let in_vain = page(&harness, Role::Desk, &format!("{card}&q=Nobody+Here")).await;
    assert!(!in_vain.contains("Take it in") && in_vain.contains("Back to the card that was open"));
    assert!(
        in_vain.contains("/hand-in?mode=new&#38;name=Nobody%20Here"),
        "{in_vain}"
    );
    let new = page(&harness, Role::Desk, "/hand-in?mode=new&name=Nobody%20Here").await;
    assert!(new.contains("value=\"Nobody Here\""), "{new}");
}

#[actix_web::test]
async fn one_racket_too_many_is_taken_off_again() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let more = [("show", "less:1"), ("line_2_marks", "two dots")];
    let shown = drop_off(&harness, 2, &more).await;
    assert_eq!(shown.status, 200, "{}", shown.text);
    assert!(shown.text.contains("name=\"lines\" value=\"1\"") && shown.text.contains("value=\"two dots\""));
    assert!(!shown.text.contains("line_2_racket_id") && !shown.text.contains("less:1"));
}
