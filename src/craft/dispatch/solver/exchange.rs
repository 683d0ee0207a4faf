//! Two stations exchange what they do in a stretch of time.
//!
//! A break or the end of a shift makes stretches that fit or do not fit as a
//! whole: moving a few jobs cannot cross that, an exchange can.
use crate::chance::Chance;
use crate::dispatch::solver::lane::Slot;
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// A stretch of at most so many jobs, or all that follows.
const LONGEST: usize = 12;

/// Where two lanes are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cut {
    pub(super) station: usize,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// Two stretches of about the same time on two stations.
pub(super) fn choose(tables: &Tables, plan: &Plan, chance: &mut Chance) -> Option<[Cut; 2]> {
    let (one, from) = plan.position_of(chance.below(tables.jobs))?;
    let from = from.max(tables.first(one).len());
    let other = chance.below(tables.stations);
    if one == other {
        return None;
    }
    let (first, second) = (plan.lane(one), plan.lane(other));
    if from == first.len() {
        return None;
    }
    let begins = first[from].end - first[from].length;
    let to = match chance.below(3) {
        0 => first.len(),
        1 => first.partition_point(|slot| slot.window <= first[from].window),
        _ => (from + 1 + chance.below(LONGEST)).min(first.len()),
    };
    let ends = first[to - 1].end;
    let all = to == first.len();
    let starts_before = |slot: &Slot, time: i64| slot.end - slot.length < time;
    let start = second.partition_point(|slot| starts_before(slot, begins));
    let start = start.max(tables.first(other).len());
    let stop = if all {
        second.len()
    } else {
        second
            .partition_point(|slot| starts_before(slot, ends))
            .max(start)
    };
    Some([
        Cut {
            station: one,
            from,
            to,
        },
        Cut {
            station: other,
            from: start,
            to: stop,
        },
    ])
}

/// Puts what may change station in the other's stretch; `moved` tells who changed.
pub(super) fn carry_out(tables: &Tables, plan: &mut Plan, cuts: [Cut; 2], moved: &mut Vec<(usize, usize)>) {
    let mut stretches: [Vec<Slot>; 2] = [Vec::new(), Vec::new()];
    for (index, cut) in cuts.iter().enumerate() {
        let other = cuts[1 - index].station;
        for slot in plan.lanes[cut.station].slots.drain(cut.from..cut.to) {
            if tables.stringing(slot.job as usize, other).is_some() {
                moved.push((slot.job as usize, cut.station));
                stretches[1 - index].push(slot);
            } else {
                stretches[index].push(slot);
            }
        }
    }
    for &(job, _) in moved.iter() {
        plan.leave(tables, job);
    }
    for (cut, mut stretch) in cuts.into_iter().zip(stretches) {
        stretch.sort_by_key(|slot| slot.end - slot.length);
        for slot in &stretch {
            if !plan.has(slot.job as usize) {
                plan.enter(tables, cut.station, slot.job as usize);
            }
        }
        plan.lanes[cut.station].slots.splice(cut.from..cut.from, stretch);
        plan.lanes[cut.station].refresh(tables, cut.station, cut.from);
    }
}
