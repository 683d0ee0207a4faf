//! Rackets: the physical things, told apart by label and marks.
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::ids::RacketId;
use crate::craft::roles::Role;
use crate::desk::records::RacketRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{Tx, ids};
use crate::storage::rackets::{self, Racket, models};
use crate::storage::{players, to_record};

/// Who may.
pub const KEEPERS: [Role; 2] = [Role::Desk, Role::Coordinator];

/// What is said of a racket.
#[derive(Debug, Clone)]
pub struct RacketFacts {
    /// Whose it is.
    pub player_id: String,
    /// Which frame model.
    pub frame_id: String,
    /// The permanent label, if it carries one.
    pub label_code: Option<String>,
    /// Number and marks.
    pub record: RacketRecord,
}

/// Registers a racket; its owner has it until it is handed in.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn register_racket(tx: &mut Tx<'_>, facts: RacketFacts) -> DeskResult<Racket> {
    tx.caller.must_be(&KEEPERS)?;
    check(tx, None, &facts)?;
    let racket = Racket {
        id: ids::new::<RacketId>(),
        tournament_id: tx.tournament().to_owned(),
        player_id: facts.player_id,
        frame_id: facts.frame_id,
        label_code: facts.label_code,
        custody: Custody::Owner.to_string(),
        custody_since: tx.at(),
        record: to_record(&facts.record)?,
        version: 1,
        created_at: tx.at(),
    };
    rackets::insert(tx.db, &racket)?;
    let data = json!({"player_id": racket.player_id, "frame_id": racket.frame_id});
    tx.emit("racket.registered", &racket.id, &data)?;
    Ok(racket)
}

/// Corrects what is known of a racket; it stays where it is.
///
/// # Errors
/// As [`register_racket`], [`DeskError::NotFound`], [`DeskError::Stale`].
pub fn correct_racket(tx: &mut Tx<'_>, id: &str, version: i64, facts: RacketFacts) -> DeskResult<Racket> {
    let mut racket = rackets::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    tx.caller.must_be(&KEEPERS)?;
    if racket.version != version {
        return Err(DeskError::Stale {
            current: racket.version,
        });
    }
    check(tx, Some(id), &facts)?;
    racket.player_id = facts.player_id;
    racket.frame_id = facts.frame_id;
    racket.label_code = facts.label_code;
    racket.record = to_record(&facts.record)?;
    rackets::save(tx.db, &mut racket)?;
    tx.emit("racket.corrected", id, &json!({"version": racket.version}))?;
    Ok(racket)
}

/// Moves a racket: writes down where it is now.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn move_racket(tx: &mut Tx<'_>, racket: &mut Racket, to: &Custody) -> DeskResult<()> {
    let to = to.to_string();
    if racket.custody == to {
        return Ok(());
    }
    let from = std::mem::replace(&mut racket.custody, to);
    racket.custody_since = tx.at();
    rackets::save(tx.db, racket)?;
    tx.emit(
        "racket.moved",
        &racket.id,
        &json!({"from": from, "to": racket.custody}),
    )
}

fn check(tx: &mut Tx<'_>, own_id: Option<&str>, facts: &RacketFacts) -> DeskResult<()> {
    let tournament = tx.tournament();
    if players::find(tx.db, tournament, &facts.player_id)?.is_none() {
        return Err(DeskError::member(
            "/player_id",
            "unknown_reference",
            "No such player; register them first.",
        ));
    }
    if models::find(tx.db, tournament, &facts.frame_id)?.is_none() {
        return Err(DeskError::member(
            "/frame_id",
            "unknown_reference",
            "No such frame; record it first.",
        ));
    }
    if let Some(label) = &facts.label_code
        && let Some(other) = rackets::by_label(tx.db, tournament, label)?
        && Some(other.id.as_str()) != own_id
    {
        return Err(DeskError::member(
            "/label_code",
            "already_exists",
            "Another racket carries this label.",
        ));
    }
    Ok(())
}
