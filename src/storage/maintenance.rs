//! What those who run the service need of the database: copies, checks, the log's wholeness.
use diesel::connection::SimpleConnection;
use diesel::prelude::*;
use diesel::sql_types::Text;

use super::schema::events;
use super::{Db, StoreError, StoreResult, tournaments};

#[derive(QueryableByName)]
struct Line {
    #[diesel(sql_type = Text)]
    integrity_check: String,
}

#[derive(QueryableByName)]
struct JournalMode {
    #[diesel(sql_type = Text)]
    journal_mode: String,
}

/// The embedded database's own check of its file: one line per fault, none when it is sound.
/// A PostgreSQL server checks itself; the answer is `None`.
///
/// # Errors
/// [`StoreError`] where the check can't run.
pub fn faults_in_file(db: &mut Db) -> StoreResult<Option<Vec<String>>> {
    let Db::Sqlite(sqlite) = db else { return Ok(None) };
    let lines: Vec<Line> = diesel::sql_query("PRAGMA integrity_check").load(sqlite)?;
    let faults = lines.into_iter().map(|line| line.integrity_check);
    Ok(Some(faults.filter(|fault| fault != "ok").collect()))
}

/// Writes a whole, compact copy of the embedded database to a file that does not
/// exist yet, while the service may be running. `false`: not the embedded database.
///
/// # Errors
/// [`StoreError`] where the file exists or can't be written.
pub fn copy_to(db: &mut Db, path: &str) -> StoreResult<bool> {
    let Db::Sqlite(sqlite) = db else { return Ok(false) };
    diesel::sql_query("VACUUM INTO ?")
        .bind::<Text, _>(path)
        .execute(sqlite)?;
    Ok(true)
}

/// Moves everything into the one file, so that it may be replaced. `false`: somebody uses it.
///
/// # Errors
/// [`StoreError`] where the file can't be written.
pub fn close_for_replacing(db: &mut Db) -> StoreResult<bool> {
    let Db::Sqlite(sqlite) = db else { return Ok(false) };
    // leaving WAL needs the file for oneself alone, which is what is asked here
    let left: Result<JournalMode, _> = diesel::sql_query("PRAGMA journal_mode=DELETE").get_result(sqlite);
    match left {
        Ok(mode) => Ok(mode.journal_mode == "delete"),
        Err(diesel::result::Error::DatabaseError(_, info)) if info.message().contains("locked") => Ok(false),
        Err(error) => Err(StoreError::Query(error)),
    }
}

/// Whether the desk's tables are there at all.
///
/// # Errors
/// [`StoreError`] for a connection that broke.
pub fn holds_a_desk(db: &mut Db) -> StoreResult<bool> {
    match db.batch_execute("SELECT id FROM tournaments WHERE 1 = 0") {
        Ok(()) => Ok(true),
        Err(diesel::result::Error::DatabaseError(_, info)) if info.message().contains("tournaments") => {
            Ok(false)
        }
        Err(error) => Err(StoreError::Query(error)),
    }
}

/// One tournament's log, counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogCount {
    /// Whose log.
    pub tournament_id: String,
    /// How many entries there are.
    pub entries: i64,
    /// The newest entry's number.
    pub newest: i64,
    /// The number that the tournament's row says was used last.
    pub last_used: i64,
}

impl LogCount {
    /// Whether numbers 1 to the last used are all there; no two entries share a number.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.entries == self.newest && self.newest == self.last_used
    }
}

/// Counts every log.
///
/// # Errors
/// [`StoreError`] where a query fails.
pub fn count_logs(db: &mut Db) -> StoreResult<Vec<LogCount>> {
    let mut counts = Vec::new();
    for tournament in tournaments::all(db)? {
        let of_tournament = events::table.filter(events::tournament_id.eq(&tournament.id));
        let entries: i64 = of_tournament.count().get_result(db)?;
        counts.push(LogCount {
            newest: super::events::newest(db, &tournament.id)?,
            entries,
            last_used: tournament.sequence,
            tournament_id: tournament.id,
        });
    }
    Ok(counts)
}
