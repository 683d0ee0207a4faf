//! Stations: steady days, one day, the least number.
use serde_json::Value;
use weftdesk::craft::staffing::erlang::Steady;
use weftdesk::craft::staffing::station_day::{DayJob, completions as play_day};
use weftdesk::craft::staffing::work_window::{Work, stations_necessary};

use super::{Members, Verdict, count};
use crate::answer::answer;
use crate::case::Case;

pub(crate) fn erlang(case: &Case) -> Verdict {
    let stations = u32::try_from(case.n("stations")?).map_err(|why| why.to_string())?;
    let steady = Steady {
        stations,
        offered_load: case.f("offered_load")?,
    };
    case.hold(vec![
        ("p_wait", answer(steady.chance_of_waiting())),
        ("mean_wait_in_mean_services", answer(steady.mean_wait())),
        (
            "p_wait_exceeds_one_service_given_queued",
            answer(steady.chance_of_longer(1.0)),
        ),
    ])
}

fn jobs(case: &Case) -> Result<&Vec<Value>, String> {
    case.input("jobs")?
        .as_array()
        .ok_or_else(|| "jobs is no list".to_owned())
}

pub(crate) fn completions(case: &Case) -> Verdict {
    let known = ["release", "planned_due", "service", "priority"];
    let day: Result<Vec<DayJob>, String> = jobs(case)?
        .iter()
        .map(|job| {
            let job = Members::of(job, &known)?;
            Ok(DayJob {
                release: job.f("release")?,
                planned_due: job.f("planned_due")?,
                service: job.f("service")?,
                priority: count(job.f("priority")?)?,
            })
        })
        .collect();
    let done = play_day(case.n("stations")?, &day?);
    case.hold(vec![("completion", answer(done))])
}

pub(crate) fn bound(case: &Case) -> Verdict {
    let work: Result<Vec<Work>, String> = jobs(case)?
        .iter()
        .map(|job| {
            let job = Members::of(job, &["release", "due", "work", "variance"])?;
            Ok(Work {
                release: job.f("release")?,
                due: job.f("due")?,
                work: job.f("work")?,
                variance: job.get("variance").and_then(Value::as_f64).unwrap_or(0.0),
            })
        })
        .collect();
    let z = if case.has("z") { case.f("z")? } else { 0.0 };
    case.hold(vec![(
        "stations_necessary",
        answer(stations_necessary(&work?, z)),
    )])
}
