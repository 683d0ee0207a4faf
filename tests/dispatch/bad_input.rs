//! Files that are refused: whole, with every fault by its path.
use serde_json::{Value, json};
use weftdesk::craft::dispatch::file;

use crate::generated;

fn faults(document: &Value) -> Vec<(String, &'static str)> {
    match file::instance(&serde_json::from_value(document.clone()).unwrap()) {
        Ok(_) => Vec::new(),
        Err(faults) => faults
            .into_iter()
            .map(|fault| (fault.pointer, fault.code))
            .collect(),
    }
}

fn check(spoil: impl FnOnce(&mut Value), pointer: &str, code: &str) {
    let mut document = generated::instance(7);
    assert_eq!(faults(&document), []);
    spoil(&mut document);
    let found = faults(&document);
    assert!(
        found.iter().any(|(at, what)| at == pointer && *what == code),
        "{pointer} {code} in {found:?}"
    );
}

#[test]
fn each_field_at_fault_is_named_by_its_path() {
    check(|d| d["format"] = json!("other/1"), "/format", "unknown_format");
    check(|d| d["t0"] = json!(-1), "/t0", "out_of_range");
    check(
        |d| d["horizon"] = json!(20_000),
        "/stations/0/windows/1",
        "horizon_too_short",
    );
    check(
        |d| d["cost"]["tardy"] = json!(9_999_999_999_i64),
        "/cost/tardy",
        "out_of_range",
    );
    check(|d| d["setup"]["main"] = json!("60"), "/setup/main", "wrong_kind");
    check(|d| d["stations"] = json!([]), "/stations", "no_station");
    check(
        |d| d["stations"][0]["pace"] = json!(0),
        "/stations/0/pace",
        "out_of_range",
    );
    check(
        |d| d["stations"][0]["clamp"] = json!("loose"),
        "/stations/0/clamp",
        "unknown_word",
    );
    check(
        |d| d["stations"][0]["windows"][0] = json!([30_000, 29_000]),
        "/stations/0/windows/0",
        "window_ends_before_start",
    );
    check(
        |d| d["stations"][0]["windows"] = json!([[20_000, 40_000], [30_000, 50_000]]),
        "/stations/0/windows/1",
        "windows_overlap",
    );
    check(
        |d| d["players"][0]["home"] = json!(77),
        "/players/0/home",
        "unknown_station",
    );
    check(
        |d| d["players"][0] = json!({"id": 100, "home": null, "hold": "hard"}),
        "/players/0/hold",
        "hold_without_home",
    );
    check(
        |d| d["jobs"][0]["player"] = json!(5),
        "/jobs/0/player",
        "unknown_player",
    );
    check(
        |d| d["jobs"][0]["base"] = json!(1e300),
        "/jobs/0/base",
        "wrong_kind",
    );
    check(
        |d| d["jobs"][0]["release"] = json!(u64::MAX),
        "/jobs/0/release",
        "wrong_kind",
    );
    check(
        |d| d["jobs"][1]["id"] = d["jobs"][0]["id"].clone(),
        "/jobs/1/id",
        "duplicate_id",
    );
    check(
        |d| drop(d["jobs"][0].as_object_mut().unwrap().remove("due")),
        "/jobs/0/due",
        "missing",
    );
    check(|d| d["jobs"][0] = json!(3), "/jobs/0", "wrong_kind");
    check(
        |d| d["jobs"][0]["release"] = json!(199_999),
        "/jobs/0",
        "no_station_may",
    );
    check(
        |d| {
            d["cost"]["tardy"] = json!(1_000_000_000);
            d["jobs"][0]["weight"] = json!(1_000_000);
        },
        "/cost",
        "cost_overflow",
    );
}

#[test]
fn all_faults_are_told_at_once() {
    let mut document = generated::instance(7);
    document["t0"] = json!("early");
    document["players"][0]["hold"] = json!("firm");
    document["jobs"][0]["weight"] = json!(-3);
    let found = faults(&document);
    for pointer in ["/t0", "/players/0/hold", "/jobs/0/weight"] {
        assert!(
            found.iter().any(|(at, _)| at == pointer),
            "{pointer} in {found:?}"
        );
    }
}

#[test]
fn a_job_that_no_station_may_do_is_named_with_why() {
    let mut document = generated::instance(7);
    document["jobs"][0]["base"] = json!(900_000);
    let told = file::instance(&serde_json::from_value(document).unwrap()).unwrap_err();
    assert!(
        told[0]
            .detail
            .contains("no station may do job 1000: station 0 has no window"),
        "{told:?}"
    );
}

#[test]
fn nothing_that_is_json_makes_the_reader_fall_over() {
    for document in [
        json!(null),
        json!([]),
        json!(3),
        json!("x"),
        json!({}),
        json!({"jobs": {}}),
    ] {
        assert!(!faults(&document).is_empty(), "{document}");
    }
}
