//! Table, JSON and drawing, as planned and as events tell it.
use serde_json::Value;

use crate::{sample, told, weftdesk};

fn json(arguments: &[&str]) -> Value {
    let mut all = vec!["match-times"];
    all.extend(arguments);
    all.push("--json");
    let printed = weftdesk(&all, "");
    assert_eq!(printed.status.code(), Some(0), "{}", told(&printed.stderr));
    serde_json::from_slice(&printed.stdout).unwrap()
}

fn one<'a>(day: &'a Value, id: &str) -> &'a Value {
    let matches = day["matches"].as_array().unwrap();
    matches.iter().find(|row| row["id"] == id).unwrap()
}

#[test]
fn the_three_forms_give_the_same_matches() {
    let by_json = json(&[&sample("order-of-play.json")]);
    let by_csv = json(&[&sample("order-of-play.csv"), "--zone", "Europe/Paris"]);
    let ids = |day: &Value| -> Vec<String> {
        day["matches"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row["id"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(ids(&by_json), ["M11", "M12", "M17", "M21", "M30", "M31"]);
    assert_eq!(ids(&by_csv), ids(&by_json));
    // 11:00 in Paris in May is 09:00 UTC; half past midnight belongs to the day before
    assert_eq!(one(&by_json, "M11")["walk_on"]["p50_at"], "2026-05-02T09:00:00Z");
    assert_eq!(one(&by_csv, "M31")["walk_on"]["p05_at"], "2026-05-02T22:30:00Z");
    let by_calendar = json(&[&sample("order-of-play.ics")]);
    assert_eq!(
        one(&by_calendar, "M17")["walk_on"]["p05_at"],
        "2026-05-02T11:00:00Z"
    );
    assert!(
        by_calendar["remarks"][0]
            .as_str()
            .unwrap()
            .contains("decided_elsewhere")
    );
}

#[test]
fn events_move_what_they_touch() {
    let day = json(&[
        &sample("order-of-play.json"),
        "--events",
        &sample("court-events.jsonl"),
    ]);
    assert_eq!(day["version"], 5);
    assert_eq!(one(&day, "M11")["state"], "finished");
    assert_eq!(one(&day, "M21")["state"], "walkover");
    assert_eq!(one(&day, "M17")["court"], "C2");
    // its start rule was changed to not before 14:00
    assert_eq!(one(&day, "M12")["walk_on"]["p05_at"], "2026-05-02T12:00:00Z");
    // whoever wins M12 needs an hour of rest
    assert!(
        one(&day, "M17")["waits_for"]
            .as_array()
            .unwrap()
            .contains(&"M12".into())
    );
}

#[test]
fn the_table_names_every_match_and_the_drawing_every_court() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("day.svg");
    let file = sample("order-of-play.json");
    let printed = weftdesk(
        &[
            "match-times",
            &file,
            "--now",
            "12:30",
            "--svg",
            out.to_str().unwrap(),
        ],
        "",
    );
    let table = told(&printed.stdout);
    assert!(
        table.starts_with("2026-05-02 Europe/Paris version 3, at 12:30"),
        "{table}"
    );
    for id in ["M11", "M12", "M17", "M21", "M30", "M31"] {
        assert!(table.contains(id), "{table}");
    }
    let drawing = std::fs::read_to_string(out).unwrap();
    assert!(drawing.starts_with("<svg") && drawing.contains("Court 1") && drawing.contains("class=\"now\""));
}
