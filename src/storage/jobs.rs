//! Jobs: one stringing of one racket to one spec.
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::jobs;
use super::{At, Db, StoreResult};

/// A job.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = jobs, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Job {
    pub id: String,
    pub tournament_id: String,
    pub code: String,
    pub racket_id: String,
    pub player_id: String,
    pub state: String,
    pub phase: Option<String>,
    pub phase_at: Option<At>,
    pub outcome: Option<String>,
    pub attempt: i32,
    pub station_id: Option<String>,
    pub stringer_id: Option<String>,
    pub pinned_station_id: Option<String>,
    pub batch_id: Option<String>,
    pub batch_place: i32,
    pub spec: String,
    pub spec_version: i64,
    pub spec_change_unseen: bool,
    pub rush: Option<String>,
    pub held_reason: Option<String>,
    pub held_until: Option<At>,
    pub paused: bool,
    pub recalled: bool,
    pub recorded_late: bool,
    pub work_p90_s: i32,
    pub due_at: At,
    pub promised_at: Option<At>,
    pub received_at: At,
    pub state_since: At,
    pub out_at: Option<At>,
    pub record: String,
    pub version: i64,
}

keeps!(jobs, Job);

/// Of a job that waits, what the choice of the next one looks at.
#[derive(Debug, Clone, Queryable, Selectable)]
#[diesel(table_name = jobs)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Waiting {
    pub id: String,
    pub code: String,
    pub pinned_station_id: Option<String>,
    pub rush: Option<String>,
    pub held_reason: Option<String>,
    pub held_until: Option<At>,
    pub due_at: At,
    pub received_at: At,
    pub batch_place: i32,
    pub record: String,
}

/// What a list of jobs is narrowed by; everything `None` is all jobs.
#[derive(Debug, Clone, Default)]
pub struct JobFilter {
    /// Only these states.
    pub states: Option<Vec<String>>,
    /// Only this player's.
    pub player_id: Option<String>,
    /// Only this racket's.
    pub racket_id: Option<String>,
    /// Only those at this station.
    pub station_id: Option<String>,
    /// Only those of this drop-off.
    pub batch_id: Option<String>,
    /// Only those wanted before this moment.
    pub due_before: Option<At>,
    /// Only those after this place in the order by receipt.
    pub after: Option<(At, String)>,
}

macro_rules! filtered {
    ($tournament:expr, $filter:expr) => {{
        let mut query = jobs::table
            .filter(jobs::tournament_id.eq($tournament.to_owned()))
            .into_boxed();
        let filter = $filter.clone();
        if let Some(states) = filter.states {
            query = query.filter(jobs::state.eq_any(states));
        }
        if let Some(player) = filter.player_id {
            query = query.filter(jobs::player_id.eq(player));
        }
        if let Some(racket) = filter.racket_id {
            query = query.filter(jobs::racket_id.eq(racket));
        }
        if let Some(station) = filter.station_id {
            query = query.filter(jobs::station_id.eq(station));
        }
        if let Some(batch) = filter.batch_id {
            query = query.filter(jobs::batch_id.eq(batch));
        }
        if let Some(moment) = filter.due_before {
            query = query.filter(jobs::due_at.lt(moment));
        }
        if let Some((moment, id)) = filter.after {
            query = query.filter(
                jobs::received_at
                    .gt(moment)
                    .or(jobs::received_at.eq(moment).and(jobs::id.gt(id))),
            );
        }
        query
    }};
}

/// At most `limit` jobs by receipt, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn list(db: &mut Db, tournament: &str, filter: &JobFilter, limit: i64) -> StoreResult<Vec<Job>> {
    Ok(filtered!(tournament, filter)
        .order((jobs::received_at, jobs::id))
        .limit(limit)
        .select(Job::as_select())
        .load(db)?)
}

/// How many jobs there are.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn count(db: &mut Db, tournament: &str, filter: &JobFilter) -> StoreResult<i64> {
    Ok(filtered!(tournament, filter).count().get_result(db)?)
}

