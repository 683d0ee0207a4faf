//! Names of what Setup holds: given another, and not given twice.
use serde_json::json;

use crate::craft::search_key::search_key;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{Tx, keep_stock, keep_workshop, text_member};
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

/// Refuses a name that another of them has, in whatever letters.
///
/// # Errors
/// [`DeskError::Invalid`].
pub fn refuse_twin(tx: &mut Tx<'_>, what: Named, name: &str, but: Option<&str>) -> DeskResult<()> {
    let (db, tournament) = (&mut *tx.db, tx.caller.tournament());
    let names: Vec<(String, String)> = match what {
        Named::StringProduct => stock::all(db, tournament)?
            .into_iter()
            .map(|one| (one.id, one.name))
            .collect(),
        Named::Frame => models::all(db, tournament)?
            .into_iter()
            .map(|one| (one.id, one.name))
            .collect(),
        Named::Machine => machinery::all(db, tournament)?
            .into_iter()
            .map(|one| (one.id, one.name))
            .collect(),
        Named::Stringer => people::all(db, tournament)?
            .into_iter()
            .map(|one| (one.id, one.name))
            .collect(),
        Named::Station => places::all(db, tournament)?
            .into_iter()
            .map(|one| (one.id, one.name))
            .collect(),
    };
    let key = search_key(name);
    let taken = names
        .iter()
        .any(|(id, known)| Some(id.as_str()) != but && search_key(known) == key);
    if taken {
        let detail = format!("{name} is here already; give this one a name of its own.");
        return Err(DeskError::member("/name", "already_exists", detail));
    }
    Ok(())
}

/// Gives a string, a stringer or a station another name; frames and machines are corrected as a whole.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn rename(tx: &mut Tx<'_>, what: Named, id: &str, name: &str) -> DeskResult<()> {
    let name = text_member::name(name, "/name")?;
    let tournament = tx.tournament().to_owned();
    let kind = match what {
        Named::StringProduct => {
            tx.caller.must_be(&keep_stock::KEEPERS)?;
            let found = stock::find(tx.db, &tournament, id)?;
            let mut product = found.ok_or(DeskError::NotFound(Thing::StringProduct))?;
            refuse_twin(tx, what, &name, Some(id))?;
            product.search_key = search_key(&name);
            product.name = name;
            stock::save(tx.db, &mut product)?;
            "stock.renamed"
        }
        Named::Stringer => {
            tx.caller.must_be(&keep_workshop::KEEPERS)?;
            let found = people::find(tx.db, &tournament, id)?;
            let mut stringer = found.ok_or(DeskError::NotFound(Thing::Stringer))?;
            refuse_twin(tx, what, &name, Some(id))?;
            stringer.name = name;
            people::save(tx.db, &mut stringer)?;
            "stringer.renamed"
        }
        Named::Station => {
            tx.caller.must_be(&keep_workshop::KEEPERS)?;
            let found = places::find(tx.db, &tournament, id)?;
            let mut station = found.ok_or(DeskError::NotFound(Thing::Station))?;
            refuse_twin(tx, what, &name, Some(id))?;
            station.name = name;
            places::save(tx.db, &mut station)?;
            "station.renamed"
        }
        Named::Frame => return Err(DeskError::NotFound(Thing::Frame)),
        Named::Machine => return Err(DeskError::NotFound(Thing::Machine)),
    };
    tx.emit(kind, id, &json!({}))
}
