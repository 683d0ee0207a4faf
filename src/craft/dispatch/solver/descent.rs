//! Descent: each job to its cheapest place, until none gets cheaper.
//!
//! On whole days a first pass of this halves the distance to a good plan before
//! annealing starts.
use crate::dispatch::solver::insertion::{Blinks, best_place};
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// Moves jobs until a whole pass over all finds nothing, or the caller stops.
pub(super) fn descend(tables: &Tables, plan: &mut Plan, keep_going: &mut dyn FnMut() -> bool) {
    let mut order: Vec<usize> = (0..tables.jobs)
        .filter(|job| plan.has(*job) && !tables.is_first(*job))
        .collect();
    order.sort_by_key(|job| (std::cmp::Reverse(tables.weight[*job]), tables.due[*job], *job));
    let mut moved = true;
    while moved {
        moved = false;
        for &job in &order {
            if !keep_going() {
                return;
            }
            moved |= relocate(tables, plan, job);
        }
    }
}

/// Moves one job to its cheapest place; whether the plan became cheaper.
fn relocate(tables: &Tables, plan: &mut Plan, job: usize) -> bool {
    let Some((station, position)) = plan.position_of(job) else {
        return false;
    };
    let before = plan.cost();
    plan.remove(tables, job);
    let saved = before - plan.cost();
    match best_place(tables, plan, job, saved, &mut Blinks::none()) {
        Some(place) => {
            plan.insert(tables, place.station, place.position, job);
            true
        }
        None => {
            plan.insert(tables, station, position, job);
            false
        }
    }
}
