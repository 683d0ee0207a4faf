//! When each match of a day will start and end, given all that is known now.
use std::sync::Arc;

use chrono::{DateTime, Utc};

use super::court_chain::{court_free, last_point, walk_on};
use super::day_plan::DayPlan;
use super::day_state::{DayState, MatchState, Stop};
use super::distribution::Distribution;
use super::length::Lengths;
use super::live::given_elapsed;
use super::rain;
use super::venue_time::minute_of;

/// The times of one match, as minutes since the epoch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MatchTimes {
    /// When its players walk on; past for one that is on the court.
    pub walk_on: Arc<Distribution>,
    /// When its last point is played.
    pub last_point: Arc<Distribution>,
    /// When its court is free for the next.
    pub court_free: Arc<Distribution>,
    /// When the court was free for this one; what a walkover leaves.
    free_before: Option<Arc<Distribution>>,
    /// The chance that side 1 wins.
    pub side_one_wins: f64,
    /// Whether it will not be played, so that its times mean nothing.
    pub gone: bool,
}

/// Computes every match of the day. `now` is none for a day that is only planned.
#[must_use]
pub fn forecast(
    plan: &DayPlan,
    state: &DayState,
    now: Option<DateTime<Utc>>,
    lengths: &mut Lengths,
) -> Vec<MatchTimes> {
    let mut times = vec![MatchTimes::default(); plan.order.matches.len()];
    let order = Chain::new(plan, state);
    for &place in &order.sorted {
        let computed = Computing {
            plan,
            state,
            now,
            before: order.before[place],
            times: &times,
        }
        .one(place, lengths);
        times[place] = computed;
    }
    times
}

/// Computes anew the matches of one court, and those that wait for them, after an event there.
pub fn update(
    times: &mut [MatchTimes],
    court: &str,
    plan: &DayPlan,
    state: &DayState,
    now: Option<DateTime<Utc>>,
    lengths: &mut Lengths,
) {
    let order = Chain::new(plan, state);
    let mut changed = vec![false; times.len()];
    for &place in &order.sorted {
        let touched = plan.order.matches[place].court == court
            || order.before[place].is_some_and(|before| changed[before])
            || plan.waits[place].iter().any(|wait| changed[wait.on]);
        if !touched {
            continue;
        }
        let computed = Computing {
            plan,
            state,
            now,
            before: order.before[place],
            times: &*times,
        }
        .one(place, lengths);
        if times[place] != computed {
            changed[place] = true;
            times[place] = computed;
        }
    }
}

/// Minutes of play that are left in a match that has begun.
pub(super) fn left_to_play(
    plan: &DayPlan,
    state: &DayState,
    now: DateTime<Utc>,
    place: usize,
    lengths: &mut Lengths,
) -> Option<Distribution> {
    let known = state.of(&plan.order.matches[place].id)?;
    let started = known.started_at.filter(|_| known.ended.is_none())?;
    let computing = Computing {
        plan,
        state,
        now: Some(now),
        before: None,
        times: &[],
    };
    Some(computing.left_to_play(place, known, started, now, lengths).0)
}

/// The chains of courts as they are really played: what is over or under way comes before what waits.
pub(super) struct Chain {
    /// The match before each on its court.
    pub(super) before: Vec<Option<usize>>,
    /// Places, earlier ones first.
    pub(super) sorted: Vec<usize>,
}

impl Chain {
    pub(super) fn new(plan: &DayPlan, state: &DayState) -> Self {
        let mut before = plan.before.clone();
        let mut sorted = plan.sorted.clone();
        let begun = |place: usize| -> Option<DateTime<Utc>> {
            let known = state.of(&plan.order.matches[place].id)?;
            known
                .started_at
                .or(known.called_at)
                .or_else(|| known.ended.as_ref().map(|ended| ended.at))
        };
        let out_of_turn = |court: &[usize]| {
            court
                .windows(2)
                .any(|pair| begun(pair[0]).is_none() && begun(pair[1]).is_some())
        };
        for court in plan.order.by_court().values_mut() {
            if out_of_turn(court) {
                court.sort_by_key(|place| begun(*place).unwrap_or(DateTime::<Utc>::MAX_UTC));
                before[court[0]] = None;
                for pair in court.windows(2) {
                    before[pair[1]] = Some(pair[0]);
                }
                // those that have begun wait for nobody
                sorted.sort_by_key(|place| begun(*place).is_none());
            }
        }
        Self { before, sorted }
    }
}

struct Computing<'a> {
    plan: &'a DayPlan,
    state: &'a DayState,
    now: Option<DateTime<Utc>>,
    before: Option<usize>,
    times: &'a [MatchTimes],
}

