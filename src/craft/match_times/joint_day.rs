//! The whole day drawn at random, many times: rain that stops all open courts at once, players on two courts.
//!
//! The grid answers for each match alone; this answers for all of them together.
use chrono::{DateTime, Utc};

use super::day_plan::DayPlan;
use super::day_state::DayState;
use super::distribution::Distribution;
use super::forecast::{Chain, MatchTimes, left_to_play, resume};
use super::length::Lengths;
use super::rain::{DRYING_MIN, re_warm_up_min};
use super::venue_time::minute_of;
use crate::chance::Chance;

/// Walk-ons and last points drawn: for each match one minute per path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JointDay {
    /// By match, by path; none where the match is not played.
    pub walk_on: Vec<Vec<i64>>,
    /// Last points likewise; `None` on paths where nobody plays.
    pub last_point: Vec<Vec<Option<i64>>>,
}

/// A distribution made ready to be drawn from.
struct Draw {
    first: i64,
    up_to: Vec<f64>,
}

impl Draw {
    fn of(distribution: &Distribution) -> Self {
        let mut sum = 0.0;
        let total = distribution.total();
        let up_to = distribution.iter().map(|(_, mass)| {
            sum += mass / total;
            sum
        });
        Self {
            first: distribution.first(),
            up_to: up_to.collect(),
        }
    }

    /// The number at this share of all mass.
    fn at(&self, share: f64) -> i64 {
        let index = self.up_to.partition_point(|sum| *sum < share);
        self.first + i64::try_from(index.min(self.up_to.len().saturating_sub(1))).unwrap_or(0)
    }
}

/// How one match is drawn.
enum Kind {
    /// Over or gone: walk-on, last point, court free.
    Known(i64, i64, Option<i64>),
    /// Under way: walk-on, and the draw of its last point.
    Live(i64, Draw),
    /// Under way on a stopped court: walk-on, when it stopped, resumption, play left.
    Stopped(i64, i64, usize, Draw),
    /// Waiting: its length, and the stop of its court.
    Waiting(Draw, Option<usize>),
}

/// Draws the rest of the day `paths` times. Stops that began together go on together.
#[must_use]
pub fn joint_day(
    plan: &DayPlan,
    state: &DayState,
    now: Option<DateTime<Utc>>,
    times: &[MatchTimes],
    lengths: &mut Lengths,
    paths: usize,
    chance: &mut Chance,
) -> JointDay {
    let chain = Chain::new(plan, state);
    let mut rains: Vec<(DateTime<Utc>, Draw)> = Vec::new();
    let kinds: Vec<Kind> = (0..times.len())
        .map(|place| kind(plan, state, now, times, lengths, &mut rains, place))
        .collect();
    let mut walk_on = vec![Vec::with_capacity(paths); times.len()];
    let mut last_point = vec![Vec::with_capacity(paths); times.len()];
    let mut path = Path {
        plan,
        chain: &chain,
        kinds: &kinds,
        now: now.map(minute_of),
        ends: vec![None; times.len()],
        frees: vec![None; times.len()],
    };
    for _ in 0..paths {
        let resumed: Vec<i64> = rains.iter().map(|(_, draw)| draw.at(chance.unit())).collect();
        for &place in &chain.sorted {
            walk_on[place].push(path.play(place, &resumed, chance));
            last_point[place].push(path.ends[place]);
        }
    }
    JointDay { walk_on, last_point }
}

fn kind(
    plan: &DayPlan,
    state: &DayState,
    now: Option<DateTime<Utc>>,
    times: &[MatchTimes],
    lengths: &mut Lengths,
    rains: &mut Vec<(DateTime<Utc>, Draw)>,
    place: usize,
) -> Kind {
    let played = &plan.order.matches[place];
    let known = state.of(&played.id);
    let stop = now.and_then(|now| Some((state.stop(&played.court, now)?, now)));
    let rain = stop.map(|(stop, now)| {
        rains
            .iter()
            .position(|(from, _)| *from == stop.from)
            .unwrap_or_else(|| {
                rains.push((stop.from, Draw::of(&resume(stop, now))));
                rains.len() - 1
            })
    });
    let walk_on = times[place].walk_on.first();
    match known {
        Some(known) if known.ended.is_some() => {
            let free = known.was_played().then(|| times[place].court_free.first());
            Kind::Known(walk_on, times[place].last_point.first(), free)
        }
        Some(known) if known.is_live() => {
            let left = now.and_then(|now| left_to_play(plan, state, now, place, lengths));
            match (stop, rain, left) {
                (Some((stop, _)), Some(rain), Some(left)) => {
                    Kind::Stopped(walk_on, minute_of(stop.from), rain, Draw::of(&left))
                }
                _ => Kind::Live(walk_on, Draw::of(&times[place].last_point)),
            }
        }
        _ => Kind::Waiting(Draw::of(&plan.lengths[place]), rain),
    }
}

/// One drawn day: when matches end, and courts are free.
struct Path<'a> {
    plan: &'a DayPlan,
    chain: &'a Chain,
    kinds: &'a [Kind],
    now: Option<i64>,
    ends: Vec<Option<i64>>,
    frees: Vec<Option<i64>>,
}

impl Path<'_> {
    /// Plays one match; gives its walk-on.
    fn play(&mut self, place: usize, resumed: &[i64], chance: &mut Chance) -> i64 {
        let handover = self.plan.order.defaults.handover;
        let before = self.chain.before[place];
        let free_before = before.and_then(|before| self.frees[before]);
        let (walk_on, end, free) = match &self.kinds[place] {
            Kind::Known(walk_on, end, free) => (*walk_on, free.map(|_| *end), free.or(free_before)),
            Kind::Live(walk_on, draw) => {
                let end = draw.at(chance.unit());
                (*walk_on, Some(end), Some(end + handover.turnaround_min))
            }
            Kind::Stopped(walk_on, from, rain, left) => {
                let goes_on = resumed[*rain] + re_warm_up_min(resumed[*rain] - from);
                let end = goes_on + left.at(chance.unit());
                (*walk_on, Some(end), Some(end + handover.turnaround_min))
            }
            Kind::Waiting(length, rain) => {
                let start = self.start(place, before, rain.map(|rain| resumed[rain]));
                let end = start + handover.warm_up_min + length.at(chance.unit());
                if chance.unit() < self.plan.chances.walkover {
                    (start, None, Some(free_before.unwrap_or(start)))
                } else {
                    (start, Some(end), Some(end + handover.turnaround_min))
                }
            }
        };
        self.ends[place] = end;
        self.frees[place] = free;
        walk_on
    }

    fn start(&self, place: usize, before: Option<usize>, resumed: Option<i64>) -> i64 {
        let plan = self.plan;
        let court = before.and_then(|before| {
            let lag = plan.lag_after(place, before);
            self.ends[before].map_or(self.frees[before], |end| Some(end + lag))
        });
        let waits = plan.waits[place]
            .iter()
            .filter_map(|wait| Some(self.ends[wait.on]? + wait.rest_min));
        let dry = resumed.map(|at| at + DRYING_MIN);
        let known = [Some(plan.floors[place]), self.now, court, dry];
        known
            .into_iter()
            .flatten()
            .chain(waits)
            .max()
            .unwrap_or(plan.floors[place])
    }
}
