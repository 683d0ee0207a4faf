//! Stretches of many lanes are dealt out anew, all at once.
//!
//! A player's rackets lie in a row, and where a row would lie better another lies. Job by job that
//! is not seen: the first alone finds no place, and the row in the way would have to go elsewhere
//! first. So a stretch is taken from each of several lanes, each is priced as a whole on each
//! station, and the cheapest assignment of all is carried out, which finds chains of exchanges of
//! any length. By equal time on a core, 12 seeds, the snapshot d8 ends 0.21 and 0.08 % above the
//! best cost known after 20 and 100 ms; without deals 0.28 and 0.18 %, with tails of lanes or with
//! up to eight lanes 0.35 and 0.17 %.
use std::ops::Range;

use crate::chance::Chance;
use crate::dispatch::solver::matching::Matching;
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::stretch;
use crate::dispatch::solver::tables::Tables;

/// A deal takes part of at most so many lanes.
const MOST_LANES: usize = 24;
/// Percent of deals whose stretches lie at about the same time.
const AT_ONE_TIME: usize = 50;
/// Percent of stretches that go on to the end of the next player's row.
const TWO_ROWS: usize = 20;
/// Stands for a station that may not do a stretch: more than any plan costs, and many of them can be added.
const NEVER: i64 = i64::MAX / 1024;

/// Buffers, kept from one deal to the next.
#[derive(Debug, Clone, Default)]
pub(super) struct Deal {
    stations: Vec<usize>,
    /// Where in the jobs taken each stretch ends.
    ends: Vec<usize>,
    /// By stretch and station.
    prices: Vec<i64>,
    positions: Vec<usize>,
    station_of: Vec<usize>,
    matching: Matching,
}

impl Deal {
    /// Fills `taken` with stretches, each from another lane.
    pub(super) fn choose(
        &mut self,
        tables: &Tables,
        plan: &Plan,
        chance: &mut Chance,
        taken: &mut Vec<usize>,
    ) {
        taken.clear();
        self.ends.clear();
        self.stations.clear();
        self.stations.extend(0..tables.stations);
        chance.shuffle(&mut self.stations);
        let most = MOST_LANES.min(tables.stations);
        let lanes = 2 + chance.below(most.saturating_sub(1));
        let at_one_time = chance.below(100) < AT_ONE_TIME;
        let moment = plan
            .position_of(chance.below(tables.jobs))
            .filter(|_| at_one_time)
            .map(|(station, position)| plan.lane(station)[position].end);
        for &station in self.stations.iter().take(lanes) {
            let first = tables.first(station).len();
            let slots = plan.lane(station);
            if slots.len() <= first {
                continue;
            }
            let somewhere = match moment {
                Some(moment) => slots.partition_point(|slot| slot.end < moment),
                None => first + chance.below(slots.len() - first),
            };
            let rows = if chance.below(100) < TWO_ROWS { 2 } else { 1 };
            let (from, to) = rows_around(
                tables,
                plan,
                station,
                somewhere.clamp(first, slots.len() - 1),
                rows,
            );
            taken.extend(slots[from..to].iter().map(|slot| slot.job as usize));
            self.ends.push(taken.len());
        }
    }

    /// Assigns the stretches, which are out of the plan, to stations; whether that can be done.
    pub(super) fn assign(&mut self, tables: &Tables, plan: &Plan, taken: &[usize]) -> bool {
        self.prices.clear();
        self.positions.clear();
        for stretch in 0..self.ends.len() {
            let jobs = &taken[self.jobs_of(stretch)];
            for station in 0..tables.stations {
                let best = stretch::best_in_lane(tables, plan, station, jobs);
                let (position, price) = best.unwrap_or((0, NEVER));
                self.positions.push(position);
                self.prices.push(price.min(NEVER));
            }
        }
        self.matching
            .cheapest(&self.prices, tables.stations, &mut self.station_of);
        let price = |(stretch, station): (usize, &usize)| self.prices[stretch * tables.stations + station];
        self.station_of
            .iter()
            .enumerate()
            .map(price)
            .all(|price| price < NEVER)
    }

    pub(super) const fn stretches(&self) -> usize {
        self.ends.len()
    }

    /// The jobs of a stretch within those taken, and the station and position they were dealt to.
    pub(super) fn place_of(&self, tables: &Tables, stretch: usize) -> (Range<usize>, usize, usize) {
        let station = self.station_of[stretch];
        let position = self.positions[stretch * tables.stations + station];
        (self.jobs_of(stretch), station, position)
    }

    fn jobs_of(&self, stretch: usize) -> Range<usize> {
        let from = stretch.checked_sub(1).map_or(0, |before| self.ends[before]);
        from..self.ends[stretch]
    }
}

/// The row of one player's jobs around `position`, and the rows that follow.
fn rows_around(tables: &Tables, plan: &Plan, station: usize, position: usize, rows: u32) -> (usize, usize) {
    let slots = plan.lane(station);
    let player = |position: usize| tables.player[slots[position].job as usize];
    let first = tables.first(station).len();
    let (mut from, mut to) = (position, position);
    while from > first && player(from - 1) == player(position) {
        from -= 1;
    }
    for _ in 0..rows {
        let row = to;
        while to < slots.len() && player(to) == player(row) {
            to += 1;
        }
    }
    (from, to)
}
