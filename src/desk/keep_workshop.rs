//! Machines, stringers and the stations they make together.
use serde_json::json;

use crate::craft::ids::{MachineId, StationId, StringerId};
use crate::craft::machine::MachineFacts;
use crate::craft::roles::Role;
use crate::desk::correct_machine::sound_correction;
use crate::desk::records::StringerRecord;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, doubtful, ids, text_member};
use crate::storage::to_record;
use crate::storage::workshop::machinery::{self, Machine};
use crate::storage::workshop::people::{self, Stringer};
use crate::storage::workshop::places::{self, Station};

/// Who may.
pub const KEEPERS: [Role; 1] = [Role::Coordinator];

/// Adds a machine; with a reason also one that is doubtful.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`], [`DeskError::Conflict`] for a name that is taken,
/// [`DeskError::Rule`] for what is doubtful.
pub fn add_machine(
    tx: &mut Tx<'_>,
    name: &str,
    facts: &MachineFacts,
    insist: Option<&str>,
) -> DeskResult<Machine> {
    tx.caller.must_be(&KEEPERS)?;
    sound_correction(facts)?;
    doubtful::machine(facts, None, insist)?;
    refuse_twin(tx, Named::Machine, name, None)?;
    let machine = Machine {
        id: ids::new::<MachineId>(),
        tournament_id: tx.tournament().to_owned(),
        name: text_member::name(name, "/name")?,
        record: to_record(facts)?,
        verdict: None,
        cleared_until: None,
        version: 1,
        created_at: tx.at(),
    };
    machinery::insert(tx.db, &machine)?;
    tx.emit("machine.added", &machine.id, &doubtful::insisted(insist))?;
    Ok(machine)
}

/// Adds a stringer, off shift.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`], [`DeskError::Conflict`] for a name that is taken.
pub fn add_stringer(tx: &mut Tx<'_>, name: &str, record: &StringerRecord) -> DeskResult<Stringer> {
    tx.caller.must_be(&KEEPERS)?;
    if !(0.3..=3.0).contains(&record.pace_factor) {
        let detail = "Give the time needed over the ordinary time, 0.3 to 3.";
        return Err(DeskError::member("/pace_factor", "out_of_range", detail));
    }
    refuse_twin(tx, Named::Stringer, name, None)?;
    let stringer = Stringer {
        id: ids::new::<StringerId>(),
        tournament_id: tx.tournament().to_owned(),
        name: text_member::name(name, "/name")?,
        on_shift: false,
        record: to_record(record)?,
        version: 1,
        created_at: tx.at(),
    };
    people::insert(tx.db, &stringer)?;
    tx.emit("stringer.added", &stringer.id, &json!({}))?;
    Ok(stringer)
}

/// Adds a station on a machine, closed and without a stringer.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`], [`DeskError::Conflict`] for a name that is taken.
pub fn add_station(tx: &mut Tx<'_>, name: &str, machine_id: &str) -> DeskResult<Station> {
    tx.caller.must_be(&KEEPERS)?;
    known_machine(tx, machine_id)?;
    refuse_twin(tx, Named::Station, name, None)?;
    let station = Station {
        id: ids::new::<StationId>(),
        tournament_id: tx.tournament().to_owned(),
        name: text_member::name(name, "/name")?,
        machine_id: machine_id.to_owned(),
        stringer_id: None,
        open: false,
        version: 1,
        created_at: tx.at(),
    };
    places::insert(tx.db, &station)?;
    tx.emit("station.added", &station.id, &json!({"machine_id": machine_id}))?;
    Ok(station)
}

/// Refuses a machine that is none of this tournament's.
pub(super) fn known_machine(tx: &mut Tx<'_>, machine_id: &str) -> DeskResult<()> {
    if machinery::find(tx.db, tx.tournament(), machine_id)?.is_some() {
        return Ok(());
    }
    let detail = "No such machine; add it first.";
    Err(DeskError::member("/machine_id", "unknown_reference", detail))
}
