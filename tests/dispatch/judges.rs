//! Two judges, one answer: the project's checker and the independent program `check.py`.
use std::path::Path;
use std::process::Command;

use proptest::prelude::*;
use serde_json::{Value, json};
use weftdesk::craft::chance::Chance;
use weftdesk::craft::dispatch::checker::{Verdict, check};
use weftdesk::craft::dispatch::file;
use weftdesk::craft::dispatch::problem::Problem;
use weftdesk::craft::dispatch::schedule::Schedule;
use weftdesk::craft::dispatch::solver::Search;

use crate::{data, generated};

fn other_judge(folder: &Path, instance: &Value, problem: &Problem, schedule: &Schedule) -> Value {
    let ops: Vec<Value> = schedule
        .ops
        .iter()
        .map(|op| {
            json!({
                "job": problem.jobs[op.job].id, "station": problem.stations[op.station].id,
                "start": op.start, "end": op.end,
            })
        })
        .collect();
    let (one, other) = (folder.join("instance.json"), folder.join("schedule.json"));
    std::fs::write(&one, instance.to_string()).unwrap();
    std::fs::write(&other, json!({ "ops": ops }).to_string()).unwrap();
    let output = Command::new("python3")
        .arg(data("check.py"))
        .args([one, other])
        .output()
        .expect("python3; install Debian's package python3");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn agree(ours: &Verdict, other: &Value) -> Result<(), TestCaseError> {
    prop_assert_eq!(Value::Bool(ours.breaches.is_empty()), other["feasible"].clone());
    let figures = &ours.figures;
    for (name, value) in [
        ("cost", figures.cost),
        ("weighted_tardiness", figures.weighted_tardiness),
        ("late", figures.late),
        ("breaks", figures.breaks),
        ("flow", figures.flow),
        ("setup_s", figures.set_up_s),
        ("max_tardiness_s", figures.max_tardiness_s),
    ] {
        prop_assert_eq!(json!(value), other[name].clone(), "{}", name);
    }
    Ok(())
}

/// Spoils a schedule in one of several ways.
fn spoil(schedule: &mut Schedule, problem: &Problem, chance: &mut Chance) {
    let index = chance.below(schedule.ops.len());
    let op = &mut schedule.ops[index];
    let shift = 1 + i64::try_from(chance.below(4000)).unwrap();
    match chance.below(5) {
        0 => op.end += shift,
        1 => {
            op.start -= shift;
            op.end -= shift;
        }
        2 => {
            op.start += shift;
            op.end += shift;
        }
        3 => op.station = chance.below(problem.stations.len()),
        _ => {
            schedule.ops.remove(index);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 30, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn both_judges_say_the_same_of_good_and_of_spoilt_schedules(seed in any::<u64>()) {
        let folder = tempfile::tempdir().unwrap();
        let json = generated::instance(seed);
        let problem = file::instance(&serde_json::from_value(json.clone()).unwrap()).unwrap();
        let mut search = Search::new(&problem, seed);
        search.anneal(200, &mut || true);
        let mut schedule = search.best().schedule();
        let good = check(&problem, &schedule);
        prop_assert_eq!(&good.breaches, &[]);
        prop_assert_eq!(good.figures.cost, search.best_cost());
        agree(&good, &other_judge(folder.path(), &json, &problem, &schedule))?;
        spoil(&mut schedule, &problem, &mut Chance::from_seed(seed));
        agree(&check(&problem, &schedule), &other_judge(folder.path(), &json, &problem, &schedule))?;
    }
}
