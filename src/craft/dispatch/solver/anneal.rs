//! Ruin and recreate: a few jobs are taken out and put back, each at its cheapest place.
//!
//! Worse plans are accepted by simulated annealing. The idea of strings follows
//! Christiaens and Vanden Berghe, "Slack Induction by String Removals",
//! Transportation Science 54(2), 2020 (from memory).
use crate::chance::Chance;
use crate::dispatch::solver::deal::Deal;
use crate::dispatch::solver::insertion::{Blinks, best_place};
use crate::dispatch::solver::lane::Lane;
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;
use crate::dispatch::solver::{exchange, ruin};

/// One position in so many is left out.
const BLINK_EVERY: u32 = 100;

/// Percent of rounds that exchange stretches, if there were one station: with many
/// stations a random pair seldom has something to exchange.
const EXCHANGES: usize = 30;

/// So many of a thousand rounds are deals, per station: the more there are, the more a deal finds.
const DEALS_PER_STATION: usize = 5;
/// At most so many of a thousand, since a deal takes as long as several other rounds.
const MOST_DEALS: usize = 100;

/// Buffers of the loop, kept from one round to the next.
#[derive(Debug, Clone)]
pub(super) struct Rounds {
    taken: Vec<usize>,
    /// Where the taken jobs were.
    homes: Vec<(usize, usize)>,
    /// Lanes as they were, by station.
    saved: Vec<Lane>,
    touched: Vec<usize>,
    blinks: Blinks,
    deal: Deal,
}

impl Rounds {
    pub(super) fn new(tables: &Tables) -> Self {
        Self {
            taken: Vec::new(),
            homes: Vec::new(),
            saved: vec![Lane::default(); tables.stations],
            touched: Vec::new(),
            blinks: Blinks {
                until: BLINK_EVERY,
                every: BLINK_EVERY,
            },
            deal: Deal::default(),
        }
    }

    /// One round on `plan`; keeps the change if its price is below `accept`.
    /// Answers the change of the plan's cost.
    pub(super) fn round(
        &mut self,
        tables: &Tables,
        plan: &mut Plan,
        chance: &mut Chance,
        accept: i64,
    ) -> i64 {
        self.touched.clear();
        self.homes.clear();
        if tables.stations > 1 && chance.below(1000) < MOST_DEALS.min(DEALS_PER_STATION * tables.stations) {
            return self.deal(tables, plan, chance, accept);
        }
        let continuity = plan.continuity;
        let mut price = if chance.below(100 * tables.stations) < EXCHANGES {
            self.exchange(tables, plan, chance)
        } else {
            ruin::choose(tables, plan, chance, &mut self.taken);
            0
        };
        price += self.take_out(tables, plan) + plan.continuity - continuity;
        self.put_in_order(tables, chance);
        for index in 0..self.taken.len() {
            let job = self.taken[index];
            // a plan that costs more than may be accepted need not be finished
            let bound = accept.saturating_sub(price);
            let Some(place) = best_place(tables, plan, job, bound, &mut self.blinks) else {
                self.undo(tables, plan);
                return 0;
            };
            self.touch(plan, place.station);
            plan.insert(tables, place.station, place.position, job);
            price += place.price;
        }
        price
    }

    /// A round that deals stretches of many lanes out anew.
    fn deal(&mut self, tables: &Tables, plan: &mut Plan, chance: &mut Chance, accept: i64) -> i64 {
        let continuity = plan.continuity;
        self.deal.choose(tables, plan, chance, &mut self.taken);
        let mut price = self.take_out(tables, plan);
        if !self.deal.assign(tables, plan, &self.taken) {
            self.undo(tables, plan);
            return 0;
        }
        for stretch in 0..self.deal.stretches() {
            let (jobs, station, position) = self.deal.place_of(tables, stretch);
            self.touch(plan, station);
            price -= plan.lanes[station].cost();
            plan.insert_stretch(tables, station, position, &self.taken[jobs]);
            price += plan.lanes[station].cost();
        }
        // prices of continuity were foretold as if the others of a player stayed away
        price += plan.continuity - continuity;
        if price >= accept {
            self.undo(tables, plan);
            return 0;
        }
        price
    }

    /// Exchanges a stretch and takes jobs at its edges; answers what the lanes cost more.
    fn exchange(&mut self, tables: &Tables, plan: &mut Plan, chance: &mut Chance) -> i64 {
        self.taken.clear();
        let Some(cuts) = exchange::choose(tables, plan, chance) else {
            ruin::choose(tables, plan, chance, &mut self.taken);
            return 0;
        };
        let cost = |plan: &Plan| plan.lanes[cuts[0].station].cost() + plan.lanes[cuts[1].station].cost();
        let before = cost(plan);
        for cut in cuts {
            self.touch(plan, cut.station);
        }
        exchange::carry_out(tables, plan, cuts, &mut self.homes);
        for cut in cuts {
            let edge = if chance.below(2) == 0 { cut.from } else { cut.to };
            ruin::around(tables, plan, chance, cut.station, edge, &mut self.taken);
        }
        cost(plan) - before
    }

    fn touch(&mut self, plan: &Plan, station: usize) {
        if !self.touched.contains(&station) {
            self.touched.push(station);
            self.saved[station].slots.clone_from(&plan.lanes[station].slots);
        }
    }

    /// Takes the jobs out; answers what the lanes cost more (that is, less).
    fn take_out(&mut self, tables: &Tables, plan: &mut Plan) -> i64 {
        for index in 0..self.taken.len() {
            let job = self.taken[index];
            if let Some(station) = plan.station_of(job) {
                self.touch(plan, station);
                if !self.homes.iter().any(|(moved, _)| *moved == job) {
                    self.homes.push((job, station));
                }
                plan.leave(tables, job);
            }
        }
        let mut price = 0;
        for &station in &self.touched {
            let before = plan.lanes[station].cost();
            let mut slots = std::mem::take(&mut plan.lanes[station].slots);
            let first = slots
                .iter()
                .position(|slot| !plan.has(slot.job as usize))
                .unwrap_or(slots.len());
            slots.retain(|slot| plan.has(slot.job as usize));
            plan.lanes[station].slots = slots;
            plan.lanes[station].refresh(tables, station, first);
            price += plan.lanes[station].cost() - before;
        }
        price
    }

    fn put_in_order(&mut self, tables: &Tables, chance: &mut Chance) {
        let taken = &mut self.taken;
        chance.shuffle(taken);
        match chance.below(6) {
            0 => {}
            1 => taken.sort_by_key(|job| tables.due[*job]),
            2 => taken.sort_by_key(|job| std::cmp::Reverse(tables.weight[*job])),
            3 => taken.sort_by_key(|job| tables.release[*job]),
            4 => taken.sort_by_key(|job| (tables.player[*job], tables.due[*job])),
            _ => taken.sort_by_key(|job| tables.due[*job] - 300 * tables.weight[*job]),
        }
    }

    fn undo(&mut self, tables: &Tables, plan: &mut Plan) {
        for &(job, _) in &self.homes {
            plan.leave(tables, job);
        }
        for &(job, station) in &self.homes {
            plan.enter(tables, station, job);
        }
        for &station in &self.touched {
            std::mem::swap(&mut plan.lanes[station], &mut self.saved[station]);
        }
    }
}
