//! Somebody carries a racket to another place in the house.
use crate::craft::custody::Custody;
use crate::craft::job::JobState;
use crate::craft::roles::Role;
use crate::desk::Tx;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::register_racket::move_racket;
use crate::storage::rackets::{self, Racket};
use crate::storage::workshop::places;
use crate::storage::{from_record, jobs, to_record};

/// Who may.
pub const CARRIERS: [Role; 4] = [Role::Desk, Role::Stringer, Role::Coordinator, Role::Runner];

/// Writes down where a racket is now: custody is a fact of the racket, apart from its job.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`]; [`DeskError::Invalid`] for a place that is
/// none, an unknown station, or the owner (rackets go out by a pickup); [`DeskError::Conflict`] for
/// a racket that is not here or lies on a machine.
pub fn carry_racket(tx: &mut Tx<'_>, racket_id: &str, place: &str) -> DeskResult<Racket> {
    let mut racket =
        rackets::find(tx.db, tx.tournament(), racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    tx.caller.must_be(&CARRIERS)?;
    let to: Custody = place.parse().map_err(|fault: crate::craft::custody::NotAPlace| {
        DeskError::member("/place", "invalid_value", format!("{fault}."))
    })?;
    match &to {
        Custody::Owner => {
            let detail = "Rackets go to their owners by POST /v1/pickups, or by give_back or return.";
            return Err(DeskError::member("/place", "invalid_value", detail));
        }
        Custody::Station(id) if places::find(tx.db, tx.tournament(), id)?.is_none() => {
            return Err(DeskError::member(
                "/place",
                "unknown_reference",
                "No such station here.",
            ));
        }
        _ => {}
    }
    if racket.custody == Custody::Owner.to_string() {
        let detail = "The racket is with its owner; take it in by POST /v1/jobs.";
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
    }
    let job = jobs::latest_of_racket(tx.db, racket_id, 1)?.pop();
    if let Some(mut job) = job {
        if job.state == JobState::OnMachine.as_str() {
            let detail = "The racket lies on a machine; finish it there, or hand it over.";
            return Err(DeskError::conflict(Reason::ActionNotAllowed, detail).fact("job_id", job.id));
        }
        if let Custody::Shelf(slot) = &to {
            let mut record: crate::desk::records::JobRecord = from_record(&job.record)?;
            record.slot = Some(slot.clone());
            job.record = to_record(&record)?;
            jobs::save(tx.db, &mut job)?;
        }
    }
    move_racket(tx, &mut racket, &to)?;
    Ok(racket)
}
