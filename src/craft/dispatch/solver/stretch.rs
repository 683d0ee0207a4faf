//! The cheapest position of several jobs that stay one after the other.
use crate::dispatch::rules::{release, windows};
use crate::dispatch::solver::insertion::push_back;
use crate::dispatch::solver::lane::{Before, Lane};
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// The cheapest position of `stretch` in this lane and what the plan costs more; `None` where the
/// station may not do all of it.
///
/// Passed over may be a position in time that a station waits, where the stretch saves the next job its
/// set-up: only there does anything end sooner than before.
pub(super) fn best_in_lane(
    tables: &Tables,
    plan: &Plan,
    station: usize,
    stretch: &[usize],
) -> Option<(usize, i64)> {
    let may = |job: &usize| tables.stringing(*job, station).is_some();
    if !stretch.iter().all(may) {
        return None;
    }
    let lane = &plan.lanes[station];
    let continuity = continuity(tables, plan, station, stretch);
    let first = first_position(tables, lane, station, *stretch.first()?);
    let mut best: Option<(usize, i64)> = None;
    for position in first..=lane.slots.len() {
        let bound = best.map_or(i64::MAX, |(_, price)| price);
        let mut price = continuity;
        let last = place(
            tables,
            station,
            stretch,
            lane.before(tables, station, position),
            &mut price,
        );
        if price < bound {
            let pushed = push_back(tables, lane, station, position, last, price, bound);
            best = pushed.map(|price| (position, price)).or(best);
        } else if continuity + at_the_earliest(tables, lane, station, position, stretch) >= bound {
            break; // later positions only end later
        }
    }
    best
}

/// Before the first that ends after the release, a job would only keep others waiting.
fn first_position(tables: &Tables, lane: &Lane, station: usize, job: usize) -> usize {
    let ready = tables.release[job];
    let first = lane.slots.partition_point(|slot| slot.end <= ready);
    first.max(tables.first(station).len())
}

/// What continuity costs more with all of them there; a player without a home changes the station once.
fn continuity(tables: &Tables, plan: &Plan, station: usize, stretch: &[usize]) -> i64 {
    let mut price = 0;
    for (index, &job) in stretch.iter().enumerate() {
        let player = tables.player[job];
        let counted = stretch[..index]
            .iter()
            .any(|other| tables.player[*other] == player);
        if tables.roamer(job).is_none() || !counted {
            price += plan.continuity_price(tables, job, station);
        }
    }
    price
}

/// Places one job after the other behind `before`, adds their completions to `price`; answers where that ends.
fn place(tables: &Tables, station: usize, stretch: &[usize], mut before: Before, price: &mut i64) -> Before {
    let open = tables.windows(station);
    for &job in stretch {
        let length = tables.set_up(before.set, job) + tables.stringing_there(job, station);
        let from = release::earliest(tables.release[job], before.end);
        (before.end, before.window) = windows::place(open, before.window, from, length);
        *price += tables.completion(job, before.end, before.window < open.len());
        before.set = job;
    }
    before
}

/// What their completions cost at least from `position` on: no set-ups, no breaks.
fn at_the_earliest(tables: &Tables, lane: &Lane, station: usize, position: usize, stretch: &[usize]) -> i64 {
    let mut end = lane.before(tables, station, position).end;
    let mut price = 0;
    for &job in stretch {
        end = release::earliest(tables.release[job], end) + tables.stringing_there(job, station);
        price += tables.completion(job, end, true);
    }
    price
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;
    use crate::dispatch::invented::day;
    use crate::dispatch::solver::greedy;

    /// A plan of the day, and a few neighbours of one lane that were taken out of it.
    fn with_a_stretch_out(tables: &Tables, chance: &mut Chance) -> (Plan, Vec<usize>) {
        let mut plan = Plan::empty(tables);
        greedy::complete(tables, &mut plan);
        let slots = plan.lane(chance.below(3)).iter().skip(chance.below(6));
        let stretch: Vec<usize> = slots
            .take(1 + chance.below(4))
            .map(|slot| slot.job as usize)
            .collect();
        for &job in &stretch {
            plan.remove(tables, job);
        }
        (plan, stretch)
    }

    fn costs_more(tables: &Tables, plan: &Plan, station: usize, position: usize, stretch: &[usize]) -> i64 {
        let mut with = plan.clone();
        for (offset, &job) in stretch.iter().enumerate() {
            with.insert(tables, station, position + offset, job);
        }
        with.cost() - plan.cost()
    }

    #[test]
    fn the_price_foretold_is_what_the_plan_costs_more() {
        let mut chance = Chance::from_seed(3);
        for seed in 0..60 {
            let problem = day(seed, 30, 3);
            let tables = Tables::new(&problem);
            let (plan, stretch) = with_a_stretch_out(&tables, &mut chance);
            for station in 0..3 {
                let may = stretch
                    .iter()
                    .all(|job| tables.stringing(*job, station).is_some());
                let best = best_in_lane(&tables, &plan, station, &stretch);
                assert_eq!(best.is_some(), may && !stretch.is_empty(), "seed {seed}");
                if let Some((position, price)) = best {
                    let wanted = costs_more(&tables, &plan, station, position, &stretch);
                    assert_eq!(price, wanted, "seed {seed}, station {station}");
                }
            }
        }
    }

    #[test]
    fn no_position_is_cheaper_where_no_station_waits() {
        let mut chance = Chance::from_seed(4);
        for seed in 0..60 {
            let mut problem = day(seed, 30, 3);
            for station in &mut problem.stations {
                station.windows.truncate(1);
                station.windows[0].to = 10_000_000;
            }
            problem.jobs.iter_mut().for_each(|job| job.release = 0);
            let tables = Tables::new(&problem);
            let (plan, stretch) = with_a_stretch_out(&tables, &mut chance);
            for station in 0..3 {
                let Some((_, price)) = best_in_lane(&tables, &plan, station, &stretch) else {
                    continue;
                };
                for position in 0..=plan.lane(station).len() {
                    let there = costs_more(&tables, &plan, station, position, &stretch);
                    assert!(
                        price <= there,
                        "seed {seed}, station {station}, position {position}"
                    );
                }
            }
        }
    }
}
