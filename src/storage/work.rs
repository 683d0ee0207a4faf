//! What happens to a job at the bench and the counter: attempts, phases, checks, readings, snags, pickups.
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::{attempts, checks, phases, pickups, readings, snags};
use super::{At, Db, StoreResult};

/// One try at a job.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = attempts, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Attempt {
    pub id: String,
    pub tournament_id: String,
    pub job_id: String,
    pub number: i32,
    pub station_id: Option<String>,
    pub machine_id: Option<String>,
    pub stringer_id: Option<String>,
    pub started_at: At,
    pub ended_at: Option<At>,
    pub ending: Option<String>,
    pub record: String,
}

/// Adds a row.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_attempt(db: &mut Db, row: &Attempt) -> StoreResult<()> {
    diesel::insert_into(attempts::table).values(row).execute(db)?;
    Ok(())
}

/// Saves an attempt.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn save_attempt(db: &mut Db, row: &Attempt) -> StoreResult<()> {
    diesel::update(attempts::table.find(&row.id))
        .set(row)
        .execute(db)?;
    Ok(())
}

/// A job's attempts, first to last.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn attempts_of(db: &mut Db, job: &str) -> StoreResult<Vec<Attempt>> {
    Ok(attempts::table
        .filter(attempts::job_id.eq(job))
        .order(attempts::number)
        .select(Attempt::as_select())
        .load(db)?)
}

/// The job that a station began last, and when.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn begun_last_at(db: &mut Db, tournament: &str, station: &str) -> StoreResult<Option<(String, At)>> {
    Ok(attempts::table
        .filter(attempts::tournament_id.eq(tournament))
        .filter(attempts::station_id.eq(station))
        .order((attempts::started_at.desc(), attempts::id.desc()))
        .select((attempts::job_id, attempts::started_at))
        .first(db)
        .optional()?)
}

/// One phase tap.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = phases, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Phase {
    pub id: String,
    pub tournament_id: String,
    pub job_id: String,
    pub attempt: i32,
    pub phase: String,
    pub filled: bool,
    pub at: At,
    pub device_at: Option<At>,
    pub undone_at: Option<At>,
}

/// Adds a row.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_phase(db: &mut Db, row: &Phase) -> StoreResult<()> {
    diesel::insert_into(phases::table).values(row).execute(db)?;
    Ok(())
}

/// Saves a phase.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn save_phase(db: &mut Db, row: &Phase) -> StoreResult<()> {
    diesel::update(phases::table.find(&row.id)).set(row).execute(db)?;
    Ok(())
}

/// A job's phase taps, in the order they were made.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn phases_of(db: &mut Db, job: &str) -> StoreResult<Vec<Phase>> {
    Ok(phases::table
        .filter(phases::job_id.eq(job))
        .order((phases::at, phases::id))
        .select(Phase::as_select())
        .load(db)?)
}

/// One check of a strung racket.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = checks, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Check {
    pub id: String,
    pub tournament_id: String,
    pub job_id: String,
    pub attempt: i32,
    pub account_id: Option<String>,
    pub passed: Option<bool>,
    pub record: String,
    pub at: At,
}

/// Adds a row.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_check(db: &mut Db, row: &Check) -> StoreResult<()> {
    diesel::insert_into(checks::table).values(row).execute(db)?;
    Ok(())
}

/// A job's checks, in the order they were made.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn checks_of(db: &mut Db, job: &str) -> StoreResult<Vec<Check>> {
    Ok(checks::table
        .filter(checks::job_id.eq(job))
        .order((checks::at, checks::id))
        .select(Check::as_select())
        .load(db)?)
}

/// One stringbed reading.
#[derive(Debug, Clone, Queryable, Selectable, Insertable)]
#[diesel(table_name = readings)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Reading {
    pub id: String,
    pub tournament_id: String,
    pub racket_id: String,
    pub job_id: String,
    pub account_id: Option<String>,
    pub record: String,
    pub at: At,
}

/// Adds a row.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_reading(db: &mut Db, row: &Reading) -> StoreResult<()> {
    diesel::insert_into(readings::table).values(row).execute(db)?;
    Ok(())
}

/// A racket's readings, newest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn readings_of(db: &mut Db, racket: &str, limit: i64) -> StoreResult<Vec<Reading>> {
    Ok(readings::table
        .filter(readings::racket_id.eq(racket))
        .order((readings::at.desc(), readings::id.desc()))
        .limit(limit)
        .select(Reading::as_select())
        .load(db)?)
}

/// A tournament's readings, newest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn latest_readings(db: &mut Db, tournament: &str, limit: i64) -> StoreResult<Vec<Reading>> {
    Ok(readings::table
        .filter(readings::tournament_id.eq(tournament))
        .order((readings::at.desc(), readings::id.desc()))
        .limit(limit)
        .select(Reading::as_select())
        .load(db)?)
}

/// Problems that wait for a person's decision.
pub mod waiting_decisions {
    use super::*;

    /// A problem that waits, or waited, for a person.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = snags, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Snag {
        pub id: String,
        pub tournament_id: String,
        pub kind: String,
        pub job_id: Option<String>,
        pub record: String,
        pub opened_at: At,
        pub decided_at: Option<At>,
        pub version: i64,
    }

    keeps!(snags, Snag);

    /// Snags nobody decided yet, oldest first.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn open(db: &mut Db, tournament: &str) -> StoreResult<Vec<Snag>> {
        Ok(snags::table
            .filter(snags::tournament_id.eq(tournament))
            .filter(snags::decided_at.is_null())
            .order((snags::opened_at, snags::id))
            .select(Snag::as_select())
            .load(db)?)
    }

    /// How many nobody decided yet.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn count_open(db: &mut Db, tournament: &str) -> StoreResult<i64> {
        Ok(snags::table
            .filter(snags::tournament_id.eq(tournament))
            .filter(snags::decided_at.is_null())
            .count()
            .get_result(db)?)
    }

    /// All snags of a job, oldest first.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn of_job(db: &mut Db, job: &str) -> StoreResult<Vec<Snag>> {
        Ok(snags::table
            .filter(snags::job_id.eq(job))
            .order((snags::opened_at, snags::id))
            .select(Snag::as_select())
            .load(db)?)
    }
}

/// Hand-outs of rackets.
pub mod hand_outs {
    use super::*;

    /// One hand-out of rackets.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = pickups, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Pickup {
        pub id: String,
        pub tournament_id: String,
        pub account_id: Option<String>,
        pub record: String,
        pub at: At,
        pub undone_at: Option<At>,
        pub version: i64,
    }

    keeps!(pickups, Pickup);
}
