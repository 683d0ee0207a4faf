//! What the desk needs on paper when power or network fail: open jobs, the shelf, codes to write on tags.
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview::{self, House};
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, take_code};
use crate::storage::{codes, tournaments};

/// How many blank rows with a code a kit has.
pub const BLANK_ROWS: usize = 50;

/// One tournament's kit.
#[derive(Debug)]
pub struct PaperKit {
    /// The tournament as screens name it.
    pub house: House,
    /// Jobs that are not strung yet, by ready-by.
    pub open: Vec<JobSheet>,
    /// Rackets that wait on the shelf for their owners.
    pub shelf: Vec<JobSheet>,
    /// Codes that belong to nobody yet: what is written on paper gets one of them.
    pub codes: Vec<String>,
}

/// Reads the kit and reserves what codes it lacks; the same codes stand on every print until they are used.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn paper_kit(tx: &mut Tx<'_>) -> DeskResult<PaperKit> {
    let tournament = tx.tournament();
    let mut open = overview::sheets_in(
        tx.db,
        tournament,
        &["waiting", "assigned", "on_machine", "checking"],
    )?;
    open.sort_by_key(|sheet| sheet.job.due_at);
    let shelf = overview::sheets_in(tx.db, tournament, &["ready"])?;
    let mut reserved = codes::reserved(tx.db, tournament)?;
    reserved.truncate(BLANK_ROWS);
    let missing = BLANK_ROWS - reserved.len();
    reserved.extend(take_code::reserve(tx, missing)?);
    // in the order in which they are read back, so that the next print looks the same
    reserved.sort();
    Ok(PaperKit {
        house: overview::house(tx.db, tx.tournament())?,
        open,
        shelf,
        codes: reserved,
    })
}

/// The ids of all tournaments of this desk.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn tournaments(db: &mut crate::storage::Db) -> DeskResult<Vec<String>> {
    Ok(tournaments::all(db)?.into_iter().map(|row| row.id).collect())
}
