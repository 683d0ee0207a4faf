//! Tag codes: fresh ones by chance, reserved ones from a paper strip; never twice.
use crate::craft::tag_code::TagCode;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::{Tx, ids};
use crate::storage::codes::{self, Code};

/// How often chance is tried; with 700,000 codes it fails only in a tournament that has used them up.
const TRIES: usize = 100;

/// Takes the code for a job: the one that was typed, if any, else a fresh one.
///
/// # Errors
/// [`DeskError::Invalid`] for a misread, unknown or used code.
pub fn for_job(tx: &mut Tx<'_>, job_id: &str, typed: Option<&str>, pointer: &str) -> DeskResult<String> {
    match typed {
        Some(text) => reserved(tx, job_id, text, &format!("{pointer}/code")),
        None => fresh(tx, Some(job_id), None),
    }
}

/// Reserves codes: for the paper kit, or for whoever keeps them ready (a strip of labels, a device
/// without network), so that nobody else hands them out too.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn reserve(tx: &mut Tx<'_>, count: usize, kept_for: Option<&str>) -> DeskResult<Vec<String>> {
    (0..count).map(|_| fresh(tx, None, kept_for)).collect()
}

fn fresh(tx: &mut Tx<'_>, job_id: Option<&str>, kept_for: Option<&str>) -> DeskResult<String> {
    let tournament = tx.tournament();
    for _ in 0..TRIES {
        let number = u32::from_le_bytes(ids::random_bytes::<4>()?);
        let code = TagCode::from_number(number).as_str().to_owned();
        if codes::find(tx.db, tournament, &code)?.is_none() {
            let row = Code {
                tournament_id: tournament.to_owned(),
                code: code.clone(),
                job_id: job_id.map(str::to_owned),
                reserved_at: job_id.is_none().then(|| tx.at()),
                kept_for: kept_for.map(str::to_owned),
            };
            codes::insert(tx.db, &row)?;
            return Ok(code);
        }
    }
    Err(DeskError::rule(
        crate::desk::Reason::RuleRefused,
        "This tournament has used up its tag codes.",
    ))
}

fn reserved(tx: &mut Tx<'_>, job_id: &str, text: &str, pointer: &str) -> DeskResult<String> {
    let code = TagCode::parse(text)
        .map_err(|fault| DeskError::member(pointer, "check_the_code", fault.to_string()))?
        .as_str()
        .to_owned();
    let tournament = tx.tournament();
    match codes::find(tx.db, tournament, &code)? {
        Some(row) if row.job_id.is_none() => {
            codes::give(tx.db, tournament, &code, job_id)?;
            Ok(code)
        }
        Some(_) => Err(DeskError::member(
            pointer,
            "already_exists",
            "This code is on another racket already.",
        )),
        None => Err(DeskError::member(
            pointer,
            "unknown_reference",
            "This code was not reserved; leave it out for a fresh one.",
        )),
    }
}
