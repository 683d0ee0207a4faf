//! A plan: one lane per station, where each job is, and what it costs.
use crate::dispatch::rules::continuity;
use crate::dispatch::schedule::{Op, Schedule};
use crate::dispatch::solver::lane::{Lane, Slot};
use crate::dispatch::solver::tables::Tables;

/// Marks a job that is in no lane.
const NOWHERE: u32 = u32::MAX;

/// One sequence of jobs per station.
#[derive(Debug, Clone)]
pub struct Plan {
    pub(super) lanes: Vec<Lane>,
    /// Station by job.
    station: Vec<u32>,
    /// Jobs of each roamer on each station.
    visits: Vec<u16>,
    /// Price of continuity, of all jobs in lanes.
    pub(super) continuity: i64,
}

impl Plan {
    /// A plan with nothing in it.
    #[must_use]
    pub fn empty(tables: &Tables) -> Self {
        Self {
            lanes: vec![Lane::default(); tables.stations],
            station: vec![NOWHERE; tables.jobs],
            visits: vec![0; tables.roamers * tables.stations],
            continuity: 0,
        }
    }

    /// A plan of these sequences: each job once, on a station that may do it, behind
    /// what a person put first there.
    ///
    /// Jobs that are repeated or not allowed there are left out.
    #[must_use]
    pub fn of_sequences(tables: &Tables, sequences: &[Vec<usize>]) -> Self {
        let mut plan = Self::empty(tables);
        for station in 0..tables.stations {
            for (place, &job) in tables.first(station).iter().enumerate() {
                plan.insert(tables, station, place, job);
            }
        }
        for (station, sequence) in sequences.iter().enumerate().take(tables.stations) {
            for &job in sequence {
                if job < tables.jobs && !plan.has(job) && tables.stringing(job, station).is_some() {
                    let end = plan.lanes[station].slots.len();
                    plan.insert(tables, station, end, job);
                }
            }
        }
        plan
    }

    /// The whole cost.
    #[must_use]
    pub fn cost(&self) -> i64 {
        self.continuity + self.lanes.iter().map(Lane::cost).sum::<i64>()
    }

    /// The jobs of a station in order.
    #[must_use]
    pub fn lane(&self, station: usize) -> &[Slot] {
        &self.lanes[station].slots
    }

    /// Whether the job is in a lane.
    #[must_use]
    pub fn has(&self, job: usize) -> bool {
        self.station[job] != NOWHERE
    }

    /// The station of a job that is in a lane.
    #[must_use]
    pub fn station_of(&self, job: usize) -> Option<usize> {
        let station = self.station[job];
        (station != NOWHERE).then_some(station as usize)
    }

    /// Whether the job is away from home, or its player without one is on several stations.
    pub(super) fn breaks(&self, tables: &Tables, job: usize) -> bool {
        let Some(station) = self.station_of(job) else {
            return false;
        };
        match tables.roamer(job) {
            None => tables.away(job, station) > 0,
            Some(roamer) => {
                let row = &self.visits[roamer * tables.stations..(roamer + 1) * tables.stations];
                row.iter().filter(|visits| **visits > 0).count() > 1
            }
        }
    }

    /// The position of a job in its lane.
    pub(super) fn position_of(&self, job: usize) -> Option<(usize, usize)> {
        let station = self.station_of(job)?;
        let position = self.lanes[station]
            .slots
            .iter()
            .position(|slot| slot.job as usize == job)?;
        Some((station, position))
    }

    /// What continuity costs more with this job on this station.
    #[inline]
    pub(super) fn continuity_price(&self, tables: &Tables, job: usize, station: usize) -> i64 {
        let Some(roamer) = tables.roamer(job) else {
            return tables.away(job, station);
        };
        let row = &self.visits[roamer * tables.stations..(roamer + 1) * tables.stations];
        let new_station = row[station] == 0 && row.iter().any(|visits| *visits > 0);
        if new_station { tables.break_price } else { 0 }
    }

    pub(super) fn insert(&mut self, tables: &Tables, station: usize, position: usize, job: usize) {
        self.insert_stretch(tables, station, position, &[job]);
    }

    /// Inserts jobs one after the other.
    pub(super) fn insert_stretch(
        &mut self,
        tables: &Tables,
        station: usize,
        position: usize,
        jobs: &[usize],
    ) {
        for &job in jobs {
            self.enter(tables, station, job);
        }
        self.lanes[station].insert(tables, station, position, jobs);
    }

    /// Books a job on a station; its lane is changed apart.
    pub(super) fn enter(&mut self, tables: &Tables, station: usize, job: usize) {
        self.continuity += self.continuity_price(tables, job, station);
        self.station[job] = super::tables::index32(station);
        if let Some(roamer) = tables.roamer(job) {
            self.visits[roamer * tables.stations + station] += 1;
        }
    }

    /// Books a job out of its station; its lane is changed apart.
    pub(super) fn leave(&mut self, tables: &Tables, job: usize) {
        let Some(station) = self.station_of(job) else {
            return;
        };
        self.station[job] = NOWHERE;
        match tables.roamer(job) {
            None => self.continuity -= tables.away(job, station),
            Some(roamer) => {
                let cell = roamer * tables.stations;
                let row = &mut self.visits[cell..cell + tables.stations];
                let stations =
                    |row: &[u16]| i64::try_from(row.iter().filter(|v| **v > 0).count()).unwrap_or(0);
                let before = continuity::scattered(stations(row));
                row[station] -= 1;
                self.continuity -= tables.break_price * (before - continuity::scattered(stations(row)));
            }
        }
    }

    /// Takes a job out.
    pub(super) fn remove(&mut self, tables: &Tables, job: usize) {
        if let Some((station, position)) = self.position_of(job) {
            self.leave(tables, job);
            self.lanes[station].slots.remove(position);
            self.lanes[station].refresh(tables, station, position);
        }
    }

    /// Whether every job lies inside a window.
    #[must_use]
    pub fn is_complete(&self, tables: &Tables) -> bool {
        let inside = |(station, lane): (usize, &Lane)| {
            let open = tables.windows(station).len();
            lane.slots.iter().all(|slot| (slot.window as usize) < open)
        };
        self.station.iter().all(|station| *station != NOWHERE) && self.lanes.iter().enumerate().all(inside)
    }

    /// The blocks.
    #[must_use]
    pub fn schedule(&self) -> Schedule {
        let mut ops = Vec::with_capacity(self.station.len());
        for (station, lane) in self.lanes.iter().enumerate() {
            ops.extend(lane.slots.iter().map(|slot| Op {
                job: slot.job as usize,
                station,
                start: slot.end - slot.length,
                end: slot.end,
            }));
        }
        Schedule { ops }
    }
}
