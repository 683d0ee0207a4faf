//! Tomorrow: what the next day of play asks of the desk, from its order of play and from what players usually bring.
//!
//! Facts are read here; the day is played on a thread of its own ([`rehearsals`]), so that
//! neither the line of writes nor the readers' connections wait for it.
mod habits;
pub mod rehearsals;

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::time::{Duration, Instant};

use chrono::{DateTime, Utc};

use crate::craft::match_times::replay::replay;
use crate::craft::match_times::venue_time::{DayTime, minute_of};
use crate::craft::rehearse::{Count, Staffing, staffing, with_stations};
use crate::craft::tomorrow::draw::ExpectedDay;
use crate::desk::CourtMemory;
use crate::desk::court_times::board::{self, board_of};
use crate::desk::publish_shifts::{self, Published};
use crate::desk::refusal::DeskResult;
use crate::storage::stock::{self, StringProduct, pieces};
use crate::storage::workshop::{machinery, places};
use crate::storage::{At, Db, court_times};

/// Repetitions of one answer: enough for a band, few enough to be played in seconds.
const REPETITIONS: usize = 12;
/// Rounds of search per plan: the odds hardly change with more.
const ROUNDS: u64 = 40;
/// The same days for every number of stations, and for everybody who looks.
const SEED: u64 = 1;
/// An answer is told after so long, from as many repetitions as were played by then.
pub const LONGEST: Duration = Duration::from_secs(20);

/// When a desk opens. Common practice, no source.
pub(super) const USUAL_OPENING: DayTime = DayTime::at(7, 30);
/// So long before the first match it is open. Common practice, no source.
const BEFORE_FIRST_MATCH: i64 = 210;

/// More stations than any desk has.
pub const MOST_STATIONS: usize = 60;

/// What the coordinator asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// How many stations are planned; none: those with a published shift, else those there are.
    pub stations: Option<usize>,
    /// When the desk opens; none: at the usual time, or earlier where the first match asks for it.
    pub opens: Option<DayTime>,
}

/// A machine and its check.
#[derive(Debug, Clone)]
pub struct MachineCheck {
    /// Its name.
    pub name: String,
    /// Until when it is cleared; none where it is not.
    pub cleared_until: Option<DateTime<Utc>>,
}

/// One string product and what lies here of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StringLeft {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What is left that belongs to no player, mm.
    pub left_mm: i64,
}

impl StringLeft {
    /// What is missing where the day asks as much as nine days in ten stay within, mm.
    #[must_use]
    pub fn short_mm(&self, asked: &Count) -> i64 {
        let most = i64::try_from(asked.high).unwrap_or(i64::MAX);
        (most - self.left_mm).max(0)
    }
}

/// A day to be played.
#[derive(Debug, Clone)]
pub struct TomorrowFacts {
    /// The day, "2026-05-02".
    pub day: String,
    /// All that is known of it.
    pub expected: ExpectedDay,
    /// How many stations are planned.
    pub stations: usize,
    /// The shifts of the day, if they were published.
    pub published: Option<Published>,
    /// Its 00:00, venue time, in minutes since the epoch.
    pub midnight: i64,
    /// When the last match is over in half of all days, seconds after 00:00.
    pub last_point_s: i64,
    /// Whether the desk has any station of its own.
    pub has_stations: bool,
    /// Matches of the day.
    pub matches: usize,
    /// Strings, in the order of the expected day's numbers.
    pub strings: Vec<StringLeft>,
    /// The machines of the desk.
    pub machines: Vec<MachineCheck>,
}

/// What came of playing it.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// Stations, half hours, the check by Erlang's formula.
    pub staffing: Staffing,
    /// Rackets of the day.
    pub rackets: Count,
    /// What is asked of each string, mm, in the order of the facts.
    pub asked_mm: Vec<Count>,
    /// Rackets whose string nobody can tell yet.
    pub of_unknown_string: Count,
}

/// The next day of play after `today` that has an order of play; else today's.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn next_day(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<Option<String>> {
    let zone = board::zone(db, tournament)?;
    let today = now.with_timezone(&zone).date_naive().to_string();
    let days = court_times::from_day(db, tournament, &today)?;
    let next = days.iter().find(|row| row.day > today).or_else(|| days.first());
    Ok(next.map(|row| row.day.clone()))
}

