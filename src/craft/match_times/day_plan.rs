//! A day ready to be computed: who waits for whom, how long each match takes.
use std::collections::BTreeMap;
use std::sync::Arc;

use super::distribution::Distribution;
use super::length::{Chances, Lengths, MatchKind};
use super::order::{OrderOfPlay, StartRule};
use super::order_faults::waits;
use super::venue_time::minute_of;

/// A match that must be over some minutes before another begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wait {
    /// The earlier match, by its place in the order.
    pub on: usize,
    /// Minutes from its last point.
    pub rest_min: i64,
}

/// An order of play with everything that does not change while it is played.
#[derive(Debug, Clone)]
pub struct DayPlan {
    /// The order.
    pub order: OrderOfPlay,
    /// Shares of walkovers and retirements.
    pub chances: Chances,
    /// What each match's length depends on.
    pub kinds: Vec<MatchKind>,
    /// The length of each match from first to last point, in minutes.
    pub lengths: Vec<Arc<Distribution>>,
    /// The earliest minute of each match, by its start rule and its court's opening.
    pub floors: Vec<i64>,
    /// Matches whose players or results each match waits for, the one before it on the court apart.
    pub waits: Vec<Vec<Wait>>,
    /// The match before each on its court.
    pub before: Vec<Option<usize>>,
    /// Places in an order in which everything that is waited for comes first.
    pub sorted: Vec<usize>,
}

impl DayPlan {
    /// Prepares an order that has no faults.
    #[must_use]
    pub fn new(order: OrderOfPlay, chances: Chances, lengths: &mut Lengths) -> Self {
        let kinds: Vec<MatchKind> = order.matches.iter().map(|played| order.kind(played)).collect();
        let lengths: Vec<_> = kinds
            .iter()
            .map(|kind| lengths.of(kind, chances.retirement))
            .collect();
        let mut before = vec![None; order.matches.len()];
        for court in order.by_court().values() {
            for pair in court.windows(2) {
                before[pair[1]] = Some(pair[0]);
            }
        }
        let floors = floors(&order);
        let explicit = waits(&order);
        let sorted = sorted(&explicit);
        let nominal = nominal_starts(&order, &explicit, &sorted, &lengths, &floors);
        let mut plan = Self {
            waits: vec![Vec::new(); order.matches.len()],
            order,
            chances,
            kinds,
            lengths,
            floors,
            before,
            sorted,
        };
        plan.find_waits(&nominal);
        // players' earlier matches are waited for too, and come earlier by their nominal start
        plan.sorted.sort_by_key(|place| (nominal[*place], *place));
        plan
    }

    /// Feeders and players' last matches, each once with the longest rest.
    fn find_waits(&mut self, nominal: &[i64]) {
        let places = self.order.places();
        let mut by_time: Vec<usize> = (0..nominal.len()).collect();
        by_time.sort_by_key(|place| (nominal[*place], *place));
        let mut last_of: BTreeMap<&str, usize> = BTreeMap::new();
        let mut waits = vec![Vec::new(); nominal.len()];
        for &place in &by_time {
            let played = &self.order.matches[place];
            let feeders = played.feeders().filter_map(|id| places.get(id).copied());
            let own = played.players().filter_map(|player| last_of.get(player).copied());
            let mut on: Vec<usize> = feeders.chain(own).collect();
            on.sort_unstable();
            on.dedup();
            let rest_min = self.order.rest_min(played);
            waits[place] = on.into_iter().map(|on| Wait { on, rest_min }).collect();
            for player in played.players() {
                last_of.insert(player, place);
            }
        }
        self.waits = waits;
        let pruned: Vec<Vec<Wait>> = (0..nominal.len()).map(|place| self.undominated(place)).collect();
        self.waits = pruned;
    }