/// Every job in one of these states, by ready-by time.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn in_states(db: &mut Db, tournament: &str, states: &[&str]) -> StoreResult<Vec<Job>> {
    let states: Vec<String> = states.iter().map(|&state| state.to_owned()).collect();
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq_any(states))
        .order((jobs::due_at, jobs::id))
        .select(Job::as_select())
        .load(db)?)
}

/// Every job in this state by ready-by time, with no more than a choice among them takes.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn queue(db: &mut Db, tournament: &str, state: &str) -> StoreResult<Vec<Waiting>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq(state))
        .order((jobs::due_at, jobs::id))
        .select(Waiting::as_select())
        .load(db)?)
}

/// Of the queue, what stands outside the order by time for this station: rushed, or pinned to it.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn put_first(db: &mut Db, tournament: &str, state: &str, station: &str) -> StoreResult<Vec<Waiting>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq(state))
        .filter(jobs::rush.is_not_null().or(jobs::pinned_station_id.eq(station)))
        .select(Waiting::as_select())
        .load(db)?)
}

/// Those of these jobs that are in this state, in no order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn waiting_of(db: &mut Db, tournament: &str, state: &str, ids: &[String]) -> StoreResult<Vec<Waiting>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::id.eq_any(ids.to_vec()))
        .filter(jobs::state.eq(state))
        .select(Waiting::as_select())
        .load(db)?)
}

/// A part of the rest of the queue, by ready-by, receipt and code.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn queue_page(
    db: &mut Db,
    tournament: &str,
    state: &str,
    after: i64,
    limit: i64,
) -> StoreResult<Vec<Waiting>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq(state))
        .filter(jobs::rush.is_null())
        .filter(jobs::pinned_station_id.is_null())
        .order((jobs::due_at, jobs::received_at, jobs::batch_place, jobs::code))
        .offset(after)
        .limit(limit)
        .select(Waiting::as_select())
        .load(db)?)
}

/// The job that a station has in one of these states, if any.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn at_station(db: &mut Db, tournament: &str, station: &str, states: &[&str]) -> StoreResult<Option<Job>> {
    let states: Vec<String> = states.iter().map(|&state| state.to_owned()).collect();
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::station_id.eq(station))
        .filter(jobs::state.eq_any(states))
        .select(Job::as_select())
        .first(db)
        .optional()?)
}

/// The `record` columns of all jobs in one of these states.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn records_in(db: &mut Db, tournament: &str, states: &[&str]) -> StoreResult<Vec<String>> {
    let states: Vec<String> = states.iter().map(|&state| state.to_owned()).collect();
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq_any(states))
        .select(jobs::record)
        .load(db)?)
}

/// The records of jobs that wait and must be ready by `due_at`.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn waiting_records_due(db: &mut Db, tournament: &str, due_at: At) -> StoreResult<Vec<String>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::state.eq("waiting"))
        .filter(jobs::due_at.le(due_at))
        .select(jobs::record)
        .load(db)?)
}

/// The job with this tag code.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_code(db: &mut Db, tournament: &str, code: &str) -> StoreResult<Option<Job>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::code.eq(code))
        .select(Job::as_select())
        .first(db)
        .optional()?)
}

/// The jobs with these ids, in no order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn with_ids(db: &mut Db, tournament: &str, ids: &[String]) -> StoreResult<Vec<Job>> {
    Ok(jobs::table
        .filter(jobs::tournament_id.eq(tournament))
        .filter(jobs::id.eq_any(ids.to_vec()))
        .select(Job::as_select())
        .load(db)?)
}

/// The newest jobs of these rackets, newest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn latest_of_rackets(db: &mut Db, rackets: &[String], limit: i64) -> StoreResult<Vec<Job>> {
    Ok(jobs::table
        .filter(jobs::racket_id.eq_any(rackets.to_vec()))
        .order((jobs::received_at.desc(), jobs::id.desc()))
        .limit(limit)
        .select(Job::as_select())
        .load(db)?)
}

/// The newest jobs of a racket, newest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn latest_of_racket(db: &mut Db, racket: &str, limit: i64) -> StoreResult<Vec<Job>> {
    Ok(jobs::table
        .filter(jobs::racket_id.eq(racket))
        .order((jobs::received_at.desc(), jobs::id.desc()))
        .limit(limit)
        .select(Job::as_select())
        .load(db)?)
}
