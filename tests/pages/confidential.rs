//! Specs are confidential: whoever may not see them gets none by typing the address of a screen that has them.
use weftdesk::craft::roles::Role;

use crate::browser::shown;
use crate::day::{code_and_link, page, with_a_racket};

#[actix_web::test]
async fn screens_with_specs_are_refused_to_those_who_may_see_none() {
    let (harness, job) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    let found = page(&harness, Role::Desk, &format!("/hand-out?q={code}")).await;
    let value = |name: &str| {
        let start = found.find(name).expect("it is on the card") + name.len();
        found[start..].split('"').next().unwrap_or_default().to_owned()
    };
    let player = value("name=\"player_id\" value=\"");
    let with_specs = [
        format!("/plan/{job}"),
        format!("/plan/{job}/methods"),
        format!("/jobs/{job}/slip"),
        format!("/check/{job}"),
        "/next-up".to_owned(),
        "/hand-in".to_owned(),
        format!("/hand-in?player={player}"),
        "/snags".to_owned(),
        "/stock".to_owned(),
    ];
    for path in &with_specs {
        for role in [Role::Runner, Role::Referee, Role::Accounts] {
            let reply = harness.get(role, path).await;
            assert_eq!(reply.status, 403, "{} at {path}", role.as_str());
            assert!(!reply.text.contains("24 kg"), "{} at {path}", role.as_str());
        }
        for role in [Role::Desk, Role::Stringer, Role::Coordinator] {
            shown(harness.get(role, path).await);
        }
    }
    // what they are there for stays open to them
    for (role, path) in [
        (Role::Runner, "/court-call"),
        (Role::Referee, "/court-times"),
        (Role::Accounts, "/wall?for=room"),
    ] {
        shown(harness.get(role, path).await);
    }
}