impl Computing<'_> {
    fn one(&self, place: usize, lengths: &mut Lengths) -> MatchTimes {
        let played = &self.plan.order.matches[place];
        let known = self.state.of(&played.id);
        let free_before = self
            .before
            .map(|before| Arc::clone(&self.times[before].court_free));
        match known {
            Some(known) if known.is_gone() => self.gone(free_before, known, place),
            Some(known) if known.ended.is_some() => self.ended(known, free_before),
            Some(known) if known.is_live() => self.live(place, known, free_before, lengths),
            _ => self.waiting(place, free_before),
        }
    }

    fn handover(&self) -> (i64, i64) {
        let handover = self.plan.order.defaults.handover;
        (handover.warm_up_min, handover.turnaround_min)
    }

    /// A match that is not played leaves the court as it was.
    fn gone(&self, free_before: Option<Arc<Distribution>>, known: &MatchState, place: usize) -> MatchTimes {
        let at = known
            .ended
            .as_ref()
            .map_or(self.plan.floors[place], |ended| minute_of(ended.at));
        let at = Arc::new(Distribution::certain(at));
        MatchTimes {
            walk_on: Arc::clone(&at),
            last_point: Arc::clone(&at),
            court_free: free_before.clone().unwrap_or(at),
            free_before,
            side_one_wins: winner_chance(known),
            gone: true,
        }
    }

    fn ended(&self, known: &MatchState, free_before: Option<Arc<Distribution>>) -> MatchTimes {
        let (warm_up, turnaround) = self.handover();
        let over = known.ended.as_ref().map_or(0, |ended| minute_of(ended.at));
        let begun = known.called_at.map(minute_of);
        let walk_on = begun
            .or_else(|| known.started_at.map(|at| minute_of(at) - warm_up))
            .unwrap_or(over);
        MatchTimes {
            walk_on: Arc::new(Distribution::certain(walk_on)),
            last_point: Arc::new(Distribution::certain(over)),
            court_free: Arc::new(Distribution::certain(over + turnaround)),
            free_before,
            side_one_wins: winner_chance(known),
            gone: false,
        }
    }

    fn live(
        &self,
        place: usize,
        known: &MatchState,
        free_before: Option<Arc<Distribution>>,
        lengths: &mut Lengths,
    ) -> MatchTimes {
        let (warm_up, turnaround) = self.handover();
        let (end, side_one_wins) = self.rest_of(place, known, lengths);
        let begun = known.called_at.map(minute_of);
        let walk_on = begun
            .or_else(|| known.started_at.map(|at| minute_of(at) - warm_up))
            .unwrap_or_default();
        let end = match self.now {
            Some(now) => end.not_before(minute_of(now)),
            None => end,
        };
        MatchTimes {
            walk_on: Arc::new(Distribution::certain(walk_on)),
            court_free: Arc::new(end.clone().shifted(turnaround)),
            last_point: Arc::new(end),
            free_before,
            side_one_wins,
            gone: false,
        }
    }

    /// When a match under way is over, and whether side 1 wins it.
    fn rest_of(&self, place: usize, known: &MatchState, lengths: &mut Lengths) -> (Distribution, f64) {
        let played = &self.plan.order.matches[place];
        let now = self.now.unwrap_or_else(|| last_word(known));
        let stop = self.state.stop(&played.court, now);
        let (warm_up, _) = self.handover();
        let Some(started) = known.started_at else {
            // called, not begun: the first point comes after the warm-up, and not before now
            let called = known.called_at.unwrap_or(now);
            let first_point = (minute_of(called) + warm_up).max(minute_of(now));
            let begins = match stop {
                Some(stop) => dry(stop, now).not_before(first_point),
                None => Distribution::certain(first_point),
            };
            return (begins.plus(&self.plan.lengths[place]), 0.5);
        };
        let (left, side_one_wins) = self.left_to_play(place, known, started, now, lengths);
        let end = match stop {
            Some(stop) => rain::last_point(&resume(stop, now), minute_of(stop.from), &left),
            None => left.shifted(minute_of(now.max(self.play_goes_on(&played.court)))),
        };
        (end, side_one_wins)
    }

    /// Minutes of play that are left at `now`, and whether side 1 wins.
    fn left_to_play(
        &self,
        place: usize,
        known: &MatchState,
        started: DateTime<Utc>,
        now: DateTime<Utc>,
        lengths: &mut Lengths,
    ) -> (Distribution, f64) {
        let played = &self.plan.order.matches[place];
        let (since, length, side_one_wins) = match &known.score {
            Some((score, at)) => {
                let playing = self.state.playing_s(&played.court, started, *at) as f64;
                // who brings a score from another day has not played it today
                let playing = (played.carried.is_none() && playing > 0.0).then_some(playing);
                match lengths.remaining(&self.plan.kinds[place], score, playing) {
                    Ok(rest) => (*at, rest.minutes.clone(), rest.side_one_wins),
                    Err(_) => (started, (*self.plan.lengths[place]).clone(), 0.5),
                }
            }
            None => (started, (*self.plan.lengths[place]).clone(), 0.5),
        };
        let elapsed = self.state.playing_s(&played.court, since, now).div_euclid(60);
        (given_elapsed(&length, elapsed).shifted(-elapsed), side_one_wins)
    }

    fn waiting(&self, place: usize, free_before: Option<Arc<Distribution>>) -> MatchTimes {
        let (warm_up, turnaround) = self.handover();
        let played = &self.plan.order.matches[place];
        let mut floor = self.plan.floors[place];
        let mut others = Vec::new();
        if let Some(now) = self.now {
            floor = floor.max(minute_of(now));
            if let Some(stop) = self.state.stop(&played.court, now) {
                others.push(Arc::new(dry(stop, now)));
            } else if let Some(until) = self.last_restart(&played.court) {
                floor = floor.max(minute_of(until) + rain::DRYING_MIN);
            }
        }
        if let Some(before) = self.before {
            others.push(self.free_for(place, before));
        }
        for wait in self.plan.waits[place]
            .iter()
            .filter(|wait| Some(wait.on) != self.before)
        {
            let earlier = &self.times[wait.on];
            if !earlier.gone {
                let rested = (*earlier.last_point).clone().shifted(wait.rest_min);
                others.push(Arc::new(rested));
            }
        }
        let start = match others.as_slice() {
            // the court decides alone: nothing to compute
            [only] if floor <= only.first() => Arc::clone(only),
            others => Arc::new(walk_on(floor, others)),
        };
        let end = last_point(&start, warm_up, &self.plan.lengths[place]);
        let before = free_before.as_ref().unwrap_or(&start);
        let free = court_free(&end, turnaround, self.plan.chances.walkover, before);
        MatchTimes {
            court_free: Arc::new(free),
            walk_on: start,
            last_point: Arc::new(end),
            free_before,
            side_one_wins: 0.5,
            gone: false,
        }
    }

    /// When the court is free for this match: after the turnaround, or the rest of players who stay on it.
    fn free_for(&self, place: usize, before: usize) -> Arc<Distribution> {
        let earlier = &self.times[before];
        let (_, turnaround) = self.handover();
        let lag = self.plan.lag_after(place, before);
        if lag == turnaround || earlier.gone {
            return Arc::clone(&earlier.court_free);
        }
        let known = self.state.of(&self.plan.order.matches[before].id);
        let certain = known.is_some_and(|known| known.is_live() || known.ended.is_some());
        let walkover = if certain { 0.0 } else { self.plan.chances.walkover };
        let free_before = earlier.free_before.as_ref().unwrap_or(&earlier.walk_on);
        Arc::new(court_free(&earlier.last_point, lag, walkover, free_before))
    }

    /// When play goes on after the last stop of a court that is over.
    fn play_goes_on(&self, court: &str) -> DateTime<Utc> {
        let stops = self.state.stops.iter().filter(|stop| stop.court == court);
        stops
            .filter_map(Stop::play_goes_on)
            .max()
            .unwrap_or(DateTime::UNIX_EPOCH)
    }

    /// The last announced restart of a court.
    fn last_restart(&self, court: &str) -> Option<DateTime<Utc>> {
        self.state
            .stops
            .iter()
            .filter(|stop| stop.court == court)
            .filter_map(|stop| stop.until)
            .max()
    }
}

fn winner_chance(known: &MatchState) -> f64 {
    match known.ended.as_ref().and_then(|ended| ended.winner) {
        Some(1) => 1.0,
        Some(_) => 0.0,
        None => 0.5,
    }
}

fn last_word(known: &MatchState) -> DateTime<Utc> {
    let score = known.score.as_ref().map(|(_, at)| *at);
    score
        .or(known.started_at)
        .or(known.called_at)
        .unwrap_or(DateTime::UNIX_EPOCH)
}

/// When play goes on: as announced, or as uncertain as rain is.
pub(super) fn resume(stop: &Stop, now: DateTime<Utc>) -> Distribution {
    match stop.until {
        Some(until) => Distribution::certain(minute_of(until)),
        None => rain::resume(minute_of(stop.from), minute_of(now), stop.expected.map(minute_of)),
    }
}

/// When a waiting match may walk on after a stop.
fn dry(stop: &Stop, now: DateTime<Utc>) -> Distribution {
    resume(stop, now).shifted(rain::DRYING_MIN)
}

#[cfg(test)]
mod tests;
