//! What somebody reads off a frame is recorded once, and whoever waits for it goes on.
use weftdesk::craft::roles::Role;

use crate::browser::{behind, location, send};
use crate::day::{page, with_a_racket};
use crate::harness::Harness;

/// Where the first snag leads to have the holes recorded.
async fn record_of_the_snag(harness: &Harness) -> String {
    let snags = page(harness, Role::Desk, "/snags").await;
    assert!(
        !snags.contains("value=\"recorded\""),
        "recording decides it: {snags}"
    );
    format!("/frames/{}", behind(&snags, "href=\"/frames/"))
}

/// The fields of the form as the page was filled in, by name and value.
fn fields(page: &str) -> Vec<(String, String)> {
    let value_of = |tag: &str, name: &str| {
        let start = tag.find(&format!("{name}=\"")).map(|at| at + name.len() + 2)?;
        Some(tag[start..].split('"').next().unwrap_or_default().to_owned())
    };
    let form = page
        .find("action=\"/frames/")
        .map(|at| &page[at..])
        .expect("a form");
    let mut found = Vec::new();
    let mut list = String::new();
    for tag in form.split('<') {
        if tag.starts_with("input type=\"text\"") || tag.starts_with("input type=\"hidden\" name=\"version\"")
        {
            found.extend(value_of(tag, "name").zip(value_of(tag, "value")));
        } else if tag.starts_with("select") {
            list = value_of(tag, "name").unwrap_or_default();
        } else if tag.starts_with("option") && tag.contains(" selected") {
            found.extend(value_of(tag, "value").map(|value| (list.clone(), value)));
        }
    }
    found
}

fn with<'a>(fields: &'a [(String, String)], more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut all: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    all.retain(|(name, _)| more.iter().all(|(other, _)| other != name));
    all.extend(more);
    all
}

#[actix_web::test]
async fn the_snag_leads_to_the_record_and_recording_the_holes_decides_it() {
    let (harness, job) = with_a_racket().await;
    let address = record_of_the_snag(&harness).await;
    let shown = page(&harness, Role::Stringer, &address).await;
    assert!(
        shown.contains("holes not on record yet") && shown.contains("Waiting for these holes"),
        "{shown}"
    );
    let filled = fields(&shown);
    let holes = [
        ("mains_skip", "head 7, 9; throat 7, 9"),
        ("tie_off_mains", "head 6 A, 6 B"),
        ("loop_end", "head"),
        ("known", "yes"),
        ("source", "measured"),
    ];
    let done = location(&send(&harness, Role::Stringer, &address, &with(&filled, &holes)).await);
    let kept = page(&harness, Role::Stringer, &done).await;
    assert!(
        kept.contains("is kept") && kept.contains("value=\"head 7, 9; throat 7, 9\""),
        "{kept}"
    );
    assert!(!kept.contains("Waiting for these holes"), "{kept}");
    assert!(
        !shown.contains("As it is on record"),
        "nothing is drawn of holes that nobody knows"
    );
    assert!(
        kept.contains("As it is on record") && kept.contains(">× 7</text>") && kept.contains(">⊗ 6</text>"),
        "{kept}"
    );
    let snags = page(&harness, Role::Desk, "/snags").await;
    assert!(
        snags.contains("The holes are on record now") && !snags.contains("/frames/"),
        "{snags}"
    );
    let racket = harness.get(Role::Desk, &format!("/v1/jobs/{job}")).await.json["racket"]["id"].clone();
    let story = format!("/rackets/{}", racket.as_str().expect("its racket"));
    let told = page(&harness, Role::Desk, &story).await;
    assert!(
        told.contains(&format!("href=\"{address}\"")),
        "the story leads to it: {told}"
    );
    let plan = page(&harness, Role::Stringer, &format!("/plan/{job}")).await;
    assert!(
        plan.contains("measured"),
        "the plan names where its holes come from: {plan}"
    );

    // somebody else's page is older than that
    let late = with(&filled, &[("source", "reported")]);
    let stale = send(&harness, Role::Desk, &address, &late).await;
    assert_eq!(stale.status, 409, "{}", stale.text);
}

#[actix_web::test]
async fn name_places_and_ways_of_weaving_are_corrected_too() {
    let (harness, _) = with_a_racket().await;
    let address = record_of_the_snag(&harness).await;
    let filled = fields(&page(&harness, Role::Desk, &address).await);
    let more = [
        ("name", "F-16x19 S"),
        ("mains_x", "8.5; 17; 26; 35.5; 45; 56; 70; 90"),
        ("methods", "head_down"),
        ("source", "measured"),
    ];
    let done = location(&send(&harness, Role::Desk, &address, &with(&filled, &more)).await);
    let kept = page(&harness, Role::Desk, &done).await;
    assert!(kept.contains("Frame Record: <bdi>F-16x19 S</bdi>"), "{kept}");
    assert!(
        kept.contains("value=\"8.5; 17; 26; 35.5; 45; 56; 70; 90\""),
        "{kept}"
    );
    assert!(
        kept.contains("name=\"methods\" value=\"head_down\" checked"),
        "{kept}"
    );
    let wrong = with(&filled, &[("crosses_y", "120; middle"), ("source", "measured")]);
    let refused = send(&harness, Role::Desk, &address, &wrong).await;
    assert!(
        refused.text.contains("&#34;middle&#34; is no place"),
        "{}",
        refused.text
    );
}

#[actix_web::test]
async fn what_cannot_be_right_is_named_and_what_was_typed_stays() {
    let (harness, _) = with_a_racket().await;
    let address = record_of_the_snag(&harness).await;
    let filled = fields(&page(&harness, Role::Desk, &address).await);
    let wrong = [
        ("mains_skip", "7 and 9"),
        ("start_cross", "three"),
        ("source", "measured"),
    ];
    let refused = send(&harness, Role::Desk, &address, &with(&filled, &wrong)).await;
    assert_eq!(refused.status, 422);
    for words in [
        "Say the end before 7",
        "&#34;three&#34; is no whole number",
        "value=\"7 and 9\"",
    ] {
        assert!(refused.text.contains(words), "{words}: {}", refused.text);
    }
    // the desk itself says what contradicts the rest
    let many = [("mains", "40"), ("source", "measured")];
    let refused = send(&harness, Role::Desk, &address, &with(&filled, &many)).await;
    assert_eq!(refused.status, 422);
    assert!(
        refused.text.contains("Mains: must be 6 to 30 mains"),
        "{}",
        refused.text
    );
    let unsaid = send(&harness, Role::Desk, &address, &with(&filled, &[("mains", "18")])).await;
    assert!(
        unsaid.text.contains("Say where you looked it up"),
        "{}",
        unsaid.text
    );
}

#[actix_web::test]
async fn runners_see_no_frames_and_what_is_not_there_is_said() {
    let (harness, _) = with_a_racket().await;
    let address = record_of_the_snag(&harness).await;
    assert_eq!(harness.get(Role::Runner, &address).await.status, 403);
    assert_eq!(harness.get(Role::Desk, "/frames/frm_nowhere").await.status, 404);
}
