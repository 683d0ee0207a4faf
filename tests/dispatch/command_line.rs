//! `weftdesk schedule` and `weftdesk rehearse` as a coordinator runs them.
use std::process::{Command, Output};

use serde_json::Value;

use crate::data;

fn weftdesk(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_weftdesk"))
        .args(arguments)
        .output()
        .unwrap()
}

fn path(name: &str) -> String {
    data(name).to_str().unwrap().to_owned()
}

#[test]
fn a_schedule_is_printed_and_drawn_and_the_other_judge_accepts_it() {
    let folder = tempfile::tempdir().unwrap();
    let (plan, drawing) = (folder.path().join("plan.json"), folder.path().join("plan.svg"));
    let instance = path("dev/d2-small16.json");
    let told = weftdesk(&[
        "schedule",
        &instance,
        "--iterations",
        "3000",
        "--svg",
        drawing.to_str().unwrap(),
    ]);
    assert_eq!(
        told.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    std::fs::write(&plan, &told.stdout).unwrap();
    let judged = Command::new("python3")
        .arg(data("check.py"))
        .arg(&instance)
        .arg(&plan)
        .output()
        .unwrap();
    assert_eq!(
        judged.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&judged.stdout)
    );
    let schedule: Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(schedule["format"], "weftdesk-dispatch-schedule/1");
    assert_eq!(schedule["ops"].as_array().unwrap().len(), 16);
    let again = weftdesk(&["schedule", &instance, "--iterations", "3000"]);
    assert_eq!(
        again.stdout, told.stdout,
        "the same seed and rounds give the same plan"
    );
    assert!(
        std::fs::read_to_string(drawing)
            .unwrap()
            .contains("<title>job 3 ")
    );
}

#[test]
fn every_rule_plans_and_a_budget_in_milliseconds_is_taken() {
    let instance = path("dev/d1-small12.json");
    for rule in ["greedy", "fifo", "edd", "wspt", "atc", "atcs", "atcsb"] {
        let told = weftdesk(&["schedule", &instance, "--rule", rule]);
        assert_eq!(told.status.code(), Some(0), "{rule}");
    }
    assert_eq!(
        weftdesk(&["schedule", &instance, "--budget-ms", "5"])
            .status
            .code(),
        Some(0)
    );
}

#[test]
fn a_refused_file_names_field_and_line_and_ends_with_1() {
    let folder = tempfile::tempdir().unwrap();
    let bad = folder.path().join("bad.json");
    let text = std::fs::read_to_string(data("dev/d1-small12.json")).unwrap();
    std::fs::write(&bad, text.replacen("\"weight\":12", "\"weight\":-12", 1)).unwrap();
    let told = weftdesk(&["schedule", bad.to_str().unwrap()]);
    assert_eq!(told.status.code(), Some(1));
    let why = String::from_utf8(told.stderr).unwrap();
    assert!(why.contains("bad.json:1: jobs.0.weight: is -12"), "{why}");
}

#[test]
fn a_rehearsal_tells_each_rule_with_an_interval() {
    let day = path("days/shop-1.json");
    let told = weftdesk(&[
        "rehearse", &day, "--rule", "live", "--rule", "edd", "--repeat", "2", "--rounds", "30", "--json",
    ]);
    assert_eq!(
        told.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    let report: Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(report["rules"][0]["rule"], "live");
    assert!(report["rules"][1]["ready_percent"]["half_width_95"].is_number());
    let table = weftdesk(&["rehearse", &day, "--rule", "edd", "--repeat", "1"]);
    assert!(String::from_utf8(table.stdout).unwrap().contains("edd"));
}

#[test]
fn staffing_tells_the_odds_and_more_stations_never_make_them_worse() {
    let told = weftdesk(&[
        "staffing",
        &path("days/shop-1.json"),
        "--repeat",
        "2",
        "--rounds",
        "20",
        "--json",
    ]);
    assert_eq!(
        told.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    let found: Value = serde_json::from_slice(&told.stdout).unwrap();
    let stations = found["stations"].as_array().unwrap();
    assert_eq!(stations.len(), 4, "one to four for a shop of two");
    let odds: Vec<f64> = stations
        .iter()
        .map(|staffed| staffed["ready_percent"]["mean"].as_f64().unwrap())
        .collect();
    assert!(odds.is_sorted(), "{odds:?}");
    assert!(!found["half_hours"].as_array().unwrap().is_empty());
}

#[test]
fn staffing_takes_an_order_of_play_with_what_players_usually_bring() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let order = file(
        "order.csv",
        "day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n\
         2026-05-02,C1,1,M1,WS,bo3_tb,starting_at,11:00,P1,P2\n\
         2026-05-02,C1,2,M2,MS,bo3_tb,followed_by,,P3,TBD\n",
    );
    let rackets = file(
        "rackets.csv",
        "player,rackets,minutes,mains,crosses\nP1,6,18,String A,String B\n",
    );
    let arguments = [
        "staffing",
        &order,
        "--zone",
        "Europe/Paris",
        "--rackets",
        &rackets,
        "--rounds",
        "20",
        "--json",
    ];
    let told = weftdesk(&arguments);
    assert_eq!(
        told.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    let found: Value = serde_json::from_slice(&told.stdout).unwrap();
    assert_eq!(found["day"], "2026-05-02");
    assert_eq!(found["strings"][0]["string"], "String A");
    assert!(found["strings"][0]["asked_mm"]["p50"].as_u64() > Some(0));
    let table = weftdesk(&[&arguments[..arguments.len() - 1], &["--stations", "2"]].concat());
    let table = String::from_utf8(table.stdout).unwrap();
    assert!(
        table.contains("2 stations planned") && table.contains("String A:"),
        "{table}"
    );
}

#[test]
fn staffing_refuses_an_order_of_play_without_rackets_or_with_a_bad_table() {
    let folder = tempfile::tempdir().unwrap();
    let (order, wrong) = (folder.path().join("order.csv"), folder.path().join("wrong.csv"));
    let text = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n\
                2026-05-02,C1,1,M1,bo3_tb,starting_at,11:00,P1,P2\n";
    std::fs::write(&order, text).unwrap();
    std::fs::write(&wrong, "player,rackets\nP1,many\n").unwrap();
    let (order, wrong) = (order.to_str().unwrap(), wrong.to_str().unwrap());
    for (given, why) in [
        (
            vec!["staffing", &order, "--zone", "Europe/Paris"],
            "needs --rackets",
        ),
        (
            vec!["staffing", order, "--zone", "Europe/Paris", "--rackets", wrong],
            "wrong.csv:2:4: rackets: \"many\" is no number",
        ),
    ] {
        let told = weftdesk(&given);
        assert_eq!(told.status.code(), Some(1), "{why}");
        let words = String::from_utf8_lossy(&told.stderr).into_owned();
        assert!(words.contains(why), "{words}");
    }
}
