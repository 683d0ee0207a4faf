//! The difference of two plans, job by job and in words.
use super::{ChangedJob, InterventionPrice};
use crate::desk::minutes::late_minutes;
use crate::desk::schedule::{PlannedJob, WorkPlan};
use crate::desk::waiting_work::WaitingWork;

fn jobs_of(plan: &WorkPlan) -> impl Iterator<Item = &PlannedJob> {
    plan.lanes.iter().flat_map(|lane| &lane.jobs)
}

/// What changes from one plan to the other. `staying` are ids and codes of jobs on machines of stations that close.
pub(super) fn compare(
    before: &WorkPlan,
    after: &WorkPlan,
    work: &WaitingWork,
    staying: Vec<(String, String)>,
) -> InterventionPrice {
    let mut price = InterventionPrice {
        later: Vec::new(),
        sooner: Vec::new(),
        joining: Vec::new(),
        left_over: Vec::new(),
        staying: Vec::new(),
        continuity_breaks_more: after.continuity_breaks - before.continuity_breaks,
        cost_more: after.cost - before.cost,
        sentences: Vec::new(),
    };
    let mut left = Vec::new();
    for job in jobs_of(before) {
        let Some(then) = jobs_of(after).find(|then| then.job_id == job.job_id) else {
            let why = work.unplanned.iter().find(|one| one.job_id == job.job_id);
            let why = why.map_or("It has a place at a station.", |one| one.why.words());
            if why_counts(work, &job.job_id) {
                price.left_over.push(job.job_id.clone());
            }
            left.push(format!("{}: {why}", job.tag_code));
            continue;
        };
        // lateness is against the due time as it would then be
        let difference = then.late_s - job.late_s;
        if difference.abs() < 60 {
            continue;
        }
        let sentence = if then.late_s == 0 {
            format!("{} becomes in time.", job.tag_code)
        } else if job.late_s == 0 {
            format!("{} becomes {} min late.", job.tag_code, late_minutes(then.late_s))
        } else {
            format!(
                "{} becomes {} min late instead of {}.",
                job.tag_code,
                late_minutes(then.late_s),
                late_minutes(job.late_s)
            )
        };
        let changed = changed(then, job.late_s, sentence);
        if difference > 0 {
            price.later.push(changed);
        } else {
            price.sooner.push(changed);
        }
    }
    price.joining = joining(before, after);
    price.later.sort_by_key(|job| std::cmp::Reverse(job.late_s_after));
    tell(&mut price, left, staying);
    price
}

/// How the job that somebody wants to help stands afterwards, where its time does not change.
pub(super) fn stays(price: &InterventionPrice, after: &WorkPlan, job: Option<&str>) -> Option<String> {
    let job = jobs_of(after).find(|then| Some(then.job_id.as_str()) == job)?;
    let told = |jobs: &[ChangedJob]| jobs.iter().any(|one| one.job_id == job.job_id);
    if told(&price.later) || told(&price.sooner) || told(&price.joining) {
        return None;
    }
    Some(if job.late_s > 0 {
        format!("{} stays {} min late.", job.tag_code, late_minutes(job.late_s))
    } else {
        format!("{} stays in time.", job.tag_code)
    })
}

/// Who is in the later plan alone.
fn joining(before: &WorkPlan, after: &WorkPlan) -> Vec<ChangedJob> {
    let mut joining = Vec::new();
    for then in jobs_of(after) {
        if jobs_of(before).all(|job| job.job_id != then.job_id) {
            let sentence = if then.late_s == 0 {
                format!("{} waits in the queue, in time.", then.tag_code)
            } else {
                format!(
                    "{} waits in the queue, {} min late.",
                    then.tag_code,
                    late_minutes(then.late_s)
                )
            };
            joining.push(changed(then, 0, sentence));
        }
    }
    joining
}

/// A job that is in no plan because no station may do it, not because it was given to one.
fn why_counts(work: &WaitingWork, job_id: &str) -> bool {
    work.unplanned.iter().any(|one| one.job_id == job_id)
}

fn changed(then: &PlannedJob, late_s_before: i64, sentence: String) -> ChangedJob {
    ChangedJob {
        job_id: then.job_id.clone(),
        tag_code: then.tag_code.clone(),
        late_s_before,
        late_s_after: then.late_s,
        ready_at: Some(then.ready_at),
        sentence,
    }
}

fn tell(price: &mut InterventionPrice, left: Vec<String>, staying: Vec<(String, String)>) {
    let said = |jobs: &[ChangedJob]| -> Vec<String> { jobs.iter().map(|job| job.sentence.clone()).collect() };
    let mut sentences = said(&price.later);
    let harms = !price.later.is_empty()
        || !price.left_over.is_empty()
        || price.joining.iter().any(|job| job.late_s_after > 0);
    if !harms {
        sentences.push("Nobody becomes later.".to_owned());
    }
    sentences.extend(said(&price.sooner));
    sentences.extend(said(&price.joining));
    sentences.extend(left);
    for (id, code) in staying {
        sentences.push(format!("{code} is on the machine and stays there."));
        price.staying.push(id);
    }
    match price.continuity_breaks_more {
        0 => {}
        1 => sentences.push("The rackets of 1 more player are split between stations.".to_owned()),
        -1 => sentences.push("The rackets of 1 player less are split between stations.".to_owned()),
        more if more > 1 => sentences.push(format!(
            "The rackets of {more} more players are split between stations."
        )),
        fewer => sentences.push(format!(
            "The rackets of {} players less are split between stations.",
            -fewer
        )),
    }
    price.sentences = sentences;
}
