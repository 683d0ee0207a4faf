//! One station's sequence, with the cost of each prefix.
use crate::dispatch::rules::{release, windows};
use crate::dispatch::solver::tables::{Tables, index32};

/// One job in a lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Index of the job.
    pub job: u32,
    /// Index of the window it lies in; the number of windows when it lies behind them.
    pub window: u32,
    /// Seconds of the block.
    pub length: i64,
    /// Completion.
    pub end: i64,
    /// Price of all completions up to and with this one.
    pub(super) prefix: i64,
}

/// The jobs of one station in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Lane {
    pub(super) slots: Vec<Slot>,
}

/// Where a lane stands before a position.
#[derive(Debug, Clone, Copy)]
pub(super) struct Before {
    /// What is set up: a job, or the station's own state.
    pub(super) set: usize,
    pub(super) end: i64,
    pub(super) window: usize,
    pub(super) prefix: i64,
}

impl Lane {
    #[inline]
    pub(super) fn before(&self, tables: &Tables, station: usize, position: usize) -> Before {
        match position.checked_sub(1).map(|index| &self.slots[index]) {
            Some(slot) => Before {
                set: slot.job as usize,
                end: slot.end,
                window: slot.window as usize,
                prefix: slot.prefix,
            },
            None => Before {
                set: tables.loaded(station),
                end: i64::MIN / 4,
                window: 0,
                prefix: 0,
            },
        }
    }

    /// Price of all completions.
    #[inline]
    pub(super) fn cost(&self) -> i64 {
        self.slots.last().map_or(0, |slot| slot.prefix)
    }

    /// Computes all blocks from `position` on.
    pub(super) fn refresh(&mut self, tables: &Tables, station: usize, position: usize) {
        let mut before = self.before(tables, station, position);
        let open = tables.windows(station);
        for slot in &mut self.slots[position..] {
            let job = slot.job as usize;
            let length = tables.set_up(before.set, job) + tables.stringing_there(job, station);
            let from = release::earliest(tables.release[job], before.end);
            let (end, window) = windows::place(open, before.window, from, length);
            before.prefix += tables.completion(job, end, window < open.len());
            *slot = Slot {
                job: slot.job,
                window: index32(window),
                length,
                end,
                prefix: before.prefix,
            };
            before = Before {
                set: job,
                end,
                window,
                prefix: before.prefix,
            };
        }
    }

    /// Inserts jobs that stay one after the other.
    pub(super) fn insert(&mut self, tables: &Tables, station: usize, position: usize, jobs: &[usize]) {
        let unplaced = |job: &usize| Slot {
            job: index32(*job),
            window: 0,
            length: 0,
            end: 0,
            prefix: 0,
        };
        self.slots.splice(position..position, jobs.iter().map(unplaced));
        self.refresh(tables, station, position);
    }
}
