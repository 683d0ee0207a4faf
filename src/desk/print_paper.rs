//! Paper that goes with a racket: each print is counted, so that a copy says that it is one.
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::roles::Role;
use crate::desk::Tx;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::DeskResult;
use crate::storage::{jobs, to_record};

/// A kind of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// The loop round the racket's shaft.
    Tag,
    /// What the player takes along.
    Ticket,
}

impl Paper {
    /// Its name in addresses and records.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tag => "tag",
            Self::Ticket => "ticket",
        }
    }
}

/// Who prints.
pub const PRINTERS: [Role; 2] = [Role::Desk, Role::Coordinator];

/// Counts a print; answers which copy it is, from 1.
///
/// # Errors
/// [`DeskError::NotFound`](crate::desk::DeskError), [`DeskError::NotAllowed`](crate::desk::DeskError).
pub fn print_paper(tx: &mut Tx<'_>, job_id: &str, paper: Paper) -> DeskResult<u32> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    tx.caller.must_be(&PRINTERS)?;
    let copies = sheet.record.prints.entry(paper.name().to_owned()).or_insert(0);
    *copies += 1;
    let copy = *copies;
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    tx.emit("job.printed", job_id, &json!({"what": paper, "copy": copy}))?;
    Ok(copy)
}
