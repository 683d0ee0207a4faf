//! The days of play as they stand: order, events, forecast.
use std::collections::BTreeMap;

use chrono::{DateTime, Days, NaiveDate, Utc};

use crate::craft::match_times::day_plan::DayPlan;
use crate::craft::match_times::day_sheet::{DayRow, day_sheet};
use crate::craft::match_times::day_state::DayState;
use crate::craft::match_times::events::{CourtEvent, EventRemark, Happened, MatchEvent};
use crate::craft::match_times::forecast::{MatchTimes, forecast};
use crate::craft::match_times::length::Chances;
use crate::craft::match_times::order::OrderOfPlay;
use crate::craft::match_times::ready_by::Demand;
use crate::craft::match_times::replay::{Replayed, replay};
use crate::craft::match_times::venue_time::minute_of;
use crate::craft::match_times::who_plays::who_plays;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{CourtMemory, Tx};
use crate::forms::order_of_play::{self, Known};
use crate::storage::court_times::{self, DayOrder};
use crate::storage::{Db, players, tournaments};

/// One day of play.
#[derive(Debug, Clone)]
pub struct DayBoard {
    /// The order as it was given.
    pub given: OrderOfPlay,
    /// The version of what is stored, as in the `ETag`.
    pub version: i64,
    /// The order with all moves in it, ready to be computed.
    pub plan: DayPlan,
    /// What happened.
    pub state: DayState,
    /// When matches start and end.
    pub times: Vec<MatchTimes>,
    /// The same in figures, by court and sequence.
    pub rows: Vec<DayRow>,
    /// What is worth a word about the events.
    pub remarks: Vec<EventRemark>,
}

/// What is stored of a day.
#[derive(Debug, Clone)]
pub struct StoredDay {
    /// The order as it was given.
    pub order: OrderOfPlay,
    /// The row's version.
    pub version: i64,
    /// Its events.
    pub events: Vec<CourtEvent>,
    /// All that was told, by key; also changes that the order has in it by now.
    pub told: BTreeMap<(String, u64), CourtEvent>,
}

/// The order of play in a row, which was checked before it was stored.
///
/// # Errors
/// [`DeskError::NotFound`] where it cannot be read any more.
pub fn order_of(row: &DayOrder) -> DeskResult<OrderOfPlay> {
    let read = order_of_play::read(&row.record, &Known::default());
    read.map(|read| read.order).map_err(|faults| {
        tracing::error!(day = row.day, fault = %faults.first().map_or_else(String::new, ToString::to_string), "a stored order of play cannot be read");
        DeskError::NotFound(Thing::OrderOfPlay)
    })
}

/// What is stored of a day, if anything is.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn stored(
    db: &mut Db,
    tournament: &str,
    day: &str,
    memory: &CourtMemory,
) -> DeskResult<Option<StoredDay>> {
    let Some(row) = court_times::find(db, tournament, day)? else {
        return Ok(None);
    };
    let mut known = StoredDay {
        order: memory.order(&row, order_of)?,
        version: row.version,
        events: Vec::new(),
        told: BTreeMap::new(),
    };
    let rows = court_times::events_of(db, tournament, day)?;
    for event in memory.events(tournament, day, &rows) {
        known.told.insert((event.src.clone(), event.n), event.clone());
        // a change of order that the given order has already in it
        if change_version(&event).is_none_or(|version| version > known.order.version) {
            known.events.push(event);
        }
    }
    Ok(Some(known))
}

/// The version that an event gives the order, if it changes it.
#[must_use]
pub fn change_version(event: &CourtEvent) -> Option<u32> {
    match &event.what {
        Happened::Reordered { version, .. }
        | Happened::Match(_, MatchEvent::Moved { version, .. } | MatchEvent::StartRule { version, .. }) => {
            Some(*version)
        }
        _ => None,
    }
}

