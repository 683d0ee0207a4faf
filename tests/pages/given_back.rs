//! What is decided or counted at the counter holds from then on, and is told with its names.
use weftdesk::craft::roles::Role;

use crate::browser::{behind, location, send};
use crate::day::{code_and_link, option, page, set_up, taken_by_station_1, with_a_racket};
use crate::harness::Harness;

#[actix_web::test]
async fn a_racket_that_is_to_be_given_back_leaves_the_benches_at_once() {
    let (harness, job) = with_a_racket().await;
    let (code, link) = code_and_link(&harness).await;
    taken_by_station_1(&harness).await;
    let snags = page(&harness, Role::Desk, "/snags").await;
    let snag = format!("/snags/{}", behind(&snags, "action=\"/snags/"));
    let decided = send(&harness, Role::Desk, &snag, &[("choice", "give_back")]).await;
    assert_eq!(location(&decided), format!("/hand-out?q={code}"));
    let address = format!("/v1/jobs/{job}");
    let held = harness.get(Role::Desk, &address).await.json;
    assert_eq!(held["state"], "waiting", "{held}");
    assert_eq!(held["flags"]["held"]["reason"], "to be given back", "{held}");
    assert_eq!(
        location(&harness.get(Role::Desk, &snag).await),
        "/snags",
        "the address of a decision leads to the list"
    );

    // it goes, and what went says how and what proved it
    let player = held["player"]["id"].as_str().expect("whose it is");
    let giving = [
        ("player_id", player),
        ("job_id", job.as_str()),
        ("how", "give_back"),
        ("proof", "ticket"),
        ("proof_value", link.as_str()),
        ("collector", "Coach Example"),
    ];
    location(&send(&harness, Role::Desk, "/hand-out", &giving).await);
    let out = page(&harness, Role::Desk, "/hand-out").await;
    assert!(
        out.contains("given back as it is, to Coach Example at ") && out.contains("Take it in again"),
        "{out}"
    );
    let racket = held["racket"]["id"].as_str().expect("its racket");
    comes_back_with_its_wish(&harness, &out, player, racket).await;
    let again = send(&harness, Role::Desk, "/hand-out", &giving).await;
    assert_eq!(again.status, 409);
    assert!(
        again.text.contains(&format!("{code} is out already: at ")),
        "{}",
        again.text
    );
    let story = page(&harness, Role::Desk, &format!("/rackets/{racket}")).await;
    for told in [
        "Taken from Station 1; it waits again",
        "to be given back",
        "to Coach Example, proved by the ticket",
        "Moved: at the desk → with its owner",
    ] {
        assert!(story.contains(told), "{told} in {story}");
    }
    assert!(!story.contains("stn_"), "{story}");
}

/// One tap opens Hand In with what was wished for it; once it is in, nothing is offered any more.
async fn comes_back_with_its_wish(harness: &Harness, out: &str, player: &str, racket: &str) {
    let again = format!("/hand-in?player={player}&racket={racket}&mode=same");
    assert!(out.contains(&again.replace('&', "&#38;")), "{out}");
    let card = page(harness, Role::Desk, &again).await;
    let wish = card.split("id=\"same-title\"").nth(1).unwrap_or(&card);
    assert!(wish.contains("24 kg") && wish.contains("23 kg"), "{card}");
    assert_eq!(option(&card, "three dots, F-16x19"), racket);
    let fields = [
        ("player_id", player),
        ("wish", "same"),
        ("lines", "1"),
        ("line_1_racket_id", racket),
        ("line_1_due", "time"),
        ("line_1_ready_by", "13:00"),
        ("condition", "ok"),
    ];
    let taken = location(&send(harness, Role::Desk, "/hand-in", &fields).await);
    let job = taken.rsplit('=').next().unwrap_or_default();
    let waits = harness.get(Role::Desk, &format!("/v1/jobs/{job}")).await.json;
    assert_eq!(waits["state"], "waiting", "{waits}");
    assert_eq!(waits["spec"]["mains"]["tension"]["value"], "24", "{waits}");
    let out = page(harness, Role::Desk, "/hand-out").await;
    assert!(
        out.contains("here again") && !out.contains("Take it in again"),
        "{out}"
    );
}

#[actix_web::test]
async fn a_count_above_what_was_ever_there_is_asked_about_and_a_booked_one_is_confirmed() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let stock = page(&harness, Role::Desk, "/stock").await;
    assert!(stock.contains("not counted here") && !stock.contains("none left"));
    let string = option(&stock, "String A");
    let reel = [
        ("string_id", string.as_str()),
        ("kind", "reel"),
        ("length_m", "51,7"),
    ];
    location(&send(&harness, Role::Desk, "/stock/receive", &reel).await);
    let stock = page(&harness, Role::Desk, "/stock").await;
    let piece = behind(&stock, "<details id=\"count-");
    let address = format!("/stock/{piece}/count");
    let mut fields = vec![("version", "1"), ("remaining_m", "900"), ("reason", "measured")];
    let asked = send(&harness, Role::Desk, &address, &fields).await;
    assert_eq!(asked.status, 422);
    assert!(
        asked.text.contains("never more than 51.7 m") && asked.text.contains("value=\"900\""),
        "{}",
        asked.text
    );
    assert_eq!(location(&harness.get(Role::Desk, &address).await), "/stock");
    fields.push(("more_because", "two reels under one label"));
    let booked = location(&send(&harness, Role::Desk, &address, &fields).await);
    let told = page(&harness, Role::Desk, &booked).await;
    assert!(told.contains("900.0 m left, 51.7 m before"), "{told}");
}

#[actix_web::test]
async fn a_written_time_that_is_still_to_come_is_asked_about() {
    let (harness, _) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    let mut fields = vec![
        ("rows", "8"),
        ("do", "preview"),
        ("row_1_time", "23:59"),
        ("row_1_code", code.as_str()),
        ("row_1_what", "strung"),
    ];
    let asked = send(&harness, Role::Desk, "/catch-up", &fields).await;
    assert!(
        asked.text.contains("23:59 is still to come today") && asked.text.contains("row_1_yesterday"),
        "{}",
        asked.text
    );
    fields.push(("row_1_yesterday", "yes"));
    let told = send(&harness, Role::Desk, "/catch-up", &fields).await;
    assert!(!told.text.contains("still to come"), "{}", told.text);
    assert!(told.text.contains("later than this line was written") && !told.text.contains("UTC"));
}
