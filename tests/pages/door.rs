//! Who comes in, and how the first one does.
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;

use crate::browser::{cookies, form, location, send, shown};
use crate::harness::Harness;

const FIRST: [(&str, &str); 7] = [
    ("once", "k1"),
    ("tournament_name", "Harbour Open"),
    ("zone", "Europe/Paris"),
    ("name", "Example Admin"),
    ("login", "Head"),
    ("password", "long enough pass"),
    ("password_again", "long enough pass"),
];

#[actix_web::test]
async fn the_link_of_a_new_desk_founds_it_once_and_signs_its_admin_in() {
    let harness = Harness::start().await;
    let sign_in = shown(harness.ask(TestRequest::with_uri("/sign-in")).await);
    assert!(
        !sign_in.contains("Nobody can sign in yet."),
        "this desk is founded"
    );
    let token = harness.desk.make_set_up_link().await.expect("a link");
    let path = format!("/set-up/{token}");
    let page = shown(harness.ask(TestRequest::with_uri(&path)).await);
    assert!(page.contains("Start this desk") && page.contains("name=\"zone\""));

    let mut wrong = FIRST;
    wrong[2].1 = "Nowhere/Land";
    wrong[6].1 = "another long pass";
    let refused = harness.ask(form(&path, &wrong)).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text.contains("href=\"#zone\"") && refused.text.contains("value=\"Harbour Open\""));
    assert!(
        refused.text.contains("href=\"#password_again\""),
        "all that is wrong at once"
    );
    assert!(
        !refused.text.contains("long enough pass"),
        "passwords are not sent back"
    );

    let done = harness.ask(form(&path, &FIRST)).await;
    assert_eq!(location(&done), "/setup");
    let again = harness.ask(form(&path, &FIRST)).await;
    assert_eq!(again.status, 404);
    let home = harness
        .ask(TestRequest::with_uri("/").insert_header(("Cookie", cookies(&done))))
        .await;
    assert_eq!(location(&home), "/setup");

    let signing = |password| {
        form(
            "/sign-in",
            &[
                ("once", "k2"),
                ("login", "head"),
                ("password", password),
                ("next", "/snags"),
            ],
        )
    };
    let refused = harness.ask(signing("another password")).await;
    assert_eq!(refused.status, 401);
    assert!(refused.text.contains("do not belong together") && refused.text.contains("value=\"head\""));
    assert_eq!(
        location(&harness.ask(signing("long enough pass")).await),
        "/snags"
    );
}

#[actix_web::test]
async fn a_session_outlives_its_access_token_and_ends_with_signing_out() {
    let harness = Harness::start().await;
    let token = harness.desk.make_set_up_link().await.expect("a link");
    let done = harness.ask(form(&format!("/set-up/{token}"), &FIRST)).await;
    let kept = cookies(&done);
    harness.pass_wall(chrono::TimeDelta::minutes(20));
    let home = |kept: &str| TestRequest::with_uri("/").insert_header(("Cookie", kept.to_owned()));
    let renewed = harness.ask(home(&kept)).await;
    assert_eq!(location(&renewed), "/setup");
    assert!(cookies(&renewed).starts_with("weftdesk="));

    let leaving = form("/sign-out", &[("once", "k3")]).insert_header(("Cookie", kept.clone()));
    assert_eq!(location(&harness.ask(leaving).await), "/sign-in");
    assert_eq!(location(&harness.ask(home(&kept)).await), "/sign-in?next=/");
}

#[actix_web::test]
async fn strangers_are_asked_to_sign_in_and_other_sites_are_refused() {
    let harness = Harness::start().await;
    let reply = harness.ask(TestRequest::with_uri("/")).await;
    assert_eq!(location(&reply), "/sign-in?next=/");
    let page = shown(
        harness
            .ask(TestRequest::with_uri("/sign-in?next=//evil.example"))
            .await,
    );
    assert!(page.contains("name=\"password\"") && !page.contains("evil.example"));
    let from_elsewhere = TestRequest::post()
        .uri("/sign-in")
        .insert_header(("Sec-Fetch-Site", "cross-site"))
        .set_form([("login", "head"), ("password", "x")]);
    assert_eq!(harness.ask(from_elsewhere).await.status, 403);
    assert_eq!(
        location(&send(&harness, Role::Desk, "/sign-out", &[]).await),
        "/sign-in"
    );
}

#[actix_web::test]
async fn styles_are_served_with_a_validator_and_missing_ones_are_a_page() {
    let harness = Harness::start().await;
    let style = harness.ask(TestRequest::with_uri("/static/base.css")).await;
    assert_eq!(style.status, 200);
    let etag = style.header("ETag").to_owned();
    let again = TestRequest::with_uri("/static/base.css").insert_header(("If-None-Match", etag));
    assert_eq!(harness.ask(again).await.status, 304);
    let missing = harness.ask(TestRequest::with_uri("/static/nothing.css")).await;
    assert_eq!(missing.status, 404);
    assert!(missing.text.contains("<h1>There is no such page</h1>"));
}
