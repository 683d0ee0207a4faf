//! How often a finger touches the tablet, and whether anything is typed, as the browser itself counts it.
use std::time::{Duration, Instant};

use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::TABLET;
use crate::dev_tools;
use crate::keys::press;
use crate::screen::{LOOK_EVERY, PATIENCE, Screen};
use crate::tournament::Tournament;

/// A returning player's racket costs no more (scan, same again, tag, ticket).
const MOST_TOUCHES: u64 = 3;

/// Counts in every page what a person does, over all pages of this tab.
const COUNT: &str = "const add = what => sessionStorage.setItem(what, Number(sessionStorage.getItem(what)) + 1); \
    addEventListener('pointerup', event => event.isTrusted && add('touches'), true); \
    addEventListener('keydown', event => event.isTrusted && add('strokes'), true);";

/// Puts a label on a racket, as the desk does at its first visit.
async fn label(screen: &Screen, racket: &str, label: &str) {
    const PUT: &str = "const [path, label, done] = arguments; \
        fetch(path).then(answer => fetch(path, {method: 'PATCH', body: JSON.stringify({label_code: label}), \
            headers: {'Content-Type': 'application/merge-patch+json', 'If-Match': answer.headers.get('ETag')}})) \
          .then(answer => done(answer.status), error => done(String(error)))";
    let path = format!("/v1/rackets/{racket}");
    let put = screen
        .client()
        .execute_async(PUT, vec![json!(path), json!(label)])
        .await;
    assert_eq!(put.expect("an answer"), 200);
}

async fn counted(screen: &Screen, what: &str) -> u64 {
    let count = screen
        .run(
            "return Number(sessionStorage.getItem(arguments[0]))",
            json!([what]),
        )
        .await;
    count.as_u64().expect("a number")
}

/// Waits until so many windows are open.
async fn opens(screen: &Screen, wanted: usize, why: &str) {
    let began = Instant::now();
    loop {
        let open = screen.client().windows().await.expect("windows").len();
        if open == wanted {
            return;
        }
        assert!(began.elapsed() < PATIENCE, "{why}: {open} windows");
        tokio::time::sleep(LOOK_EVERY).await;
    }
}

/// Tag and ticket in the same instant are two sheets; the same one twice in the same instant is one.
async fn sheets_are_asked_for_as_fast_as_fingers_are(desk: &Screen) {
    const TAP: &str = "const [tag, ticket] = document.querySelectorAll('.taken-list form[target=_blank] button'); \
        for (const one of arguments[0]) ({tag, ticket})[one].click()";
    // longer than a second tap counts as the first
    tokio::time::sleep(Duration::from_millis(400)).await;
    desk.run(TAP, json!([["tag", "ticket"]])).await;
    opens(desk, 5, "a sheet each").await;
    tokio::time::sleep(Duration::from_millis(400)).await;
    desk.run(TAP, json!([["tag", "tag", "ticket"]])).await;
    opens(desk, 7, "the tag once, and the ticket").await;
    tokio::time::sleep(Duration::from_millis(400)).await;
    opens(desk, 7, "nothing comes after them").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d01_a_returning_racket_is_in_with_tag_and_ticket_after_a_scan_and_three_touches_and_nothing_typed() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    label(&tournament.admin, &day.returning_racket, "K-104").await;
    let desk = tournament.screen("desk", TABLET).await;
    dev_tools::command(
        desk.client(),
        "Page.addScriptToEvaluateOnNewDocument",
        json!({"source": COUNT}),
    )
    .await;
    desk.open("/hand-in").await;
    // a scanner is a keyboard that ends with Enter; the page has put the focus where it writes
    press(&desk, &format!("K-104{}", char::from(Key::Enter))).await;
    desk.appears("button.same").await;
    let by_scanner = counted(&desk, "strokes").await;
    assert_eq!(counted(&desk, "touches").await, 0);

    desk.tap("Same again").await;
    let code = desk.text(".taken .tag-code").await;
    desk.tap("Print tag").await;
    desk.tap("Print ticket").await;
    let touches = counted(&desk, "touches").await;
    println!("a returning racket: {touches} touches after the scan (reach {MOST_TOUCHES})");
    assert!((1..=MOST_TOUCHES).contains(&touches), "{touches} touches");
    assert_eq!(counted(&desk, "strokes").await, by_scanner, "nothing is typed");
    let (status, job) = desk
        .call("GET", &format!("/v1/jobs/by-code/{code}"), Value::Null)
        .await;
    assert_eq!(status, 200, "{job}");
    assert_eq!(job["racket"]["id"], day.returning_racket.as_str(), "{job}");
    opens(&desk, 3, "tag and ticket are open to print").await;
    sheets_are_asked_for_as_fast_as_fingers_are(&desk).await;
    desk.close().await;
    tournament.admin.close().await;
}
