//! Setup: what was entered before, corrected.
use actix_web::web;

use super::filled::Filled;
use super::refused::{self, Failure};
use super::setup::{Refused, field_of};
use super::visit::Visitor;
use super::{Shown, setup, setup_reads};
use crate::craft::machine::MachineFacts;
use crate::desk::correct_machine::correct_machine;
use crate::desk::correct_station::correct_station;
use crate::desk::correct_string::correct_string;
use crate::desk::reads::{from_record, machines, strings};
use crate::desk::records::StringRecord;
use crate::desk::rename::rename_stringer;
use crate::desk::{DeskError, DeskResult, Thing, Tx};

/// What one of its fields says; what the form has no field for stays.
pub(super) async fn correct(
    visitor: Visitor,
    path: web::Path<(String, String)>,
    form: web::Form<Filled>,
) -> Shown {
    let (kind, id) = path.into_inner();
    let keep = match kind.as_str() {
        "machines" => machine,
        "strings" => string,
        "stringers" => stringer,
        "stations" => station,
        _ => return Err(Failure::no_such_page()),
    };
    let (filled, about) = (form.clone(), id.clone());
    let route = format!("/setup/{kind}/{id}");
    let done = visitor.once(&route, &form, move |tx| {
        // what no page filled in is stale
        let version = filled.get("version").parse().unwrap_or(0);
        keep(tx, &about, version, &filled)?;
        Ok(String::new())
    });
    match done.await {
        Ok(_) => Ok(visitor.go_to(&format!("/setup#task-{}", kind.trim_end_matches('s')))),
        Err(error) => again(&visitor, &id, &form, error).await,
    }
}

/// Setup with what was typed into a correction, and what is wrong with it.
///
/// # Errors
/// A refusal that no form can mend.
pub(super) async fn again(visitor: &Visitor, id: &str, form: &Filled, error: DeskError) -> Shown {
    let may_insist = refused::may_insist(&error).is_some();
    let (status, problem) = refused::on_page(error, |pointer| field_of(id, pointer))?;
    let refused = Refused {
        of: id,
        form,
        problem,
        may_insist,
    };
    let page = setup::screen(visitor, Some(refused)).await?;
    visitor.page(status, &page)
}

fn said<'a>(form: &'a Filled, id: &str, field: &str) -> &'a str {
    form.get(&format!("{id}_{field}"))
}

fn machine(tx: &mut Tx<'_>, id: &str, version: i64, form: &Filled) -> DeskResult<()> {
    let found = machines::find(tx.db, tx.caller.tournament(), id)?;
    let before: MachineFacts = from_record(&found.ok_or(DeskError::NotFound(Thing::Machine))?.record)?;
    let read = setup_reads::machine(form, id);
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
    let insist = form.some(&format!("{id}_override"));
    correct_machine(tx, id, version, said(form, id, "name"), &facts, insist.as_deref()).map(drop)
}

fn string(tx: &mut Tx<'_>, id: &str, version: i64, form: &Filled) -> DeskResult<()> {
    let found = strings::find(tx.db, tx.caller.tournament(), id)?;
    let before: StringRecord = from_record(&found.ok_or(DeskError::NotFound(Thing::StringProduct))?.record)?;
    let record = StringRecord {
        gauge_mm: setup_reads::gauge(form, id),
        ..before
    };
    correct_string(tx, id, version, said(form, id, "name"), &record).map(drop)
}

fn station(tx: &mut Tx<'_>, id: &str, version: i64, form: &Filled) -> DeskResult<()> {
    let (name, machine) = (said(form, id, "name"), said(form, id, "machine_id"));
    correct_station(tx, id, version, name, machine).map(drop)
}

fn stringer(tx: &mut Tx<'_>, id: &str, _version: i64, form: &Filled) -> DeskResult<()> {
    rename_stringer(tx, id, said(form, id, "name"))
}
