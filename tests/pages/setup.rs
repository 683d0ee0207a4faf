//! Setup: what was entered is seen and corrected, and a slip of the pen is asked about.
use weftdesk::craft::roles::Role;

use crate::browser::{location, send};
use crate::day::{page, set_up};
use crate::harness::Harness;

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
    for (fields, words) in [
        (frame("F-18x20", "18", "50", "60"), "Is the range in lb?"),
        (frame("f-16X19", "16", "21", "27"), "is here already"),
        (frame("F-18x20", "many", "50", "27"), "Count the mains"),
    ] {
        let refused = send(&harness, Role::Coordinator, "/setup/frame", &fields).await;
        assert_eq!(refused.status, 422);
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
