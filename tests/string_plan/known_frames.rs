//! Plans of recorded frames say what the record says.
use serde_json::json;
use weftdesk::craft::frame::Side;
use weftdesk::craft::string_plan::plan::ValueSource;
use weftdesk::craft::weave_method::WeaveMethod;

use crate::{planned, request};

#[test]
fn d02_a_recorded_frame_is_planned_from_its_record() {
    let asked = request("F1", ("24", "kg"), ("23", "kg"));
    let plan = planned(&asked);
    let cuts: Vec<_> = plan
        .cuts
        .iter()
        .map(|cut| (cut.at_least_mm, cut.source))
        .collect();
    assert_eq!(
        cuts,
        [
            (Some(6500), ValueSource::Measured),
            (Some(5800), ValueSource::Measured)
        ]
    );
    let json = serde_json::to_value(&plan).unwrap();
    for field in ["mains_skip", "tie_off_mains", "tie_off_crosses", "shared_holes"] {
        assert_eq!(json["holes"][field], asked["frame"]["pattern"][field], "{field}");
    }
    assert_eq!(plan.start_cross.value, Some(3));
    assert_eq!(plan.method.method, WeaveMethod::HeadDown);
    let shared: Vec<_> = plan
        .cautions
        .iter()
        .filter(|caution| caution.code == "shared_hole")
        .collect();
    assert_eq!(shared.len(), 2);
    assert!(shared[0].text.contains("head 8"));
    for phase in ["prep", "mains", "crosses", "finish", "total"] {
        let of = |quantile: &str| json["estimate"][phase][quantile].as_f64().unwrap();
        assert!(of("p50_s") < of("p80_s") && of("p80_s") < of("p90_s"), "{phase}");
    }
}

#[test]
fn d02_the_same_input_gives_the_same_output() {
    let asked = request("F1", ("24", "kg"), ("23", "kg"));
    let once = serde_json::to_string(&planned(&asked)).unwrap();
    assert_eq!(once, serde_json::to_string(&planned(&asked)).unwrap());
}

#[test]
fn a_frame_that_wants_crosses_from_the_throat_gets_them() {
    let plan = planned(&request("F2", ("55", "lb"), ("53", "lb")));
    assert_eq!(plan.method.method, WeaveMethod::ThroatUp);
}

#[test]
fn an_unknown_pattern_is_listed_and_no_hole_is_guessed() {
    let plan = planned(&request("F4", ("24", "kg"), ("23", "kg")));
    let pointers: Vec<_> = plan
        .unknowns
        .iter()
        .map(|unknown| unknown.pointer.as_str())
        .collect();
    assert!(pointers.contains(&"/frame/pattern"));
    assert!(pointers.contains(&"/frame/pattern/tie_off_mains"));
    let json = serde_json::to_value(&plan).unwrap();
    for step in json["steps"].as_array().unwrap() {
        assert!(step["action"]["hole"].is_null(), "{step}");
    }
}

#[test]
fn unknown_facts_widen_the_estimate() {
    let spread = |key: &str| {
        let total = planned(&request(key, ("24", "kg"), ("23", "kg"))).estimate.total;
        total.p90_s / total.p50_s
    };
    assert!(spread("F4") > spread("F1"));
}

#[test]
fn the_short_side_is_the_makers() {
    let mut asked = request("F3", ("25", "lb"), ("26", "lb"));
    asked["spec"]["pieces"] = json!("one");
    let plan = planned(&asked);
    assert_eq!(plan.short_side.expect("one piece").side, Side::A);
}

#[test]
fn a_tie_off_at_the_wrong_end_is_taken_as_not_known() {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    asked["frame"]["pattern"]["tie_off_mains"] = json!([{"end": "throat", "hole": 6}]);
    let plan = planned(&asked);
    assert!(
        plan.cautions
            .iter()
            .any(|caution| caution.code == "frame_contradicts_itself")
    );
    assert!(plan.holes.tie_off_mains.is_empty());
    assert!(
        plan.unknowns
            .iter()
            .any(|unknown| unknown.pointer == "/frame/pattern/tie_off_mains")
    );
}

#[test]
fn mains_and_crosses_far_apart_are_cautioned() {
    // common practice, no source: about 10 % or 3 kg
    let cautioned = |crosses: &str| {
        let plan = planned(&request("F1", ("26", "kg"), (crosses, "kg")));
        plan.cautions
            .iter()
            .any(|caution| caution.code == "tensions_far_apart")
    };
    assert!(cautioned("22.5"));
    assert!(!cautioned("24"));
}

#[test]
fn the_order_of_deciding_about_the_method_is_kept() {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    asked["policy"] = json!({"two_piece": "start_cross_back"});
    assert_eq!(planned(&asked).method.method, WeaveMethod::StartCrossBack);
    asked["stringer"] = json!({"method": "head_down"});
    assert_eq!(planned(&asked).method.method, WeaveMethod::HeadDown);
    asked["last_method"] = json!("start_cross_back");
    assert_eq!(planned(&asked).method.method, WeaveMethod::StartCrossBack);
    asked["bench_method"] = json!("head_down");
    assert_eq!(planned(&asked).method.method, WeaveMethod::HeadDown);
    asked["bench_method"] = json!("start_cross_back");
    asked["spec"]["method"] = json!("head_down");
    assert_eq!(planned(&asked).method.method, WeaveMethod::HeadDown);
    asked["spec"].as_object_mut().unwrap().remove("method");
    asked["frame"]["pattern"]["methods"] = json!(["head_down"]);
    assert_eq!(planned(&asked).method.method, WeaveMethod::HeadDown);
}
