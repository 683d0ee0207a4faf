//! Which jobs are taken out together: those whose places could serve one another.
use crate::chance::Chance;
use crate::dispatch::solver::plan::Plan;
use crate::dispatch::solver::tables::Tables;

/// At most this many jobs are taken out at once.
const MOST: usize = 12;
/// At least this many.
const FEWEST: usize = 2;
/// From at most this many stations at once.
const STATIONS: usize = 4;

/// So many times a job is drawn anew in search of one that breaks continuity.
const LOOKS: u32 = 12;

/// Fills `taken` with jobs that lie in lanes.
pub(super) fn choose(tables: &Tables, plan: &Plan, chance: &mut Chance, taken: &mut Vec<usize>) {
    taken.clear();
    let most = MOST.min(tables.jobs);
    let wanted = FEWEST + chance.below(most.saturating_sub(FEWEST) + 1);
    match chance.below(100) {
        0..10 => scattered(tables, chance, wanted, taken),
        10..35 => of_players(tables, plan, chance, wanted, taken),
        _ => strings(tables, plan, chance, wanted, taken),
    }
    taken.retain(|job| plan.has(*job) && !tables.is_first(*job));
}

/// A few neighbours of a place in a lane.
pub(super) fn around(
    tables: &Tables,
    plan: &Plan,
    chance: &mut Chance,
    station: usize,
    position: usize,
    taken: &mut Vec<usize>,
) {
    if !plan.lane(station).is_empty() {
        let length = chance.below(MOST / 2);
        string_around(plan, chance, station, position, length, taken);
        taken.retain(|job| !tables.is_first(*job));
    }
}

fn take(taken: &mut Vec<usize>, job: usize) {
    if !taken.contains(&job) {
        taken.push(job);
    }
}

fn scattered(tables: &Tables, chance: &mut Chance, wanted: usize, taken: &mut Vec<usize>) {
    for _ in 0..wanted {
        take(taken, chance.below(tables.jobs));
    }
}

/// All jobs of one player, or of a few: who changes the station as a whole breaks nothing.
///
/// Those are looked for whose jobs break continuity now: with few rounds a break or two is most of what a
/// live plan costs too much. Over 60 seeds, 300 rounds end 0.2 to 0.4 points nearer to the best plan known.
fn of_players(tables: &Tables, plan: &Plan, chance: &mut Chance, wanted: usize, taken: &mut Vec<usize>) {
    while taken.len() < wanted {
        let mut job = chance.below(tables.jobs);
        for _ in 0..LOOKS {
            if plan.breaks(tables, job) {
                break;
            }
            job = chance.below(tables.jobs);
        }
        let player = tables.player[job];
        let room = 2 * MOST - taken.len();
        for &job in tables.jobs_of(player).iter().take(room) {
            take(taken, job as usize);
        }
        if chance.below(3) == 0 {
            break;
        }
    }
}

/// Strings of neighbours, at about the same time, on one to four stations.
fn strings(tables: &Tables, plan: &Plan, chance: &mut Chance, wanted: usize, taken: &mut Vec<usize>) {
    let seed = chance.below(tables.jobs);
    let Some((home, position)) = plan.position_of(seed) else {
        return;
    };
    let middle = plan.lane(home)[position].end;
    let lanes = (1 + chance.below(STATIONS)).min(tables.stations).min(wanted);
    let each = wanted.div_ceil(lanes);
    string_around(plan, chance, home, position, each, taken);
    for _ in 1..lanes {
        let station = chance.below(tables.stations);
        let slots = plan.lane(station);
        if slots.is_empty() {
            continue;
        }
        let position = slots
            .partition_point(|slot| slot.end < middle)
            .min(slots.len() - 1);
        let room = each.min(wanted.saturating_sub(taken.len()));
        string_around(plan, chance, station, position, room, taken);
    }
}

/// `length` neighbours of a lane, the one at `position` among them.
fn string_around(
    plan: &Plan,
    chance: &mut Chance,
    station: usize,
    position: usize,
    length: usize,
    taken: &mut Vec<usize>,
) {
    let slots = plan.lane(station);
    let length = length.min(slots.len());
    if length == 0 {
        return;
    }
    let start = position
        .saturating_sub(chance.below(length))
        .min(slots.len() - length);
    for slot in &slots[start..start + length] {
        take(taken, slot.job as usize);
    }
}
