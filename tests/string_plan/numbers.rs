//! Lengths, start cross and drag of a plan: where they come from, and what wins.
use serde_json::{Value, json};
use weftdesk::craft::string_plan::plan;
use weftdesk::craft::string_plan::plan::{Plan, ValueSource};

use crate::{parse, planned, request};

/// The first fixture frame without recorded cuts.
fn uncut() -> Value {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    asked["frame"].as_object_mut().unwrap().remove("cut_mm");
    asked
}

fn computed(plan: &Plan) -> Vec<f64> {
    let lengths = plan.cuts.iter().map(|cut| cut.computed_mm.expect("a length"));
    lengths.collect()
}

fn has_caution(plan: &Plan, code: &str) -> bool {
    plan.cautions.iter().any(|caution| caution.code == code)
}

fn unknown<'a>(plan: &'a Plan, pointer: &str) -> Option<&'a str> {
    let found = plan.unknowns.iter().find(|unknown| unknown.pointer == pointer)?;
    Some(&found.text)
}

#[test]
fn without_a_recorded_cut_the_computed_one_is_rounded_up_to_five_centimetres() {
    let plan = planned(&uncut());
    for cut in &plan.cuts {
        let (at_least, computed) = (f64::from(cut.at_least_mm.unwrap()), cut.computed_mm.unwrap());
        assert!(at_least >= computed && at_least < computed + 50.0 && at_least % 50.0 == 0.0);
        assert_eq!(cut.source, ValueSource::Computed);
        assert!(cut.tails_mm.iter().sum::<f64>() < computed);
    }
}

#[test]
fn the_source_of_lengths_follows_what_is_known_of_the_size() {
    let source = |change: &dyn Fn(&mut Value)| {
        let mut asked = uncut();
        change(&mut asked["frame"]);
        planned(&asked).cuts[0].source
    };
    assert_eq!(source(&|_| ()), ValueSource::Computed);
    assert_eq!(
        source(&|frame| {
            frame.as_object_mut().unwrap().remove("inside_mm");
            frame["head_area_in2"] = json!(100);
        }),
        ValueSource::ComputedFromArea
    );
    assert_eq!(
        source(&|frame| {
            frame.as_object_mut().unwrap().remove("inside_mm");
        }),
        ValueSource::Assumed
    );
}

#[test]
fn a_recorded_cut_wins_and_is_cautioned_when_it_is_short() {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    asked["frame"]["cut_mm"]["crosses"] = json!(5000);
    let plan = planned(&asked);
    assert_eq!(plan.cuts[1].at_least_mm, Some(5000));
    let safe = plan.cuts[1].computed_at_least_mm.unwrap();
    let short = plan
        .cautions
        .iter()
        .find(|caution| caution.code == "recorded_cut_short")
        .unwrap();
    assert!(
        short.text.contains(&format!("{} mm shorter", safe - 5000)),
        "{}",
        short.text
    );
    asked["frame"]["cut_mm"]["crosses"] = json!(safe);
    assert!(!has_caution(&planned(&asked), "recorded_cut_short"));
}

#[test]
fn a_counted_start_cross_wins_over_the_proposed_one() {
    let mut asked = uncut();
    asked["frame"]["pattern"]["start_cross"] = json!(4);
    let plan = planned(&asked);
    assert_eq!(plan.start_cross.value, Some(4));
    assert_eq!(plan.start_cross.proposed, Some(3));
    assert!(!plan.start_cross.check_on_frame);
}

#[test]
fn a_start_cross_within_three_millimetres_is_to_be_counted_on_the_frame() {
    let mut asked = uncut();
    asked["frame"]["pattern"]
        .as_object_mut()
        .unwrap()
        .remove("start_cross");
    // the height at which the outer mains leave the hoop, as the plan itself tells it
    let open = planned(&asked);
    let inside = json!({"length": 338, "width": 252});
    assert_eq!(asked["frame"]["inside_mm"], inside);
    assert_eq!(open.start_cross.source, ValueSource::Proposed);
    let below = open.start_cross.depth_below_mm.unwrap();
    let third_y: f64 = ordinary_crosses(&asked)[2];
    let mut crosses = ordinary_crosses(&asked);
    crosses[2] = third_y + below - 1.0;
    asked["frame"]["positions_mm"] = json!({"crosses_y": crosses});
    let close = planned(&asked);
    assert!(close.start_cross.close_call && close.start_cross.check_on_frame);
    assert!(
        unknown(&close, "/frame/pattern/start_cross")
            .unwrap()
            .contains("too close")
    );
}

/// The heights that the plan's own law gives the crosses of this request's frame.
fn ordinary_crosses(asked: &Value) -> Vec<f64> {
    use weftdesk::craft::frame::shape;
    let frame = parse(asked).frame;
    let (hoop, _) = shape::hoop(&frame).unwrap();
    shape::ordinary_bed(&frame, hoop).unwrap().crosses_y_mm().to_vec()
}

#[test]
fn pulling_by_the_loops_takes_twice_the_reach_more() {
    let mut asked = uncut();
    asked["spec"]["method"] = json!("start_cross_back");
    asked["machine"] = json!({"clamps": "fixed_swivel", "pull": "constant", "reach_mm": 400, "grip_mm": 70});
    let by_the_tail = computed(&planned(&asked))[1];
    asked["frame"]["pattern"]["pulls_towards_head"] = json!(false);
    let by_the_loops = planned(&asked);
    assert!((computed(&by_the_loops)[1] - by_the_tail - 2.0 * 470.0).abs() < 1e-9);
    let drag = |plan: &Plan| {
        let line = plan.comparison.iter().find(|line| line.chosen).unwrap();
        line.crossing_metres.unwrap()
    };
    asked["frame"]["pattern"]["pulls_towards_head"] = json!(true);
    assert!(drag(&by_the_loops) > drag(&planned(&asked)));
}

