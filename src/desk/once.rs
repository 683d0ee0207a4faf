//! Doing something once however often it is asked for: the key and the answer
//! are kept in the transaction of the effect.
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::tx::Tx;
use crate::storage::{At, from_record, idempotency, to_record};

/// A request that may be repeated.
#[derive(Debug, Clone)]
pub struct Once {
    /// The key that the caller chose.
    pub key: String,
    /// The method and address it was sent to.
    pub route: String,
    /// What tells this request from another under the same key.
    pub fingerprint: String,
}

/// An answer as it was, and will be, given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The status code.
    pub status: u16,
    /// Headers that belong to the answer (`Location`, `ETag`).
    pub headers: Vec<(String, String)>,
    /// The body.
    pub body: String,
    /// Whether it was kept from an earlier request.
    pub replayed: bool,
}

/// The kept answer of an earlier request with this key.
///
/// # Errors
/// [`DeskError::KeyReused`] where the key stood for another request.
pub(super) fn kept(tx: &mut Tx<'_>, once: &Once) -> DeskResult<Option<Answer>> {
    let scope = tx.caller.scope();
    let tournament = tx.tournament();
    let Some(row) = idempotency::find(tx.db, tournament, &scope, &once.route, &once.key)? else {
        return Ok(None);
    };
    if row.body_hash != once.fingerprint {
        return Err(DeskError::KeyReused);
    }
    Ok(Some(Answer {
        status: u16::try_from(row.status).unwrap_or(200),
        headers: from_record(&row.headers)?,
        body: row.body,
        replayed: true,
    }))
}

/// Keeps an answer beside the effect it tells of.
///
/// # Errors
/// [`DeskError::Storage`].
pub(super) fn keep(tx: &mut Tx<'_>, once: Once, answer: &Answer, wall: At) -> DeskResult<()> {
    let row = idempotency::KeptAnswer {
        tournament_id: tx.tournament().to_owned(),
        caller: tx.caller.scope(),
        route: once.route,
        key: once.key,
        body_hash: once.fingerprint,
        status: i32::from(answer.status),
        headers: to_record(&answer.headers)?,
        body: answer.body.clone(),
        stored_at: wall,
    };
    Ok(idempotency::keep(tx.db, &row)?)
}