    /// The waits of a match that do not follow from another one, or from the court's own chain.
    fn undominated(&self, place: usize) -> Vec<Wait> {
        let turnaround = self.order.defaults.handover.turnaround_min;
        let waits = &self.waits[place];
        let follows = |wait: &Wait, other: usize, lag: i64| {
            other != wait.on
                && self
                    .sure_gap(other, wait.on)
                    .is_some_and(|gap| gap + lag >= wait.rest_min)
        };
        waits
            .iter()
            .filter(|wait| {
                let by_court = self.before[place].is_some_and(|before| follows(wait, before, turnaround));
                by_court || waits.iter().any(|other| follows(wait, other.on, other.rest_min))
            })
            .fold(waits.clone(), |mut kept, dominated| {
                kept.retain(|wait| wait != dominated);
                kept
            })
    }

    /// Minutes that surely lie between the last points of two matches, if the later waits for the earlier.
    fn sure_gap(&self, later: usize, earlier: usize) -> Option<i64> {
        if later == earlier {
            return Some(0);
        }
        let handover = self.order.defaults.handover;
        let shortest = handover.warm_up_min + self.lengths[later].first();
        let by_court = self.before[later].map(|before| (before, handover.turnaround_min));
        let by_wait = self.waits[later].iter().map(|wait| (wait.on, wait.rest_min));
        by_court
            .into_iter()
            .chain(by_wait)
            .filter_map(|(on, lag)| Some(self.sure_gap(on, earlier)? + lag + shortest))
            .max()
    }

    /// The rest that the match before it on the court asks for, if its players or result are waited for.
    #[must_use]
    pub fn lag_after(&self, place: usize, before: usize) -> i64 {
        let turnaround = self.order.defaults.handover.turnaround_min;
        let rest = self.waits[place].iter().find(|wait| wait.on == before);
        rest.map_or(turnaround, |wait| wait.rest_min.max(turnaround))
    }
}

/// The earliest minute of each match; the day's midnight where nothing is said.
fn floors(order: &OrderOfPlay) -> Vec<i64> {
    let midnight = order.bounds().map_or(0, |(first, _)| minute_of(first));
    order
        .matches
        .iter()
        .map(|played| {
            let opens = order.court(&played.court).and_then(|court| court.opens);
            let own = match played.start.rule {
                StartRule::StartingAt | StartRule::NotBefore => played.start.time,
                StartRule::FollowedBy | StartRule::AfterRest | StartRule::Tba => None,
            };
            let minute = |time| order.at(time).map(minute_of);
            let floor = own.and_then(minute).max(opens.and_then(minute));
            floor.unwrap_or(midnight)
        })
        .collect()
}

/// Places so that everything that is waited for comes first; the order has no cycle.
fn sorted(waits: &[Vec<usize>]) -> Vec<usize> {
    let mut sorted = Vec::with_capacity(waits.len());
    let mut seen = vec![false; waits.len()];
    for start in 0..waits.len() {
        let mut path = vec![(start, 0_usize)];
        while let Some((place, next)) = path.pop() {
            if seen[place] {
                continue;
            }
            if let Some(&feeder) = waits[place].get(next) {
                path.push((place, next + 1));
                if !seen[feeder] && path.iter().all(|(on, _)| *on != feeder) {
                    path.push((feeder, 0));
                }
            } else {
                seen[place] = true;
                sorted.push(place);
            }
        }
    }
    sorted
}

/// When matches would start if each took its mean time: decides which of a player's matches comes first.
fn nominal_starts(
    order: &OrderOfPlay,
    waits: &[Vec<usize>],
    sorted: &[usize],
    lengths: &[Arc<Distribution>],
    floors: &[i64],
) -> Vec<i64> {
    let handover = order.defaults.handover;
    let mut nominal = floors.to_vec();
    for &place in sorted {
        for &on in &waits[place] {
            let takes = handover.warm_up_min
                + super::distribution::floor(lengths[on].mean())
                + handover.turnaround_min;
            nominal[place] = nominal[place].max(nominal[on] + takes.max(1));
        }
    }
    nominal
}
