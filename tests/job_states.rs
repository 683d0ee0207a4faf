//! The state table in Rust and the state table as data say the same, both ways.
#![expect(clippy::expect_used, reason = "a helper of a test may stop the test")]
use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use weftdesk::craft::job::{JobAction, JobPhase, JobState, Outcome, Rule, States, TABLE};
use weftdesk::craft::roles::Role;

fn data() -> Value {
    serde_json::from_str(include_str!("data/job-states.json")).expect("the table is JSON")
}

fn texts(list: &Value) -> Vec<String> {
    let list = list.as_array().map(Vec::as_slice).unwrap_or_default();
    list.iter()
        .map(|text| text.as_str().map_or_else(|| text.to_string(), str::to_owned))
        .collect()
}

fn set(list: &Value) -> BTreeSet<String> {
    texts(list).into_iter().collect()
}

fn words<T: Copy + ToString>(list: &[T]) -> BTreeSet<String> {
    list.iter().map(ToString::to_string).collect()
}

/// A set of states as the data writes it: `null` for "no job yet", `*` for any.
fn states(states: States) -> BTreeSet<String> {
    match states {
        States::Any => BTreeSet::from(["*".to_owned()]),
        States::These(list) => words(list),
        States::NoneOr(list) => words(list).into_iter().chain(["null".to_owned()]).collect(),
    }
}

/// One line of the data in the terms of a [`Rule`], each column by its name.
fn columns_of_data(line: &Value) -> BTreeMap<&'static str, BTreeSet<String>> {
    let outcome = line["outcome"].as_str().unwrap_or_default();
    let (court_only, roles): (Vec<_>, Vec<_>) = texts(&line["roles"])
        .into_iter()
        .partition(|role| role.ends_with("_court_only"));
    BTreeMap::from([
        ("from", set(&line["from"])),
        ("to", set(&line["to"])),
        ("roles", roles.into_iter().collect()),
        (
            "court_only",
            court_only
                .iter()
                .map(|role| role.replace("_court_only", ""))
                .collect(),
        ),
        ("needs", set(&line["needs"])),
        ("blocked_by", set(&line["blocked_by"])),
        (
            "within_s",
            line["within_s"]
                .as_i64()
                .iter()
                .map(ToString::to_string)
                .collect(),
        ),
        (
            "outcome",
            outcome
                .split('|')
                .filter(|one| !one.is_empty())
                .map(str::to_owned)
                .collect(),
        ),
        ("coordinator_only_from", set(&line["coordinator_only_from"])),
        ("event", set(&Value::Array(vec![line["event"].clone()]))),
    ])
}

fn columns_of_rule(rule: &Rule) -> BTreeMap<&'static str, BTreeSet<String>> {
    BTreeMap::from([
        ("from", states(rule.from)),
        ("to", states(rule.to)),
        ("roles", words(rule.roles)),
        ("court_only", words(rule.court_only_roles)),
        ("needs", words(rule.needs)),
        ("blocked_by", words(rule.blocked_by)),
        (
            "within_s",
            rule.within_s.iter().map(ToString::to_string).collect(),
        ),
        ("outcome", words(rule.outcomes)),
        ("coordinator_only_from", words(rule.coordinator_only_from)),
        ("event", BTreeSet::from([rule.event.to_owned()])),
    ])
}

#[test]
fn each_line_of_the_table_equals_its_line_of_the_data() {
    let data = data();
    let lines = data["actions"].as_array().expect("actions are a list");
    for (rule, line) in TABLE.iter().zip(lines) {
        assert_eq!(line["name"].as_str(), Some(rule.action.as_str()));
        assert_eq!(columns_of_rule(rule), columns_of_data(line), "{}", rule.action);
    }
    assert_eq!(lines.len(), TABLE.len());
}

#[test]
fn the_data_has_no_column_that_the_table_does_not_know() {
    let known = [
        "name",
        "from",
        "to",
        "roles",
        "needs",
        "blocked_by",
        "within_s",
        "outcome",
        "coordinator_only_from",
        "event",
        "note",
    ];
    for line in data()["actions"].as_array().expect("actions are a list") {
        for column in line.as_object().expect("a line is an object").keys() {
            assert!(known.contains(&column.as_str()), "{column}");
        }
    }
}

#[test]
fn states_phases_actions_and_outcomes_are_those_of_the_data() {
    let data = data();
    assert_eq!(
        texts(&data["states"]),
        JobState::ALL.iter().map(ToString::to_string).collect::<Vec<_>>()
    );
    assert_eq!(
        texts(&data["phases"]),
        JobPhase::ALL.iter().map(ToString::to_string).collect::<Vec<_>>()
    );
    let mut outcomes = BTreeSet::new();
    for line in data["actions"].as_array().expect("actions are a list") {
        outcomes.extend(columns_of_data(line)["outcome"].clone());
        let name = line["name"].as_str().expect("an action has a name");
        assert_eq!(name.parse::<JobAction>().expect("a known action").as_str(), name);
        for role in columns_of_data(line)["roles"].iter() {
            assert_eq!(role.parse::<Role>().expect("a known role").as_str(), role);
        }
    }
    assert_eq!(outcomes, words(Outcome::ALL));
}

#[test]
fn the_ends_are_those_of_the_data() {
    let data = data();
    let (ends, ends_if_gone) = (set(&data["final"]), set(&data["final_if_no_racket_here"]));
    for state in JobState::ALL {
        assert_eq!(state.is_final(true), ends.contains(state.as_str()), "{state}");
        let gone = ends.contains(state.as_str()) || ends_if_gone.contains(state.as_str());
        assert_eq!(state.is_final(false), gone, "{state}");
    }
}
