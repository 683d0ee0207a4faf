//! A spec names strings of the tournament's list; here their facts are filled in.
use crate::craft::spec::{Spec, StringFacts};
use crate::desk::records::StringRecord;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::storage::{Db, from_record, stock};

/// Fills name, gauge and material of every string that is named by its id.
/// A string without an id is the player's own and keeps what was said of it.
///
/// # Errors
/// [`DeskError::Invalid`] for an id that the tournament does not have, or a
/// string that is neither named by id nor by name.
pub fn from_stock_list(db: &mut Db, tournament: &str, spec: &mut Spec, pointer: &str) -> DeskResult<()> {
    for (member, facts) in [
        ("mains", &mut spec.mains.string),
        ("crosses", &mut spec.crosses.string),
    ] {
        fill(db, tournament, facts, &format!("{pointer}/spec/{member}/string"))?;
    }
    Ok(())
}

fn fill(db: &mut Db, tournament: &str, facts: &mut StringFacts, pointer: &str) -> DeskResult<()> {
    let Some(id) = facts.string_id.clone() else {
        if facts.name.as_ref().is_some_and(|name| !name.trim().is_empty()) {
            return Ok(());
        }
        let detail = "Say which string: `string_id` of the list, or `name` for the player's own.";
        return Err(DeskError::member(pointer, "missing_member", detail));
    };
    let product = stock::find(db, tournament, id.as_str())?.ok_or_else(|| {
        DeskError::member(
            format!("{pointer}/string_id"),
            "unknown_reference",
            "No such string in this tournament.",
        )
    })?;
    let record: StringRecord = from_record(&product.record)?;
    facts.name = Some(product.name);
    facts.gauge_mm = record.gauge_mm;
    facts.material = record.material;
    Ok(())
}