#[test]
fn a_measured_reach_goes_into_every_pulled_end() {
    let mut asked = uncut();
    let machine = json!({"clamps": "fixed_swivel", "pull": "constant", "reach_mm": 420, "grip_mm": 80});
    asked["machine"] = machine;
    let ordinary = computed(&planned(&asked));
    asked["machine"]["reach_mm"] = json!(520);
    let longer = computed(&planned(&asked));
    // two pulled ends of the mains, one of the crosses, whose other end is knotted
    assert!((longer[0] - ordinary[0] - 200.0).abs() < 1e-9);
    assert!((longer[1] - ordinary[1] - 100.0).abs() < 1e-9);
}

#[test]
fn an_unknown_material_counts_no_stretch_except_where_a_sport_has_an_ordinary_one() {
    let mut tennis = uncut();
    for part in ["mains", "crosses"] {
        tennis["spec"][part]["string"] = json!({});
    }
    let plan = planned(&tennis);
    assert_eq!(plan.cuts[0].stretch_percent, Some(0.0));
    assert_eq!(plan.cuts[0].stretch_source, Some(ValueSource::Unknown));
    let told = unknown(&plan, "/spec/mains/string/material").unwrap();
    assert!(told.contains("no stretch is counted"), "{told}");

    let mut badminton = request("F3", ("25", "lb"), ("26", "lb"));
    for part in ["mains", "crosses"] {
        badminton["spec"][part]["string"] = json!({});
    }
    let plan = planned(&badminton);
    assert_eq!(plan.cuts[0].stretch_source, Some(ValueSource::Assumed));
    assert!(
        unknown(&plan, "/spec/mains/string/material")
            .unwrap()
            .contains("multifilament")
    );
}

#[test]
fn fanned_mains_get_no_computed_length() {
    let mut asked = uncut();
    asked["frame"]["fanned_mains"] = json!(true);
    let plan = planned(&asked);
    assert!(
        plan.cuts
            .iter()
            .all(|cut| cut.computed_mm.is_none() && cut.at_least_mm.is_none())
    );
    assert!(unknown(&plan, "/frame/fanned_mains").is_some());
    assert!(unknown(&plan, "/frame/cut_mm").is_some());
}

#[test]
fn positions_that_do_not_fit_an_assumed_hoop_are_set_aside_and_told() {
    let mut asked = uncut();
    asked["frame"].as_object_mut().unwrap().remove("inside_mm");
    asked["frame"]["head_area_in2"] = json!(80);
    let mains: Vec<f64> = (0..8).map(|main| 6.0 + 18.0 * f64::from(main)).collect();
    let crosses = ordinary_crosses(&asked);
    asked["frame"]["positions_mm"] = json!({"mains_x": mains, "crosses_y": crosses});
    let told = planned(&asked);
    assert!(
        unknown(&told, "/frame/positions_mm")
            .unwrap()
            .contains("do not fit")
    );
}

#[test]
fn a_frame_beyond_its_sports_limits_is_refused_unless_somebody_insists() {
    let mut asked = uncut();
    // ITF Rules of Tennis, appendix II c: 73.7 cm overall; equality passes
    asked["frame"]["overall_mm"] = json!({"length": 737, "width": 280});
    planned(&asked);
    asked["frame"]["overall_mm"]["length"] = json!(740);
    let faults = plan(&parse(&asked)).expect_err("a refusal");
    assert_eq!(faults[0].code.name(), "outside_sport_limits");
    assert_eq!(faults[0].pointer, "/frame/overall_mm/length");
    assert!(faults[0].detail.contains("737"), "{}", faults[0].detail);
    asked["override"] = json!({"reason": "a racket for practice"});
    let plan = planned(&asked);
    assert!(has_caution(&plan, "outside_sport_limits"));
    assert!(!has_caution(&plan, "outside_range_by_wish"));
}

#[test]
fn starting_at_the_start_cross_drags_less_and_the_comparison_says_so() {
    let plan = planned(&uncut());
    let line = |name: &str| {
        let found = plan.comparison.iter().find(|line| line.method.name() == name);
        found.unwrap().clone()
    };
    let (down, back) = (line("head_down"), line("start_cross_back"));
    assert!(back.worst_pull_mm < down.worst_pull_mm);
    assert!(back.crossing_metres < down.crossing_metres);
    assert_eq!(down.wear_index, Some(100.0));
    assert!(back.wear_index < down.wear_index);
    // two ends of the crosses are pulled instead of one, so more string is used
    assert!(back.string_mm > down.string_mm);
    assert!(back.time_s.is_some());
    let around = line("around");
    assert!(!around.allowed && around.worst_pull_mm.is_none() && !around.reasons.is_empty());
}

#[test]
fn the_crosses_start_at_the_side_of_their_recorded_hole() {
    use weftdesk::craft::frame::Side;
    let mut asked = uncut();
    // the fixture's crosses tie off at head 5 B and throat 11 A
    assert_eq!(planned(&asked).ends.cross_start_side, Side::B);
    asked["spec"]["method"] = json!("start_cross_back");
    // crosses 3, 2, 1 on the short tail: in from A, it leaves cross 1 on B
    assert_eq!(planned(&asked).ends.cross_start_side, Side::A);
    asked["frame"]["pattern"]["cross_start_side"] = json!("B");
    assert_eq!(planned(&asked).ends.cross_start_side, Side::B);
}
