//! Properties over generated frames, wishes and machines.
use proptest::prelude::*;
use serde_json::{Value, json};
use weftdesk::craft::string_plan::plan;
use weftdesk::craft::string_plan::steps::Action;

use crate::{parse, replay, weave};

fn maybe(values: Vec<Value>) -> impl Strategy<Value = Value> {
    prop::sample::select([values, vec![Value::Null]].concat())
}

fn frames() -> impl Strategy<Value = Value> {
    (
        prop::sample::select(vec!["tennis", "badminton", "squash"]),
        3_u16..=12,
        12_u16..=24,
        maybe(vec![json!("head"), json!("throat")]),
        maybe(vec![json!("head"), json!("throat"), json!("either")]),
        maybe(vec![json!(1), json!(2), json!(3), json!(4)]),
        maybe(vec![json!("A"), json!("B"), json!("either")]),
        maybe(vec![json!("A"), json!("B"), json!("either")]),
        maybe(vec![json!(1), json!(2), json!(3)]),
        maybe(vec![json!(true), json!(false)]),
    )
        .prop_map(
            |(sport, half, crosses, loop_end, from, start, short, start_side, ahead, towards)| {
                let mut pattern = json!({
                    "known": true, "loop_end": loop_end, "crosses_from": from, "start_cross": start,
                    "short_side": short, "cross_start_side": start_side, "max_mains_ahead": ahead,
                    "pulls_towards_head": towards,
                });
                pattern
                    .as_object_mut()
                    .unwrap()
                    .retain(|_, value| !value.is_null());
                json!({"sport": sport, "name": "Generated", "mains": 2 * half, "crosses": crosses,
                    "pattern": pattern, "source": "measured"})
            },
        )
}

fn machines() -> impl Strategy<Value = Value> {
    (
        prop::sample::select(vec!["flying", "fixed_on_glide_bars", "fixed_swivel"]),
        0_u8..=2,
        1_u8..=3,
    )
        .prop_map(|(clamps, starting, count)| {
            json!({"clamps": clamps, "starting_clamps": starting, "clamp_count": count,
                "pull": "constant", "units": [{"unit": "kg", "step": "0.1"}]})
        })
}

fn requests() -> impl Strategy<Value = Value> {
    (
        frames(),
        prop::option::of(machines()),
        prop::sample::select(vec!["one", "two"]),
        prop::sample::select(vec![
            "head_down",
            "start_cross_back",
            "tops_on_short_side",
            "around",
            "throat_up",
        ]),
        prop::sample::select(vec!["knot", "starting_clamp"]),
        prop::sample::select(vec!["by_the_tail", "by_the_loops"]),
    )
        .prop_map(|(frame, machine, pieces, habit, start, back)| {
            let tension = json!({"value": "11", "unit": "kg"});
            let mut request = json!({
                "frame": frame,
                "spec": {"pieces": pieces, "mains": {"tension": tension}, "crosses": {"tension": tension}},
                "stringer": {"method": habit, "cross_start": start, "start_cross_back": back},
            });
            if let Some(machine) = machine {
                request["machine"] = machine;
            }
            request
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    /// No pulled string is ever without a holder, and mains ahead never exceed the cap.
    #[test]
    fn a_plan_can_be_played_at_the_bench(request in requests()) {
        let request = parse(&request);
        if let Ok(plan) = plan(&request) {
            // where the maker's sheet alone tells the order, no string is named at all
            if plan.unknowns.iter().any(|one| one.text.starts_with("Not covered by the plan")) {
                let pulls = plan.steps.iter().any(|step| matches!(step.action, Action::Pull { .. }));
                prop_assert!(!pulls);
            } else if let Err(fault) = replay::replay(&request, &plan) {
                return Err(TestCaseError::fail(format!("{}: {fault}", plan.method.text)));
            }
        }
    }

    /// Over and under are counted from the bed's outermost main, never from the first main a cross meets.
    #[test]
    fn every_weave_is_plain(request in requests()) {
        if let Ok(plan) = plan(&parse(&request))
            && let Err(fault) = weave::plain(&plan)
        {
            return Err(TestCaseError::fail(format!("{}: {fault}", plan.method.text)));
        }
    }

    /// Lengths are numbers, and no cut is shorter than what lies between its tails.
    #[test]
    fn every_length_is_finite_and_longer_than_its_tails(request in requests()) {
        if let Ok(plan) = plan(&parse(&request)) {
            for cut in &plan.cuts {
                let computed = cut.computed_mm.expect("parallel mains have a length");
                prop_assert!(computed.is_finite() && computed > cut.tails_mm.iter().sum::<f64>());
                prop_assert!(f64::from(cut.computed_at_least_mm.expect("a length")) >= computed - 0.001);
            }
            for line in plan.comparison.iter().filter(|line| line.allowed) {
                for figure in [line.worst_pull_mm, line.crossing_metres, line.wear_index, line.time_s] {
                    prop_assert!(figure.is_none_or(|figure| figure.is_finite() && figure > 0.0));
                }
            }
        }
    }

    /// The same request gives the same plan, or the same refusal.
    #[test]
    fn planning_is_deterministic(request in requests()) {
        let request = parse(&request);
        prop_assert_eq!(plan(&request), plan(&request));
    }
}

/// The properties above would be worth nothing if a method were never generated.
#[test]
fn every_method_is_among_the_generated_plans() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..1500 {
        let request = parse(&requests().new_tree(&mut runner).unwrap().current());
        if let Ok(plan) = plan(&request) {
            seen.insert(format!("{} {:?}", plan.method.method.name(), plan.method.variant));
        }
    }
    assert_eq!(seen.len(), 6, "{seen:?}");
}

/// The replay sees a holder that comes off too early, and a main pulled out of turn.
#[test]
fn the_replay_refuses_a_spoilt_plan() {
    let request = parse(&crate::request("F1", ("24", "kg"), ("23", "kg")));
    let sound = plan(&request).unwrap();
    replay::replay(&request, &sound).unwrap();

    let mut loose = sound.clone();
    for step in &mut loose.steps {
        if let Action::Pull { while_pulled, .. } = &mut step.action
            && while_pulled.len() == 2
        {
            while_pulled.truncate(1);
            break;
        }
    }
    assert!(replay::replay(&request, &loose).is_err());

    let mut shifted = sound.clone();
    weave::plain(&shifted).unwrap();
    shifted.weave.crosses[0].over_first_met_on_a =
        shifted.weave.crosses[0].over_first_met_on_a.map(|over| !over);
    assert!(weave::plain(&shifted).is_err());
    let mut twill = sound.clone();
    twill.weave.crosses[1].over_outer_a = twill.weave.crosses[0].over_outer_a;
    assert!(weave::plain(&twill).is_err());

    let mut ahead = sound;
    ahead.ends.max_mains_ahead = 0;
    assert!(replay::replay(&request, &ahead).unwrap_err().contains("ahead"));
}
