//! Setup: what was entered is seen and corrected, and a slip of the pen is asked about.
use actix_web::test::TestRequest;
use serde_json::Value;
use weftdesk::craft::roles::Role;

use crate::browser::{behind, cookies, form, location, send};
use crate::day::{option, page, set_up, with_a_racket};
use crate::harness::{Harness, Reply};

#[actix_web::test]
async fn doubtful_entries_are_asked_about_and_nothing_is_kept_of_them() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let frame = |name: &'static str, mains: &'static str, min: &'static str, max: &'static str| {
        [
            ("frame_name", name),
            ("frame_sport", "tennis"),
            ("frame_mains", mains),
            ("frame_crosses", "19"),
            ("frame_min", min),
            ("frame_max", max),
            ("frame_unit", "kg"),
        ]
    };
    for (fields, status, words) in [
        (frame("F-18x20", "18", "50", "60"), 422, "Is the range in lb?"),
        (frame("f-16X19", "16", "21", "27"), 409, "is here already"),
        (frame("F-18x20", "many", "50", "27"), 422, "Count the mains"),
    ] {
        let refused = send(&harness, Role::Coordinator, "/setup/frame", &fields).await;
        assert_eq!(refused.status, status);
        assert!(refused.text.contains(words), "{words}: {}", refused.text);
    }
    let machine = [
        ("machine_name", "M2"),
        ("machine_unit", "kg"),
        ("machine_step", "0"),
    ];
    let refused = send(&harness, Role::Coordinator, "/setup/machine", &machine).await;
    assert!(refused.status == 422 && refused.text.contains("a number above 0"));
    let setup = page(&harness, Role::Coordinator, "/setup").await;
    assert!(!setup.contains("F-18x20") && !setup.contains("<bdi>M2</bdi>"));
    // it is asked at the field, and a reason is enough
    let doubtful = frame("F-18x20", "18", "50", "60");
    let asked = send(&harness, Role::Coordinator, "/setup/frame", &doubtful).await;
    assert!(
        asked.text.contains("name=\"frame_override\"") && asked.text.contains("id=\"frame_min-fault\""),
        "{}",
        asked.text
    );
    let meant = [&doubtful[..], &[("frame_override", "read off the frame twice")]].concat();
    location(&send(&harness, Role::Coordinator, "/setup/frame", &meant).await);
    assert!(
        page(&harness, Role::Coordinator, "/setup")
            .await
            .contains("F-18x20")
    );
}

#[actix_web::test]
async fn what_was_entered_is_seen_and_corrected_and_nobody_is_offered_what_they_may_not_do() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let setup = page(&harness, Role::Coordinator, "/setup").await;
    assert!(
        setup.contains("fixed swivel clamps, constant pull, 0.5 kg steps"),
        "{setup}"
    );
    assert!(setup.contains("M1, open with Leo"));
    assert!(!setup.contains("Add an account") && !setup.contains("Add a device"));
    assert!(
        page(&harness, Role::Admin, "/setup")
            .await
            .contains("Add an account")
    );
    let action = |kind: &str| -> (String, String) {
        let form = setup
            .split(&format!("action=\"/setup/{kind}/"))
            .nth(1)
            .expect("a correction");
        let id = form.split('"').next().expect("an id").to_owned();
        (format!("/setup/{kind}/{id}"), id)
    };
    let (path, id) = action("stringers");
    let name = format!("{id}_name");
    location(&send(&harness, Role::Coordinator, &path, &[(name.as_str(), "Lea")]).await);
    let (path, id) = action("machines");
    let fields: Vec<(String, &str)> = [
        ("name", "M1"),
        ("clamps", "flying"),
        ("pull", "lockout"),
        ("unit", "lb"),
        ("step", "1"),
    ]
    .map(|(field, value)| (format!("{id}_{field}"), value))
    .into();
    let mut fields: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), *value))
        .collect();
    fields.push(("version", "1"));
    location(&send(&harness, Role::Coordinator, &path, &fields).await);
    let stale = send(&harness, Role::Coordinator, &path, &fields).await;
    assert_eq!(stale.status, 409, "{}", stale.text);
    let setup = page(&harness, Role::Coordinator, "/setup").await;
    assert!(setup.contains("flying clamps, lockout pull, 1 lb steps") && setup.contains("open with Lea"));
}

#[actix_web::test]
async fn a_diameter_and_the_machine_of_a_station_are_corrected_and_a_wrong_one_stays_open() {
    let (harness, job) = with_a_racket().await;
    let setup = page(&harness, Role::Coordinator, "/setup").await;
    let string = behind(&setup, "action=\"/setup/strings/");
    let path = format!("/setup/strings/{string}");
    let (name, gauge) = (format!("{string}_name"), format!("{string}_gauge_mm"));
    let fields = |mm| {
        [
            ("version", "1"),
            (name.as_str(), "String A"),
            (gauge.as_str(), mm),
        ]
    };
    let wrong = send(&harness, Role::Desk, &path, &fields("13")).await;
    assert_eq!(wrong.status, 422);
    assert!(
        wrong
            .text
            .contains(&format!("<details id=\"fix-{string}\" open>"))
            && wrong.text.contains("value=\"13\""),
        "{}",
        wrong.text
    );
    location(&send(&harness, Role::Desk, &path, &fields("1,31")).await);
    let setup = page(&harness, Role::Coordinator, "/setup").await;
    assert!(setup.contains("1.31 mm"), "{setup}");
    let waits = harness.get(Role::Desk, &format!("/v1/jobs/{job}")).await.json;
    assert_eq!(waits["spec"]["crosses"]["string"]["gauge_mm"], "1.31", "{waits}");
    a_station_takes_another_machine(&harness).await;
}