/// Reads what is known of a day; nothing for a day without an order of play.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn facts(
    db: &mut Db,
    tournament: &str,
    day: &str,
    asked: Asked,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Option<TomorrowFacts>> {
    let Some(stored) = board::stored(db, tournament, day, memory)? else {
        return Ok(None);
    };
    let Ok(replayed) = replay(&stored.order, &stored.events) else {
        return Ok(None);
    };
    let board = board_of(replayed, stored.order, stored.version, now, memory);
    let plays: Vec<BTreeMap<String, f64>> = (0..board.plan.order.matches.len())
        .map(|place| board.who_plays(place))
        .collect();
    let (midnight, end) = board
        .plan
        .order
        .bounds()
        .map_or((0, 0), |(first, last)| (minute_of(first), minute_of(last)));
    let products = stock::all(db, tournament)?;
    let number_of = |id: &str| products.iter().position(|product| product.id == id);
    let names = board::player_names(db, tournament)?;
    let starts = board.times.iter().map(|times| times.walk_on.quantile(0.05));
    let first = starts.min().map_or(0, |start| start - midnight);
    let ends = board.times.iter().map(|times| times.last_point.quantile(0.5));
    let last = ends.max().map_or(0, |end| end - midnight);
    let usual = i64::from(USUAL_OPENING.minutes())
        .min(first - BEFORE_FIRST_MATCH)
        .max(0);
    let opens = asked.opens.map_or(usual, |opens| i64::from(opens.minutes()));
    let known = habits::read(db, tournament, &plays, &names, &number_of, (midnight, end), now)?;
    let published = publish_shifts::of_day(db, tournament, day)?;
    Ok(Some(TomorrowFacts {
        day: day.to_owned(),
        stations: planned(db, tournament, asked, published.as_ref(), known.stations.len())?,
        published,
        last_point_s: last * 60,
        midnight,
        has_stations: !known.stations.is_empty(),
        matches: board.plan.order.matches.len(),
        strings: left(db, tournament, &products)?,
        machines: machines(db, tournament)?,
        expected: ExpectedDay {
            plan: board.plan,
            state: board.state,
            times: board.times,
            plays,
            stations: known.stations,
            opens_s: opens * 60,
            habits: known.habits,
            waiting: known.waiting,
            strings: products.len(),
        },
    }))
}

/// The stations asked for; else those with a published shift, those that are open, or all of the desk's own.
fn planned(
    db: &mut Db,
    tournament: &str,
    asked: Asked,
    published: Option<&Published>,
    own: usize,
) -> DeskResult<usize> {
    let open = places::all(db, tournament)?.iter().filter(|one| one.open).count();
    let shifts = published.map(Published::stations).filter(|count| *count > 0);
    let usual = shifts.unwrap_or(if open > 0 { open } else { own });
    Ok(asked.stations.unwrap_or(usual).max(1))
}

/// What lies here of each string and belongs to no player.
fn left(db: &mut Db, tournament: &str, products: &[StringProduct]) -> DeskResult<Vec<StringLeft>> {
    let pieces = pieces::open(db, tournament)?;
    let left_mm = |id: &str| -> i64 {
        let own = pieces
            .iter()
            .filter(|piece| piece.string_id == id && piece.owner_player_id.is_none());
        own.map(|piece| piece.remaining_mm).sum()
    };
    let strings = products.iter().map(|product| StringLeft {
        id: product.id.clone(),
        name: product.name.clone(),
        left_mm: left_mm(&product.id),
    });
    Ok(strings.collect())
}

fn machines(db: &mut Db, tournament: &str) -> DeskResult<Vec<MachineCheck>> {
    let machines = machinery::all(db, tournament)?.into_iter();
    Ok(machines
        .map(|machine| MachineCheck {
            name: machine.name,
            cleared_until: machine.cleared_until.map(At::utc),
        })
        .collect())
}

impl TomorrowFacts {
    /// The same for the same facts: by this an answer is found again.
    #[must_use]
    pub fn mark(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        let day = &self.expected;
        (self.stations, day.opens_s, day.strings, &self.day).hash(&mut hasher);
        let rest = (&day.stations, &day.habits, &day.waiting, &day.plays);
        format!("{rest:?} {:?} {:?}", day.plan.order, day.state).hash(&mut hasher);
        hasher.finish()
    }

    /// Plays the day, for at most [`LONGEST`] once two repetitions are played.
    #[must_use]
    pub fn play(&self) -> Odds {
        let began = Instant::now();
        let mut drawn = self.expected.draw(REPETITIONS, SEED);
        for trial in &mut drawn.trials {
            trial.day = with_stations(&trial.day, self.stations);
        }
        let staffing = staffing(&drawn.trials, ROUNDS, &mut || began.elapsed() < LONGEST);
        let asked = |number: usize| {
            let metres = |asked: &Vec<i64>| usize::try_from(asked[number]).unwrap_or(0);
            Count::of(drawn.asked_mm.iter().map(metres).collect())
        };
        Odds {
            staffing,
            rackets: Count::of(
                drawn
                    .trials
                    .iter()
                    .map(|trial| trial.day.problem.jobs.len())
                    .collect(),
            ),
            asked_mm: (0..self.strings.len()).map(asked).collect(),
            of_unknown_string: Count::of(drawn.of_unknown_string),
        }
    }
}
