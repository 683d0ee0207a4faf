//! The best place for a job, priced without changing the plan.
//!
//! What a job costs where it is put, and what it costs those behind it, only
//! grows along a lane: set-ups keep the triangle inequality, so nobody behind
//! gets earlier. A scan therefore stops at the best price so far, and a price is
//! complete where a completion is as before.
use crate::dispatch::rules::{release, windows};
use crate::dispatch::solver::lane::{Before, Lane};
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// A place for a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) station: usize,
    pub(super) position: usize,
    /// What the plan costs more.
    pub(super) price: i64,
}

/// Positions that a scan leaves out now and then, so that it does not always end the same way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Blinks {
    /// Positions until the next one is left out.
    pub(super) until: u32,
    /// Positions between two.
    pub(super) every: u32,
}

impl Blinks {
    /// Leaves nothing out.
    pub(super) const fn none() -> Self {
        Self {
            until: u32::MAX,
            every: u32::MAX,
        }
    }

    #[inline]
    const fn now(&mut self) -> bool {
        if self.until == 0 {
            self.until = self.every;
            return true;
        }
        if self.until != u32::MAX {
            self.until -= 1;
        }
        false
    }
}

/// The cheapest place of all stations, below `bound`.
pub(super) fn best_place(
    tables: &Tables,
    plan: &Plan,
    job: usize,
    bound: i64,
    blinks: &mut Blinks,
) -> Option<Place> {
    let mut best = None;
    let mut bound = bound;
    for &station in tables.order(job) {
        let station = station as usize;
        let continuity = plan.continuity_price(tables, job, station);
        if continuity >= bound {
            continue;
        }
        if let Some(place) = best_in_lane(
            tables,
            &plan.lanes[station],
            station,
            job,
            bound,
            continuity,
            blinks,
        ) {
            bound = place.price;
            best = Some(place);
        }
    }
    best
}

/// The cheapest place of one lane, below `bound`.
pub(super) fn best_in_lane(
    tables: &Tables,
    lane: &Lane,
    station: usize,
    job: usize,
    bound: i64,
    continuity: i64,
    blinks: &mut Blinks,
) -> Option<Place> {
    let mut best = None;
    let mut bound = bound;
    let open = tables.windows(station);
    let ready = tables.release[job];
    let stringing = tables.stringing_there(job, station);
    // before the first that ends after the release, it would only keep others waiting
    let first = lane.slots.partition_point(|slot| slot.end <= ready);
    let first = first.max(tables.first(station).len());
    let mut before = lane.before(tables, station, first);
    for position in first..=lane.slots.len() {
        let from = release::earliest(ready, before.end);
        let length = tables.set_up(before.set, job) + stringing;
        let (end, window) = windows::place(open, before.window, from, length);
        let own = continuity + tables.completion(job, end, window < open.len());
        if own < bound {
            let placed = Before {
                set: job,
                end,
                window,
                prefix: before.prefix,
            };
            if !blinks.now()
                && let Some(price) = push_back(tables, lane, station, position, placed, own, bound)
            {
                bound = price;
                best = Some(Place {
                    station,
                    position,
                    price,
                });
            }
        } else if continuity + tables.completion(job, from + stringing, true) >= bound {
            break; // later places only end later
        }
        if let Some(slot) = lane.slots.get(position) {
            before = Before {
                set: slot.job as usize,
                end: slot.end,
                window: slot.window as usize,
                prefix: slot.prefix,
            };
        }
    }
    best
}

/// `price` with all that is pushed back behind `last`, which ends what is put at `position`; `None` from `bound` on.
#[inline]
pub(super) fn push_back(
    tables: &Tables,
    lane: &Lane,
    station: usize,
    position: usize,
    last: Before,
    mut price: i64,
    bound: i64,
) -> Option<i64> {
    let open = tables.windows(station);
    let Before {
        mut end,
        mut window,
        mut prefix,
        ..
    } = last;
    let mut set = Some(last.set);
    for slot in &lane.slots[position..] {
        let next = slot.job as usize;
        let length = match set.take() {
            Some(before) => tables.set_up(before, next) + tables.stringing_there(next, station),
            None => slot.length,
        };
        let from = release::earliest(tables.release[next], end);
        (end, window) = windows::place(open, window, from, length);
        if end == slot.end {
            return Some(price);
        }
        price += tables.completion(next, end, window < open.len()) - (slot.prefix - prefix);
        if price >= bound {
            return None;
        }
        prefix = slot.prefix;
    }
    Some(price)
}