async fn a_station_takes_another_machine(harness: &Harness) {
    let machine = [
        ("machine_name", "M2"),
        ("machine_unit", "lb"),
        ("machine_step", "1"),
    ];
    location(&send(harness, Role::Coordinator, "/setup/machine", &machine).await);
    let setup = page(harness, Role::Coordinator, "/setup").await;
    let station = behind(&setup, "action=\"/setup/stations/");
    let (name, machine) = (format!("{station}_name"), format!("{station}_machine_id"));
    let version = harness
        .get(Role::Coordinator, &format!("/v1/stations/{station}"))
        .await
        .json["version"]
        .to_string();
    let other = option(&setup, "M2");
    let fields = [
        ("version", version.as_str()),
        (name.as_str(), "Station 1"),
        (machine.as_str(), other.as_str()),
    ];
    location(
        &send(
            harness,
            Role::Coordinator,
            &format!("/setup/stations/{station}"),
            &fields,
        )
        .await,
    );
    assert!(
        page(harness, Role::Coordinator, "/setup")
            .await
            .contains("M2, open with Leo")
    );
}

/// An account as the API tells it.
async fn account(harness: &Harness, id: &str) -> Value {
    let all = harness.get(Role::Admin, "/v1/accounts").await.json;
    let items = all["items"].as_array().expect("accounts");
    items
        .iter()
        .find(|one| one["id"] == id)
        .expect("the account")
        .clone()
}

/// Sends the correction of an account as its page stands now.
async fn correct(harness: &Harness, id: &str, fields: &[(&str, &str)]) -> Reply {
    let version = account(harness, id).await["version"].to_string();
    let named = fields
        .iter()
        .map(|(field, value)| (format!("{id}_{field}"), *value));
    let named: Vec<(String, &str)> = named.collect();
    let mut fields: Vec<(&str, &str)> = named
        .iter()
        .map(|(name, value)| (name.as_str(), *value))
        .collect();
    fields.push(("version", &version));
    send(harness, Role::Admin, &format!("/setup/accounts/{id}"), &fields).await
}

#[actix_web::test]
async fn an_account_is_corrected_and_nobody_locks_themselves_out() {
    let harness = Harness::start().await;
    let desk = harness.accounts["desk"].as_str();
    let said = |role, pin| {
        [
            ("name", "Example Desk"),
            ("role", role),
            ("pin", pin),
            ("active", "yes"),
        ]
    };
    for nobody in ["system", "board", "integration", "player_link"] {
        assert_eq!(
            correct(&harness, desk, &said(nobody, "")).await.status,
            422,
            "{nobody}"
        );
    }
    let done = correct(&harness, desk, &said("coordinator", "4071")).await;
    assert_eq!(location(&done), "/setup#task-account");
    let now = account(&harness, desk).await;
    assert_eq!(now["role"], "coordinator", "{now}");
    assert_eq!(now["has_pin"], true, "{now}");
    let setup = page(&harness, Role::Admin, "/setup").await;
    assert!(setup.contains("Example Desk"), "{setup}");
    let short = correct(&harness, desk, &said("desk", "1")).await;
    assert_eq!(short.status, 422);
    assert!(
        short.text.contains(&format!("id=\"{desk}_pin-fault\"")),
        "{}",
        short.text
    );
    location(&correct(&harness, desk, &[("name", "Example Desk"), ("role", "desk")]).await);
    assert_eq!(account(&harness, desk).await["active"], false);
    let admin = harness.accounts["admin"].as_str();
    for wrong in [
        &said("desk", "")[..],
        &[("name", "Example Admin"), ("role", "admin")],
    ] {
        let refused = correct(&harness, admin, wrong).await;
        assert_eq!(refused.status, 422);
        assert!(
            refused.text.contains("This is your own account"),
            "{}",
            refused.text
        );
    }
}

/// Signs in with this password and answers the cookies.
async fn signed_in(harness: &Harness, login: &str, password: &str) -> String {
    let fields = [("once", "k1"), ("login", login), ("password", password)];
    cookies(&harness.ask(form("/sign-in", &fields)).await)
}

#[actix_web::test]
async fn whoever_may_do_something_else_now_signs_in_again() {
    let harness = Harness::start().await;
    let desk = harness.accounts["desk"].as_str();
    let said = |role, password| {
        [
            ("name", "Example Desk"),
            ("role", role),
            ("password", password),
            ("active", "yes"),
        ]
    };
    location(&correct(&harness, desk, &said("desk", "long enough pass")).await);
    let cookie = signed_in(&harness, "desk", "long enough pass").await;
    let snags = || TestRequest::with_uri("/snags").insert_header(("Cookie", cookie.clone()));
    assert_eq!(harness.ask(snags()).await.status, 200);
    // the same again, without a new password, ends nothing
    location(&correct(&harness, desk, &said("desk", "")).await);
    assert_eq!(harness.ask(snags()).await.status, 200);
    location(&correct(&harness, desk, &said("coordinator", "")).await);
    assert!(location(&harness.ask(snags()).await).starts_with("/sign-in"));
    // what was not typed anew is as it was
    assert!(!signed_in(&harness, "desk", "long enough pass").await.is_empty());

    let path = format!("/setup/accounts/{desk}");
    let version = account(&harness, desk).await["version"].to_string();
    let name = format!("{desk}_name");
    let fields = [(name.as_str(), "Mine"), ("version", &version)];
    assert_eq!(
        send(&harness, Role::Coordinator, &path, &fields).await.status,
        403
    );
}
