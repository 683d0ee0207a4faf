//! The wish for a racket that is in becomes another, before its stringing and in the middle of it.
use weftdesk::craft::roles::Role;

use crate::browser::{behind, location, send};
use crate::day::{code_and_link, page, taken_by_station_1, with_a_racket};

/// The version of the job that the page was filled in from.
fn version(page: &str) -> String {
    behind(page, "name=\"version\" value=\"")
}

#[actix_web::test]
async fn what_waits_is_changed_by_what_was_said_and_the_rest_stays() {
    let (harness, job) = with_a_racket().await;
    let address = format!("/jobs/{job}/change");
    let shown = page(&harness, Role::Desk, &address).await;
    assert!(shown.contains("M 24 kg") && shown.contains("C 23 kg"), "{shown}");
    assert!(!shown.contains("if_started"), "no string is in");
    let read = version(&shown);
    let nothing = send(&harness, Role::Desk, &address, &[("version", &read)]).await;
    assert_eq!(nothing.status, 422);
    assert!(nothing.text.contains("Say what shall change"), "{}", nothing.text);

    let lower = [("version", read.as_str()), ("step", "one kilo down")];
    let story = location(&send(&harness, Role::Desk, &address, &lower).await);
    let told = page(&harness, Role::Desk, &story).await;
    assert!(told.contains("M 23 kg") && told.contains("C 22 kg"), "{told}");
    assert!(told.contains("String A") && told.contains(&address), "{told}");

    // somebody else's page is older than that
    let late = [("version", read.as_str()), ("as_said", "25")];
    let stale = send(&harness, Role::Desk, &address, &late).await;
    assert_eq!(stale.status, 409);
    assert!(
        stale.text.contains("M 23 kg") && stale.text.contains("value=\"25\""),
        "{}",
        stale.text
    );
    let again = [("version", version(&stale.text)), ("as_said", "25".to_owned())];
    let again: Vec<(&str, &str)> = again
        .iter()
        .map(|(name, value)| (*name, value.as_str()))
        .collect();
    location(&send(&harness, Role::Desk, &address, &again).await);
}

#[actix_web::test]
async fn a_tension_outside_the_range_takes_a_reason() {
    let (harness, job) = with_a_racket().await;
    let address = format!("/jobs/{job}/change");
    let read = version(&page(&harness, Role::Coordinator, &address).await);
    let high = vec![("version", read.as_str()), ("as_said", "28/27 kg")];
    let refused = send(&harness, Role::Coordinator, &address, &high).await;
    assert_eq!(refused.status, 422);
    assert!(
        refused.text.contains("name=\"insist_reason\""),
        "{}",
        refused.text
    );
    let no_reason = [high.clone(), vec![("insist", "yes")]].concat();
    assert_eq!(
        send(&harness, Role::Coordinator, &address, &no_reason)
            .await
            .status,
        422
    );
    let insisted = [no_reason, vec![("insist_reason", "The owner signed for it")]].concat();
    let story = location(&send(&harness, Role::Coordinator, &address, &insisted).await);
    assert!(
        page(&harness, Role::Coordinator, &story)
            .await
            .contains("M 28 kg")
    );
}

#[actix_web::test]
async fn once_strings_are_in_somebody_says_what_becomes_of_them_and_the_bench_reads_it() {
    let (harness, job) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    taken_by_station_1(&harness).await;
    let start = format!("/jobs/{job}/do/start");
    let fields = [("tag_code", code.as_str()), ("strings_by_name", "yes")];
    location(&send(&harness, Role::Stringer, &start, &fields).await);

    let address = format!("/jobs/{job}/change");
    let shown = page(&harness, Role::Desk, &address).await;
    assert!(shown.contains("name=\"if_started\""), "{shown}");
    let read = version(&shown);
    let higher = vec![("version", read.as_str()), ("step", "one kilo up")];
    let unsaid = send(&harness, Role::Desk, &address, &higher).await;
    assert_eq!(unsaid.status, 422);
    assert!(
        unsaid
            .text
            .contains("say what happens to the strings that are in"),
        "{}",
        unsaid.text
    );
    let said = [higher, vec![("if_started", "apply_to_rest")]].concat();
    location(&send(&harness, Role::Desk, &address, &said).await);
    let plan = page(&harness, Role::Stringer, &format!("/plan/{job}")).await;
    assert!(
        plan.contains("25 kg") && plan.contains("/do/acknowledge"),
        "{plan}"
    );
}

#[actix_web::test]
async fn it_is_the_counters_to_change_and_only_while_it_is_in() {
    let (harness, job) = with_a_racket().await;
    let address = format!("/jobs/{job}/change");
    for role in [Role::Stringer, Role::Runner] {
        assert_eq!(harness.get(role, &address).await.status, 403, "{role:?}");
        let sent = send(&harness, role, &address, &[("version", "1"), ("as_said", "25")]).await;
        assert_eq!(sent.status, 403, "{role:?}");
    }
    let gone = harness.get(Role::Desk, "/jobs/job_nowhere/change").await;
    assert_eq!(gone.status, 404);
}
