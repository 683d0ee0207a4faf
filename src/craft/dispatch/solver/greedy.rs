//! The first plan: each job in turn at its cheapest place.
use crate::dispatch::solver::insertion::{Blinks, best_place};
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// Puts every job that is in no lane at its cheapest place: the most urgent first,
/// where each unit of weight counts as much as a due time a minute earlier.
pub(super) fn complete(tables: &Tables, plan: &mut Plan) {
    let mut waiting: Vec<usize> = (0..tables.jobs).filter(|job| !plan.has(*job)).collect();
    waiting.sort_by_key(|&job| (tables.due[job] - 60 * tables.weight[job], job));
    for job in waiting {
        if let Some(place) = best_place(tables, plan, job, i64::MAX, &mut Blinks::none()) {
            plan.insert(tables, place.station, place.position, job);
        }
    }
}
