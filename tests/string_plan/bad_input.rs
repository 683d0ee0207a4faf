//! Refused requests name the field and the way out.
use serde_json::{Value, json};
use weftdesk::craft::string_plan::plan;

use crate::{parse, planned, request};

#[track_caller]
fn check(change: impl FnOnce(&mut Value), pointer: &str, code: &str, says: &str) {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    change(&mut asked);
    let faults = plan(&parse(&asked)).expect_err("a refusal");
    let told: Vec<_> = faults
        .iter()
        .map(|fault| (fault.pointer.as_str(), fault.code.name()))
        .collect();
    assert_eq!(told, [(pointer, code)]);
    assert!(faults[0].detail.contains(says), "{}", faults[0].detail);
}

#[test]
fn a_unit_that_was_probably_meant_is_suggested() {
    check(
        |asked| asked["spec"]["mains"]["tension"]["value"] = json!("52"),
        "/spec/mains/tension",
        "unit_suspect",
        "52 kg is above this frame's range 21-27 kg. Did you mean 52 lb (23.6 kg)?",
    );
}

#[test]
fn d03_out_of_range_is_refused_equality_passes_and_a_reason_overrides() {
    let mut asked = request("F2", ("61", "lb"), ("58", "lb"));
    let faults = plan(&parse(&asked)).expect_err("a refusal");
    assert_eq!(faults[0].code.name(), "tension_out_of_range");
    assert!(faults[0].override_allowed);
    asked["override"] = json!({"reason": "player insists"});
    assert_eq!(planned(&asked).override_reason.as_deref(), Some("player insists"));
    planned(&request("F2", ("60", "lb"), ("50", "lb")));
}

#[test]
fn a_knot_extra_counts_against_the_range() {
    check(
        |asked| {
            asked["spec"]["mains"]["tension"]["value"] = json!("26.5");
            asked["spec"]["knot_extra"] = json!({"value": "1", "unit": "kg"});
        },
        "/spec/mains/tension",
        "tension_out_of_range",
        "with its knot extra",
    );
}

#[test]
fn a_record_that_contradicts_itself_is_refused_by_field() {
    check(
        |asked| asked["frame"]["pattern"]["start_cross"] = json!(15),
        "/frame/pattern/start_cross",
        "frame_contradicts_itself",
        "count crosses from the head",
    );
    check(
        |asked| asked["frame"]["inside_mm"] = json!({"length": 250, "width": 340}),
        "/frame/inside_mm",
        "frame_contradicts_itself",
        "wider than long",
    );
}

#[test]
fn a_method_that_cannot_be_used_says_why_and_what_can() {
    check(
        |asked| asked["spec"]["method"] = json!("tops_on_short_side"),
        "/spec/method",
        "method_not_allowed",
        "needs one piece",
    );
}

#[test]
fn values_that_cannot_be_are_named() {
    check(
        |asked| asked["spec"]["mains"]["string"]["gauge_mm"] = json!("12.5"),
        "/spec/mains/string/gauge_mm",
        "value_out_of_range",
        "0.4 to 2 mm",
    );
    check(
        |asked| asked["override"] = json!({"reason": " "}),
        "/override/reason",
        "value_out_of_range",
        "why",
    );
}

#[test]
fn shapes_that_are_not_a_request_are_refused() {
    let refused = |change: &dyn Fn(&mut Value)| {
        let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
        change(&mut asked);
        serde_json::from_value::<weftdesk::craft::string_plan::PlanRequest>(asked)
            .expect_err("a refusal")
            .to_string()
    };
    assert!(refused(&|asked| asked["frame"]["colour"] = json!("red")).contains("unknown field `colour`"));
    assert!(refused(&|asked| asked["spec"]["mains"]["tension"] = json!({"value": "24"})).contains("unit"));
    for value in ["NaN", "-24", "24,5", ""] {
        refused(&|asked| asked["spec"]["mains"]["tension"]["value"] = json!(value));
    }
}
