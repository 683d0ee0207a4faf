//! Setup: what was entered before, corrected.
use actix_web::web;

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, setup, setup_reads};
use crate::craft::machine::MachineFacts;
use crate::desk::correct_machine::correct_machine;
use crate::desk::reads::{from_record, machines};
use crate::desk::rename::{Named, refuse_twin, rename};
use crate::desk::{DeskError, DeskResult, Thing, Tx};

/// A name, or all of a machine; then Setup again.
pub(super) async fn correct(
    visitor: Visitor,
    path: web::Path<(String, String)>,
    form: web::Form<Filled>,
) -> Shown {
    let (kind, id) = path.into_inner();
    let (filled, about) = (form.clone(), id.clone());
    let named = match kind.as_str() {
        "machines" => Named::Machine,
        "strings" => Named::StringProduct,
        "stringers" => Named::Stringer,
        "stations" => Named::Station,
        _ => return Err(Failure::no_such_page()),
    };
    let route = format!("/setup/{kind}/{id}");
    let done = visitor.once(&route, &form, move |tx| {
        let name = filled.get(&format!("{about}_name"));
        if named == Named::Machine {
            machine(tx, &about, name, &filled)?;
        } else {
            rename(tx, named, &about, name)?;
        }
        Ok(String::new())
    });
    match done.await {
        Ok(_) => Ok(visitor.go_to(&format!("/setup#task-{}", kind.trim_end_matches('s')))),
        Err(error) => {
            let field = |pointer: &str| format!("{id}_{}", pointer.trim_start_matches('/'));
            let (status, problem) = refused::on_page(error, field)?;
            let page = setup::screen(&visitor, "", &form, Some(problem)).await?;
            visitor.page(status, &page)
        }
    }
}

/// What the form has no field for stays.
fn machine(tx: &mut Tx<'_>, id: &str, name: &str, form: &Filled) -> DeskResult<()> {
    let found = machines::find(tx.db, tx.caller.tournament(), id)?;
    let before: MachineFacts = from_record(&found.ok_or(DeskError::NotFound(Thing::Machine))?.record)?;
    refuse_twin(tx, Named::Machine, name, Some(id))?;
    let read = setup_reads::machine(form, id)?;
    let facts = MachineFacts {
        name: read.name,
        clamps: read.clamps,
        pull: read.pull,
        units: read
            .units
            .into_iter()
            .chain(before.units.iter().skip(1).cloned())
            .collect(),
        ..before
    };
    let version = form.get("version").parse().unwrap_or(0);
    correct_machine(tx, id, version, name, &facts).map(drop)
}
