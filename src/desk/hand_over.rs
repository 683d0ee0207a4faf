//! A job on a machine goes on with another stringer or at another station.
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::job::JobAction;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::register_racket::move_racket;
use crate::desk::{Tx, legal, moves};
use crate::storage::workshop::{people, places};

/// Hands a job on a machine over. The attempt goes on; the log tells who had it before.
///
/// # Errors
/// [`DeskError::StateForbids`] off the machine, [`DeskError::Invalid`] for an unknown station or
/// stringer, [`DeskError::Conflict`] where the station has another job.
pub fn hand_over(tx: &mut Tx<'_>, job_id: &str, to_stringer: &str, to_station: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::HandOver)?;
    let unknown = |pointer, detail| DeskError::member(pointer, "unknown_reference", detail);
    let stringer = people::find(tx.db, tx.tournament(), to_stringer)?
        .ok_or_else(|| unknown("/to_stringer", "No such stringer here."))?;
    let station = places::find(tx.db, tx.tournament(), to_station)?
        .ok_or_else(|| unknown("/to_station", "No such station here."))?;
    let busy = legal::busy_with(tx.db, tx.tournament(), &station.id)?;
    if let Some(other) = busy.filter(|other| other.id != sheet.job.id) {
        let detail = format!(
            "{} has {} already; finish or move it first.",
            station.name, other.code
        );
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail).fact("job_id", other.id));
    }
    let from_station = sheet.job.station_id.replace(station.id.clone());
    let from_stringer = sheet.job.stringer_id.replace(stringer.id.clone());
    sheet.station_name = Some(station.name);
    sheet.stringer_name = Some(stringer.name);
    let more = json!({
        "from_station_id": from_station, "from_stringer_id": from_stringer,
        "to_station_id": station.id, "to_stringer_id": stringer.id, "machine_id": station.machine_id,
    });
    moves::note(tx, &mut sheet, &step, more)?;
    move_racket(tx, &mut sheet.racket, &Custody::Station(station.id))?;
    Ok(sheet)
}
