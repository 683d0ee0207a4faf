//! Devices of the desk: joined by a link, used with a PIN, or as a wall nobody signs in on.
use actix_web::http::Method;
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;

use crate::browser::{cookies, form, location, send, shown};
use crate::harness::Harness;

fn get(path: &str, cookie: &str) -> TestRequest {
    TestRequest::with_uri(path).insert_header(("Cookie", cookie.to_owned()))
}

/// Adds a device in Setup, opens its link on it and answers its cookie.
async fn joined(harness: &Harness, name: &str, kind: &str) -> String {
    let fields = [("device_name", name), ("device_kind", kind)];
    let page = shown(send(harness, Role::Admin, "/setup/device", &fields).await);
    let start = page.find("/device/").expect("the link is shown");
    let link: String = page[start..]
        .chars()
        .take_while(|one| one.is_ascii_alphanumeric() || "/-_".contains(*one))
        .collect();
    let question = shown(harness.ask(TestRequest::with_uri(&link)).await);
    assert!(question.contains(name));
    let taken = harness.ask(form(&link, &[("once", "k")])).await;
    assert_eq!(taken.status, 303, "{}", taken.text);
    let again = harness.ask(TestRequest::with_uri(&link)).await;
    assert_eq!(again.status, 404, "a link is good once");
    cookies(&taken)
}

async fn person_with_pin(harness: &Harness) {
    let fields = [
        ("account_name", "Mia Example"),
        ("account_login", "mia"),
        ("account_role", "stringer"),
        ("account_pin", "4071"),
    ];
    location(&send(harness, Role::Admin, "/setup/account", &fields).await);
}

#[actix_web::test]
async fn a_pin_signs_in_on_a_registered_device_and_nowhere_else() {
    let harness = Harness::start().await;
    person_with_pin(&harness).await;
    let device = joined(&harness, "Bench 3", "tablet").await;
    let page = shown(harness.ask(get("/sign-in", &device)).await);
    assert!(page.contains("Bench 3") && page.contains("Mia Example") && page.contains("name=\"pin\""));
    let elsewhere = shown(harness.ask(TestRequest::with_uri("/sign-in")).await);
    assert!(!elsewhere.contains("Mia Example"));

    let with_pin = |pin, cookie: &str| {
        let fields = [
            ("once", "k"),
            ("way", "pin"),
            ("person", "mia"),
            ("pin", pin),
            ("next", "/next-up"),
        ];
        form("/sign-in", &fields).insert_header(("Cookie", cookie.to_owned()))
    };
    assert_eq!(harness.ask(with_pin("4071", "")).await.status, 401);
    assert_eq!(harness.ask(with_pin("4072", &device)).await.status, 401);
    assert_eq!(
        location(&harness.ask(with_pin("4071", &device)).await),
        "/next-up"
    );
}

#[actix_web::test]
async fn five_wrong_pins_and_ten_wrong_passwords_have_to_wait() {
    let harness = Harness::start().await;
    person_with_pin(&harness).await;
    let device = joined(&harness, "Bench 3", "tablet").await;
    let wrong_pin = || {
        let fields = [("once", "k"), ("way", "pin"), ("person", "mia"), ("pin", "9182")];
        form("/sign-in", &fields).insert_header(("Cookie", device.clone()))
    };
    for _ in 0..5 {
        assert_eq!(harness.ask(wrong_pin()).await.status, 401);
    }
    let refused = harness.ask(wrong_pin()).await;
    assert_eq!((refused.status, refused.header("Retry-After")), (429, "60"));
    assert!(refused.text.contains("Wait 60 seconds"));
    for _ in 0..10 {
        let fields = [("once", "k"), ("login", "nobody"), ("password", "not the one")];
        assert_eq!(harness.ask(form("/sign-in", &fields)).await.status, 401);
    }
    let fields = [("once", "k"), ("login", "Nobody"), ("password", "not the one")];
    assert_eq!(harness.ask(form("/sign-in", &fields)).await.status, 429);
}

#[actix_web::test]
async fn a_wall_screen_shows_the_wall_alone_until_it_is_removed() {
    let harness = Harness::start().await;
    let device = joined(&harness, "Wall by the door", "wall").await;
    let first = harness.ask(get("/wall?for=room", &device)).await;
    assert_eq!(first.status, 200, "{}", first.text);
    let both = format!("{device}; {}", cookies(&first));
    assert_eq!(harness.ask(get("/wall?for=counter", &both)).await.status, 200);
    let other = harness.ask(get("/hand-in", &both)).await;
    assert!(
        location(&other).starts_with("/sign-in"),
        "a wall screen sees no other page"
    );

    let setup = shown(harness.get(Role::Admin, "/setup").await);
    let start = setup.find("/setup/devices/").expect("it can be removed");
    let remove = setup[start..].split('"').next().unwrap_or_default().to_owned();
    location(&send(&harness, Role::Admin, &remove, &[]).await);
    let gone = harness.ask(get("/wall?for=room", &both)).await;
    assert!(location(&gone).starts_with("/sign-in"));
    let stranger = TestRequest::with_uri("/wall").method(Method::GET);
    assert!(location(&harness.ask(stranger).await).starts_with("/sign-in"));
}
