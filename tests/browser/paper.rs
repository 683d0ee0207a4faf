//! D08: tag and ticket, as printed.
use serde_json::json;

use crate::chromium::{LAPTOP, PHONE};
use crate::printed::Sheet;
use crate::screen::Screen;
use crate::tournament::{Tournament, safe_time};

/// Chromium rounds a page to whole points of 1/72 inch (measured), so a side may be half a point off.
const ROUNDING_MM: f64 = 25.4 / 72.0 / 2.0 + 0.01;
/// How high the code on the tag is at least, to be read at an arm's length.
const TAG_CODE_MM: f64 = 8.0;
/// The roll that tickets are printed on.
const ROLL_MM: f64 = 80.0;

#[tokio::test(flavor = "multi_thread")]
async fn d08_tag_and_ticket_print_in_their_sizes_and_their_squares_can_be_read() {
    let tournament = Tournament::start().await;
    let desk = tournament.screen("desk", LAPTOP).await;
    let job = tournament.take_in(&desk, "P1/1", ("24", "23", "kg")).await;
    let id = job["id"].as_str().expect("an id");
    let code = job["tag_code"].as_str().expect("a code");

    let link = the_ticket_carries_the_players_link(&desk, id, code).await;
    let secret = link.rsplit('/').next().expect("the secret of the link");
    the_tag_carries_the_code_and_no_secret(&desk, id, code, secret).await;
    for paper in ["tag", "ticket"] {
        let again = printed(&desk, id, paper, &format!("{paper}-again")).await;
        assert!(again.text.contains("copy 2"), "{}", again.text);
    }
    let phone = tournament.stranger(PHONE).await;
    phone.open(&link).await;
    phone.reads("h1", "Your rackets").await;
    phone.reads("li", "waiting").await;
    for screen in [desk, phone, tournament.admin] {
        screen.close().await;
    }
}

/// P5: the story on A4 with page numbers and its hash.
#[tokio::test(flavor = "multi_thread")]
async fn the_story_prints_in_its_size_with_its_hash() {
    let tournament = Tournament::start().await;
    let desk = &tournament.admin;
    tournament.take_in(desk, "P1/1", ("24", "23", "kg")).await;
    desk.open(&format!("/rackets/{}", tournament.id("P1/1"))).await;
    let hash = desk.text(".hash").await;
    let story = Sheet::of(desk, "story-printed").await;
    about(story.width_mm, 210.0);
    about(story.height_mm, 297.0);
    assert!(story.grey, "the story needs no colour");
    let numbered = format!("1 / {}", story.pages);
    for words in ["Taken in", "Example Admin", numbered.as_str()] {
        assert!(story.text.contains(words), "{words} in {}", story.text);
    }
    // SHA-256 in hexadecimal; the hash may wrap in the line
    assert!(
        hash.len() == 64 && story.text.replace(' ', "").contains(&hash),
        "{hash}"
    );
    assert!(!story.text.contains("Print tag"), "{}", story.text);
    tournament.admin.close().await;
}

/// Every size of paper has a test page: its rulers have the length they say, and its square can be read.
#[tokio::test(flavor = "multi_thread")]
async fn test_pages_print_in_their_sizes_with_rulers_that_are_true() {
    let tournament = Tournament::start().await;
    let desk = &tournament.admin;
    desk.open("/setup").await;
    for (name, title, width_mm, height_mm, (across_mm, down_mm)) in [
        ("tag", "Tag, 70 × 25 mm", 70.0, Some(25.0), (50.0, 15.0)),
        // a roll is as long as it is
        ("ticket", "Ticket, 80 mm roll", ROLL_MM, None, (60.0, 50.0)),
        // A6 and A4 of ISO 216
        ("slip", "Bench slip, A6", 105.0, Some(148.0), (70.0, 60.0)),
        ("story", "Racket Story, A4", 210.0, Some(297.0), (150.0, 100.0)),
    ] {
        desk.reads("#printers + p + ul", title).await;
        desk.open(&format!("/test-page/{name}")).await;
        let sheet = Sheet::of(desk, &format!("test-page-{name}")).await;
        about(sheet.width_mm, width_mm);
        if let Some(height_mm) = height_mm {
            about(sheet.height_mm, height_mm);
        }
        assert_eq!((sheet.pages, sheet.grey), (1, true), "{name}");
        assert_eq!(sheet.qr_codes(), ["weftdesk test page"], "{name}");
        let (long_mm, high_mm) = sheet.longest_ink_mm();
        println!("{name}: rulers of {long_mm:.2} and {high_mm:.2} mm");
        assert!((long_mm - across_mm).abs() < 0.5, "{name}: {long_mm} mm across");
        assert!((high_mm - down_mm).abs() < 0.5, "{name}: {high_mm} mm down");
        desk.open("/setup").await;
    }
    tournament.admin.close().await;
}

async fn printed(desk: &Screen, job: &str, paper: &str, name: &str) -> Sheet {
    let print = format!("/v1/jobs/{job}/prints");
    let (status, print) = desk.call("POST", &print, json!({"what": paper})).await;
    assert_eq!(status, 200, "{print}");
    desk.open(print["href"].as_str().expect("where the sheet is"))
        .await;
    Sheet::of(desk, name).await
}

/// Answers what the ticket's square says.
async fn the_ticket_carries_the_players_link(desk: &Screen, job: &str, code: &str) -> String {
    let ticket = printed(desk, job, "ticket", "ticket").await;
    about(ticket.width_mm, ROLL_MM);
    assert_eq!(ticket.pages, 1);
    assert!(ticket.grey, "the ticket needs no colour");
    // 24 kg / 0.45359237 kg per lb = 52.9 lb, 23 kg = 50.7 lb (exact since 1959)
    let safe = safe_time(desk, job).await;
    for words in [code, &safe, "24 kg (52.9 lb)", "23 kg (50.7 lb)"] {
        assert!(ticket.text.contains(words), "{words} in {}", ticket.text);
    }
    assert!(
        !ticket.text.contains("14:00"),
        "what the player has to play is no promise"
    );
    assert!(!ticket.text.contains("copy"), "{}", ticket.text);
    let mut squares = ticket.qr_codes();
    assert_eq!(squares.len(), 1, "{squares:?}");
    squares.remove(0)
}

async fn the_tag_carries_the_code_and_no_secret(desk: &Screen, job: &str, code: &str, secret: &str) {
    let tag = printed(desk, job, "tag", "tag").await;
    about(tag.width_mm, 70.0);
    about(tag.height_mm, 25.0);
    assert_eq!(tag.pages, 1);
    assert!(tag.grey, "the tag needs no colour");
    assert_eq!(tag.qr_codes(), [code]);
    let high_mm = tag.ink_height_mm(code);
    println!("the code on the tag is {high_mm:.2} mm high");
    assert!(high_mm >= TAG_CODE_MM, "{high_mm}");
    for words in ["24 kg (52.9 lb)", "23 kg (50.7 lb)", "by 14:00"] {
        assert!(tag.text.contains(words), "{words} in {}", tag.text);
    }
    assert!(!tag.text.contains("copy"), "{}", tag.text);
    let markup = desk.client().source().await.expect("the page");
    assert!(!markup.contains(secret), "a tag can be photographed on court");
}

#[track_caller]
fn about(measured_mm: f64, wanted_mm: f64) {
    let off_mm = (measured_mm - wanted_mm).abs();
    assert!(off_mm < ROUNDING_MM, "{measured_mm} mm is not {wanted_mm} mm");
}