/// The board of a day.
#[must_use]
pub fn board_of(
    replayed: Replayed,
    given: OrderOfPlay,
    version: i64,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DayBoard {
    let Replayed {
        order,
        state,
        remarks,
    } = replayed;
    let (plan, times) = memory.with_lengths(|lengths| {
        let plan = DayPlan::new(order, Chances::default(), lengths);
        let times = forecast(&plan, &state, Some(now), lengths);
        (plan, times)
    });
    let rows = day_sheet(&plan, &state, &times, Some(minute_of(now)), &Demand::default());
    DayBoard {
        given,
        version,
        plan,
        state,
        times,
        rows,
        remarks,
    }
}

/// The board of a day, if the day has an order of play.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn board(
    db: &mut Db,
    tournament: &str,
    day: &str,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Option<DayBoard>> {
    let Some(day) = stored(db, tournament, day, memory)? else {
        return Ok(None);
    };
    // what was stored was told without faults
    let Ok(replayed) = replay(&day.order, &day.events) else {
        return Ok(None);
    };
    Ok(Some(board_of(replayed, day.order, day.version, now, memory)))
}

/// The boards of yesterday, today and all days to come, by day.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn boards(
    db: &mut Db,
    tournament: &str,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Vec<DayBoard>> {
    boards_but(db, tournament, None, now, memory)
}

fn boards_but(
    db: &mut Db,
    tournament: &str,
    day: Option<NaiveDate>,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Vec<DayBoard>> {
    let day = day.map(|day| day.to_string());
    let row = tournaments::find(db, tournament)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let zone: chrono_tz::Tz = row.time_zone.parse().unwrap_or(chrono_tz::UTC);
    let today = now.with_timezone(&zone).date_naive();
    // a day of play goes on past midnight
    let from = today.checked_sub_days(Days::new(1)).unwrap_or(today).to_string();
    let mut boards = Vec::new();
    for row in court_times::from_day(db, tournament, &from)? {
        if day.as_ref() == Some(&row.day) {
            continue;
        }
        boards.extend(board(db, tournament, &row.day, now, memory)?);
    }
    Ok(boards)
}

/// As [`boards`], with this one in the place of the one of its day.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn boards_with(
    db: &mut Db,
    tournament: &str,
    changed: DayBoard,
    now: DateTime<Utc>,
    memory: &CourtMemory,
) -> DeskResult<Vec<DayBoard>> {
    let mut boards = boards_but(db, tournament, Some(changed.plan.order.day), now, memory)?;
    boards.push(changed);
    boards.sort_by_key(|board| board.plan.order.day);
    Ok(boards)
}

/// The day whose courts are meant now: the latest day of play that has begun and is not over.
///
/// # Errors
/// [`DeskError::NotFound`] where no day has an order of play.
pub fn current_day(tx: &mut Tx<'_>) -> DeskResult<NaiveDate> {
    let zone = zone(tx.db, tx.caller.tournament())?;
    let today = tx.now.with_timezone(&zone).date_naive();
    let yesterday = today.checked_sub_days(Days::new(1)).unwrap_or(today);
    for day in [today, yesterday] {
        if court_times::find(tx.db, tx.caller.tournament(), &day.to_string())?.is_some() {
            return Ok(day);
        }
    }
    Err(DeskError::NotFound(Thing::OrderOfPlay))
}

/// The days that have an order of play.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn days(db: &mut Db, tournament: &str) -> DeskResult<Vec<String>> {
    let rows = court_times::from_day(db, tournament, "")?;
    Ok(rows.into_iter().map(|row| row.day).collect())
}

/// The venue's zone.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn zone(db: &mut Db, tournament: &str) -> DeskResult<chrono_tz::Tz> {
    let row = tournaments::find(db, tournament)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    Ok(row.time_zone.parse().unwrap_or(chrono_tz::UTC))
}

/// The player's id behind every name that an order of play may use: the id itself, or the badge.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn player_names(db: &mut Db, tournament: &str) -> DeskResult<BTreeMap<String, String>> {
    let mut names = BTreeMap::new();
    for (id, badge) in players::badges(db, tournament)? {
        if let Some(badge) = badge {
            names.insert(badge, id.clone());
        }
        names.insert(id.clone(), id);
    }
    Ok(names)
}

impl DayBoard {
    /// How likely each player of the desk plays each match; matches by their place.
    #[must_use]
    pub fn chances(&self, names: &BTreeMap<String, String>) -> Vec<BTreeMap<String, f64>> {
        (0..self.plan.order.matches.len())
            .map(|place| {
                let plays = who_plays(&self.plan.order, &self.times, place);
                plays
                    .into_iter()
                    .filter_map(|(name, chance)| Some((names.get(&name)?.clone(), chance)))
                    .collect()
            })
            .collect()
    }

    /// How likely each name of the order plays this match.
    #[must_use]
    pub fn who_plays(&self, place: usize) -> BTreeMap<String, f64> {
        who_plays(&self.plan.order, &self.times, place)
    }

    /// The row of a match.
    #[must_use]
    pub fn row(&self, match_id: &str) -> Option<&DayRow> {
        self.rows
            .iter()
            .find(|row| self.plan.order.matches[row.place].id == match_id)
    }
}
