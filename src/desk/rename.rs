//! Names of what Setup holds: given another, and not given twice.
use serde_json::json;

use crate::craft::search_key::search_key;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::{Tx, keep_workshop, text_member};
use crate::storage::workshop::{machinery, people, places};
use crate::storage::{rackets::models, stock};

/// What has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// A string product.
    StringProduct,
    /// A frame model.
    Frame,
    /// A machine.
    Machine,
    /// A stringer.
    Stringer,
    /// A station.
    Station,
}

/// Id and name of every row, whatever kind of row it is.
macro_rules! names {
    ($rows:expr) => {
        $rows?.into_iter().map(|one| (one.id, one.name)).collect()
    };
}

/// Refuses a name that another of them has, in whatever letters.
///
/// `kept` is what shall have the name: its id, and the name it has so far. What keeps its name is not asked about, as
/// twins that are there already must stay correctable.
///
/// # Errors
/// [`DeskError::Conflict`] with the id of the one that has it.
pub fn refuse_twin(tx: &mut Tx<'_>, what: Named, name: &str, kept: Option<(&str, &str)>) -> DeskResult<()> {
    let key = search_key(name);
    if kept.is_some_and(|(_, former)| search_key(former) == key) {
        return Ok(());
    }
    let (db, tournament) = (&mut *tx.db, tx.caller.tournament());
    let names: Vec<(String, String)> = match what {
        Named::StringProduct => names!(stock::all(db, tournament)),
        Named::Frame => names!(models::all(db, tournament)),
        Named::Machine => names!(machinery::all(db, tournament)),
        Named::Stringer => names!(people::all(db, tournament)),
        Named::Station => names!(places::all(db, tournament)),
    };
    let taken = names
        .into_iter()
        .find(|(id, known)| kept.is_none_or(|(own, _)| own != id) && search_key(known) == key);
    let Some((id, _)) = taken else { return Ok(()) };
    let detail = format!("{name} is here already; give this one a name of its own.");
    Err(DeskError::conflict(Reason::AlreadyExists, detail)
        .fact("existing_id", id)
        .fact("pointer", "/name"))
}

/// Gives a stringer another name; strings, stations, frames and machines are corrected as a whole.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`], [`DeskError::Conflict`].
pub fn rename_stringer(tx: &mut Tx<'_>, id: &str, name: &str) -> DeskResult<()> {
    let name = text_member::name(name, "/name")?;
    let found = people::find(tx.db, tx.tournament(), id)?;
    let mut stringer = found.ok_or(DeskError::NotFound(Thing::Stringer))?;
    tx.caller.must_be(&keep_workshop::KEEPERS)?;
    refuse_twin(tx, Named::Stringer, &name, Some((id, &stringer.name)))?;
    stringer.name = name;
    people::save(tx.db, &mut stringer)?;
    tx.emit("stringer.renamed", id, &json!({}))
}
