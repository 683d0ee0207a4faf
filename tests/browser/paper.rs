//! D08: tag and ticket, as printed.
use crate::chromium::LAPTOP;
use crate::printed::Sheet;
use crate::tournament::Tournament;

/// Chromium rounds a page to whole points of 1/72 inch (measured), so a side may be half a point off.
const ROUNDING_MM: f64 = 25.4 / 72.0 / 2.0 + 0.01;
/// How high the code on the tag is at least (what can be read at an arm's length).
const TAG_CODE_MM: f64 = 8.0;

#[track_caller]
fn measures(sheet: &Sheet, width_mm: f64, height_mm: f64) {
    let size = (sheet.width_mm, sheet.height_mm);
    assert!((size.0 - width_mm).abs() < ROUNDING_MM, "{size:?}");
    assert!((size.1 - height_mm).abs() < ROUNDING_MM, "{size:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn d08_tag_and_ticket_print_in_their_sizes_and_their_squares_can_be_read() {
    let tournament = Tournament::start().await;
    let desk = tournament.screen("desk", LAPTOP).await;
    let job = tournament.hand_in(&desk, "P1/1").await;
    let (id, code) = (
        job["id"].as_str().expect("an id"),
        job["tag_code"].as_str().expect("a code"),
    );

    desk.open(&format!("/jobs/{id}/ticket")).await;
    let ticket = Sheet::of(&desk).await;
    assert!(
        (ticket.width_mm - 80.0).abs() < ROUNDING_MM,
        "{}",
        ticket.width_mm
    );
    assert_eq!(ticket.pages, 1);
    assert!(ticket.grey, "the ticket needs no colour");
    assert!(
        ticket.text.contains(code) && ticket.text.contains("14:00"),
        "{}",
        ticket.text
    );
    // 24 kg / 0.45359237 kg per lb = 52.9 lb (exact since 1959)
    assert!(ticket.text.contains("24 kg (52.9 lb)"), "{}", ticket.text);
    let links = ticket.qr_codes();
    let [link] = links.as_slice() else {
        panic!("one square on the ticket: {links:?}")
    };
    let secret = link.rsplit('/').next().expect("the secret of the link");

    desk.open(&format!("/jobs/{id}/tag")).await;
    let tag = Sheet::of(&desk).await;
    measures(&tag, 70.0, 25.0);
    assert_eq!(tag.pages, 1);
    assert!(tag.grey, "the tag needs no colour");
    assert_eq!(tag.qr_codes(), [code]);
    let high_mm = tag.ink_height_mm(code);
    println!("the code on the tag is {high_mm:.2} mm high");
    assert!(high_mm >= TAG_CODE_MM, "{high_mm}");
    let markup = desk.client().source().await.expect("the page");
    assert!(
        !markup.contains(secret) && !tag.text.contains(secret),
        "no secret on the tag"
    );
    assert!(
        tag.text.contains("24 kg (52.9 lb)") && tag.text.contains("23 kg (50.7 lb)"),
        "{}",
        tag.text
    );
    assert!(!tag.text.contains("copy"));

    desk.open(&format!("/jobs/{id}/tag")).await;
    assert!(Sheet::of(&desk).await.text.contains("copy 2"));
    desk.open(&format!("/jobs/{id}/ticket")).await;
    assert!(Sheet::of(&desk).await.text.contains("copy 2"));

    let phone = tournament.stranger(crate::chromium::PHONE).await;
    phone.open(link).await;
    phone.reads("h1", "Your rackets").await;
    phone.reads("li", "waiting").await;
    for screen in [desk, phone, tournament.admin] {
        screen.close().await;
    }
}
