//! What is kept ready for the hour without network or power.
use weftdesk::craft::roles::Role;

use crate::browser::shown;
use crate::day::{code_and_link, page, with_a_racket};
use crate::harness::Harness;

#[actix_web::test]
async fn the_paper_kit_lists_what_waits_and_keeps_its_blank_codes_until_they_are_used() {
    let (harness, _) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    let kit = page(&harness, Role::Desk, "/paper-kit").await;
    for said in [code.as_str(), "Example A.", "24 kg (52.9 lb)", "12:00", "waiting"] {
        assert!(kit.contains(said), "{said}");
    }
    let blanks = |kit: &str| -> Vec<String> {
        let rows = kit.split("Taken in on paper").nth(1).unwrap_or_default();
        let cells = rows.split("<td class=\"code\">").skip(1);
        cells
            .map(|cell| cell.split('<').next().unwrap_or_default().to_owned())
            .collect()
    };
    let codes = blanks(&kit);
    assert_eq!(codes.len(), 50);
    assert!(!codes.contains(&code));
    let again = page(&harness, Role::Coordinator, "/paper-kit").await;
    assert_eq!(blanks(&again), codes, "the same strip on every print");
    let refused = harness.get(Role::Stringer, "/paper-kit").await;
    assert_eq!(refused.status, 403);
}

#[actix_web::test]
async fn a_device_gets_the_worker_the_clock_and_the_page_for_what_it_has_not_kept() {
    let harness = Harness::start().await;
    let worker = harness.get(Role::Stringer, "/service-worker.js").await;
    assert_eq!(worker.status, 200);
    assert!(worker.header("Content-Type").starts_with("text/javascript"));
    assert_eq!(
        worker.header("Cache-Control"),
        "no-cache",
        "a new release is taken at once"
    );
    let screen = harness.get(Role::Stringer, "/next-up").await;
    assert!(screen.header("Weftdesk-Desk-Time").ends_with('Z'));
    assert_eq!(screen.header("Weftdesk-Desk-Rate"), "1");
    let not_kept = shown(harness.get(Role::Stringer, "/offline").await);
    assert!(not_kept.contains("No network"));
}
