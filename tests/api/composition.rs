//! The application as the server composes it, on a database of its own.
use weftdesk::craft::roles::Role;
use weftdesk::desk::DeskError;
use weftdesk::storage::accounts;

use crate::harness::{Harness, STAFF};

#[actix_web::test]
async fn unknown_addresses_are_refused_as_problems_with_security_headers() {
    let harness = Harness::start().await;
    let reply = harness.get(Role::Desk, "/v1/nowhere").await;
    assert_eq!(reply.refusal(), (404, "not_found"));
    assert_eq!(reply.header("Content-Type"), "application/problem+json");
    assert_eq!(reply.header("X-Content-Type-Options"), "nosniff");
}

#[actix_web::test]
async fn every_test_has_a_database_and_a_clock_of_its_own() {
    let (first, second) = (Harness::start().await, Harness::start().await);
    first.pass_minutes(5);
    let apart = first.desk.clock().desk() - second.desk.clock().desk();
    assert_eq!(apart.num_minutes(), 5);
    for harness in [&first, &second] {
        let count = harness
            .desk
            .read(|db| Ok::<_, DeskError>(accounts::count(db)?))
            .await;
        assert_eq!(count.expect("a count"), STAFF.len() as i64);
    }
}
