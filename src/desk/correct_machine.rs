//! Correcting what is known of a machine.
use serde_json::json;

use crate::craft::machine::MachineFacts;
use crate::desk::keep_workshop::KEEPERS;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, doubtful, text_member};
use crate::storage::workshop::machinery::{self, Machine};
use crate::storage::{from_record, to_record};

/// Correction factors beyond these are no correction but a repair: the desk's own bounds.
pub const CORRECTION_BOUNDS: (f64, f64) = (0.8, 1.2);

/// Refuses a correction factor, measured pull over shown pull, outside [`CORRECTION_BOUNDS`].
///
/// # Errors
/// [`DeskError::Invalid`].
pub fn sound_correction(facts: &MachineFacts) -> DeskResult<()> {
    let (least, most) = CORRECTION_BOUNDS;
    match facts.correction_factor {
        Some(factor) if !(least..=most).contains(&factor) => {
            let detail = format!(
                "Give measured pull over shown pull, {least} to {most}; a machine further off needs an adjustment."
            );
            Err(DeskError::member("/correction_factor", "out_of_range", detail))
        }
        _ => Ok(()),
    }
}

/// Replaces the facts of a machine; its last verdict stays as it was.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`],
/// [`DeskError::Conflict`] for a name that is taken, [`DeskError::Rule`] for what is doubtful.
pub fn correct_machine(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    name: &str,
    facts: &MachineFacts,
    insist: Option<&str>,
) -> DeskResult<Machine> {
    let mut machine =
        machinery::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Machine))?;
    tx.caller.must_be(&KEEPERS)?;
    sound_correction(facts)?;
    if machine.version != version {
        return Err(DeskError::Stale {
            current: machine.version,
        });
    }
    doubtful::machine(facts, Some(&from_record(&machine.record)?), insist)?;
    let name = text_member::name(name, "/name")?;
    refuse_twin(tx, Named::Machine, &name, Some((id, &machine.name)))?;
    machine.name = name;
    machine.record = to_record(facts)?;
    machinery::save(tx.db, &mut machine)?;
    let mut data = doubtful::insisted(insist);
    data["version"] = json!(machine.version);
    tx.emit("machine.corrected", id, &data)?;
    Ok(machine)
}
