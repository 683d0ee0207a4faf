//! The day in figures: one row per match, for a person or another program.
use super::day_plan::DayPlan;
use super::day_state::{DayState, MatchPhase};
use super::distribution::Distribution;
use super::forecast::MatchTimes;
use super::ready_by::Demand;
use super::venue_time::{at_minute, minute_of};

/// A time that is not certain: minutes since the epoch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    /// Reached in one case of twenty.
    pub p05: i64,
    /// Reached in half of all cases.
    pub p50: i64,
    /// Reached in nineteen cases of twenty.
    pub p95: i64,
}

/// One match in figures.
#[derive(Debug, Clone, PartialEq)]
pub struct DayRow {
    /// Its place in the order of play.
    pub place: usize,
    /// Where it stands.
    pub phase: MatchPhase,
    /// Whether its end was only inferred.
    pub inferred: bool,
    /// When its players walk on.
    pub walk_on: Band,
    /// When its last point is played.
    pub last_point: Band,
    /// By when its players' rackets must be ready.
    pub ready_by: i64,
    /// The chance that side 1 wins.
    pub side_one_wins: f64,
    /// The chance that it is over before its court closes, where the court closes.
    pub fits: Option<f64>,
    /// The matches that must be over before it, the nearest first.
    pub chain: Vec<usize>,
}

impl Band {
    /// The band of a distribution.
    #[must_use]
    pub fn of(distribution: &Distribution) -> Self {
        Self {
            p05: distribution.quantile(0.05),
            p50: distribution.quantile(0.5),
            p95: distribution.quantile(0.95),
        }
    }
}

impl DayRow {
    /// Whether it will probably not fit on its court, so that the referee may move it.
    #[must_use]
    pub fn may_be_moved(&self) -> bool {
        self.fits.is_some_and(|fits| fits < 0.5)
    }
}

/// All matches by court and sequence. `now` is in minutes since the epoch.
#[must_use]
pub fn day_sheet(
    plan: &DayPlan,
    state: &DayState,
    times: &[MatchTimes],
    now: Option<i64>,
    demand: &Demand,
) -> Vec<DayRow> {
    let by_court = plan.order.by_court();
    let rows = by_court.values().flatten().filter_map(|&place| {
        let (played, of) = (plan.order.matches.get(place)?, times.get(place)?);
        let closes = plan
            .order
            .court(&played.court)
            .and_then(|court| plan.order.at(court.closes?))
            .map(minute_of);
        let known = state.of(&played.id);
        let ended = known.and_then(|known| known.ended.as_ref());
        let phase = now.map_or_else(
            || state.phase(&played.id, &played.court, at_minute(0)),
            |now| state.phase(&played.id, &played.court, at_minute(now)),
        );
        Some(DayRow {
            place,
            phase,
            inferred: ended.is_some_and(|ended| ended.inferred),
            walk_on: Band::of(&of.walk_on),
            last_point: Band::of(&of.last_point),
            ready_by: demand.due(&of.walk_on),
            side_one_wins: of.side_one_wins,
            fits: closes
                .filter(|_| ended.is_none())
                .map(|closes| of.last_point.at_most(closes)),
            chain: chain(plan, state, place),
        })
    });
    rows.collect()
}

/// The matches that are not over and come before this one, on its court and by its players; the nearest first.
#[must_use]
pub fn chain(plan: &DayPlan, state: &DayState, place: usize) -> Vec<usize> {
    let over = |place: usize| {
        plan.order
            .matches
            .get(place)
            .and_then(|played| state.of(&played.id))
            .is_some_and(|known| known.ended.is_some())
    };
    let mut chain = Vec::new();
    let mut next = vec![place];
    while let Some(at) = next.pop() {
        let before = plan.before[at]
            .into_iter()
            .chain(plan.waits[at].iter().map(|wait| wait.on));
        for earlier in before {
            if !over(earlier) && !chain.contains(&earlier) {
                chain.push(earlier);
                next.push(earlier);
            }
        }
    }
    chain
}
