//! Tag codes: reserved on paper or given to a job; never twice in a tournament.
use diesel::prelude::*;

use super::schema::codes;
use super::{At, Db, StoreResult};

/// A tag code that is taken.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = codes, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Code {
    pub tournament_id: String,
    pub code: String,
    pub job_id: Option<String>,
    pub reserved_at: Option<At>,
    pub kept_for: Option<String>,
}

/// The code, if it was ever taken.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, tournament: &str, code: &str) -> StoreResult<Option<Code>> {
    Ok(codes::table
        .find((tournament, code))
        .select(Code::as_select())
        .first(db)
        .optional()?)
}

/// Takes a code.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert(db: &mut Db, row: &Code) -> StoreResult<()> {
    diesel::insert_into(codes::table).values(row).execute(db)?;
    Ok(())
}

/// Gives a reserved code to a job.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn give(db: &mut Db, tournament: &str, code: &str, job: &str) -> StoreResult<()> {
    diesel::update(codes::table.find((tournament, code)))
        .set(codes::job_id.eq(job))
        .execute(db)?;
    Ok(())
}

/// Codes of the paper kit that no job has yet, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn reserved(db: &mut Db, tournament: &str) -> StoreResult<Vec<String>> {
    Ok(codes::table
        .filter(codes::tournament_id.eq(tournament))
        .filter(codes::job_id.is_null())
        .filter(codes::kept_for.is_null())
        .order((codes::reserved_at, codes::code))
        .select(codes::code)
        .load(db)?)
}
