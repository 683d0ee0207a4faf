//! Correcting what is known of a string; jobs that are not begun are planned from it anew.
use serde_json::json;

use crate::craft::search_key::search_key;
use crate::craft::spec::Spec;
use crate::desk::job_sheet::JobSheet;
use crate::desk::keep_stock::{KEEPERS, sound_gauge};
use crate::desk::records::StringRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, fill_strings, frame_in_use, text_member};
use crate::storage::stock::{self, StringProduct};
use crate::storage::{jobs, to_record};

/// Replaces what is known of a string.
///
/// What is on a machine or strung stays on record with the string as it was known when it was begun.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`],
/// [`DeskError::Conflict`] for a name that another string has.
pub fn correct_string(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    name: &str,
    record: &StringRecord,
) -> DeskResult<StringProduct> {
    let mut product =
        stock::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::StringProduct))?;
    tx.caller.must_be(&KEEPERS)?;
    let name = text_member::name(name, "/name")?;
    sound_gauge(record)?;
    if product.version != version {
        return Err(DeskError::Stale {
            current: product.version,
        });
    }
    refuse_twin(tx, Named::StringProduct, &name, Some((id, &product.name)))?;
    product.search_key = search_key(&name);
    product.name = name;
    product.record = to_record(record)?;
    stock::save(tx.db, &mut product)?;
    tx.emit("stock.corrected", id, &json!({"version": product.version}))?;
    follow(tx, id)?;
    Ok(product)
}

/// Every job that is not begun and asks for this string takes it as it is known now.
fn follow(tx: &mut Tx<'_>, id: &str) -> DeskResult<()> {
    let tournament = tx.tournament().to_owned();
    let to_come = jobs::in_states(tx.db, &tournament, &frame_in_use::not_begun())?;
    for mut sheet in JobSheet::for_jobs(tx.db, &tournament, to_come)? {
        if !asks_for(&sheet.spec, id) {
            continue;
        }
        fill_strings::from_stock_list(tx.db, &tournament, &mut sheet.spec, "")?;
        sheet.job.spec = to_record(&sheet.spec)?;
        frame_in_use::plan_anew(tx, sheet)?;
    }
    Ok(())
}

fn asks_for(spec: &Spec, id: &str) -> bool {
    let strings = [&spec.mains.string, &spec.crosses.string];
    strings
        .iter()
        .any(|string| string.string_id.as_ref().is_some_and(|own| own.as_str() == id))
}
