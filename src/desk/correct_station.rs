//! Correcting a station: its name, and the machine that stands there.
use serde_json::json;

use crate::desk::keep_workshop::{KEEPERS, known_machine};
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, legal, text_member};
use crate::storage::workshop::places::{self, Station};

/// Gives a station another name or machine. While a job is there its plan is that of the machine, so this stays.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`],
/// [`DeskError::Conflict`] for a name that another station has, and for another machine under a job.
pub fn correct_station(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    name: &str,
    machine_id: &str,
) -> DeskResult<Station> {
    let mut station = places::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Station))?;
    tx.caller.must_be(&KEEPERS)?;
    let name = text_member::name(name, "/name")?;
    known_machine(tx, machine_id)?;
    if station.version != version {
        return Err(DeskError::Stale {
            current: station.version,
        });
    }
    refuse_twin(tx, Named::Station, &name, Some((id, &station.name)))?;
    if station.machine_id != machine_id
        && let Some(job) = legal::busy_with(tx.db, &station.tournament_id, id)?
    {
        let detail = format!(
            "{} is at this station and planned for its machine; finish it or move it first.",
            job.code
        );
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail).fact("pointer", "/machine_id"));
    }
    station.name = name;
    machine_id.clone_into(&mut station.machine_id);
    places::save(tx.db, &mut station)?;
    tx.emit("station.corrected", id, &json!({"machine_id": machine_id}))?;
    Ok(station)
}
