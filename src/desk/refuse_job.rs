//! A stringer refuses the job that their station is offered or given; the next one is offered.
use serde_json::json;

use crate::craft::job::{JobAction, JobState};
use crate::craft::roles::Role;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::BenchRefusal;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{Tx, legal, steer_job, text_member};
use crate::storage::workshop::places;
use crate::storage::{jobs, to_record};

/// Who may.
pub const REFUSERS: [Role; 2] = [Role::Stringer, Role::Coordinator];

/// Refuses a job at a station, for whoever works there now: the station is not offered it again
/// until a coordinator moves it there. A job that has been started is not taken away by this.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`] without a reason or with
/// another station's job, [`DeskError::StateForbids`] for a job that neither waits nor is assigned.
pub fn refuse_job(tx: &mut Tx<'_>, station_id: &str, job_id: &str, reason: &str) -> DeskResult<JobSheet> {
    let station =
        places::find(tx.db, tx.tournament(), station_id)?.ok_or(DeskError::NotFound(Thing::Station))?;
    tx.caller.must_be(&REFUSERS)?;
    let known = jobs::find(tx.db, tx.tournament(), job_id)?;
    let Some(job) = known else {
        return Err(DeskError::member("/job_id", "unknown_reference", "No such job."));
    };
    let reason = text_member::name(reason, "/reason")?;
    let assigned = job.state == JobState::Assigned.as_str();
    if assigned && job.station_id.as_deref() != Some(station_id) {
        let detail = "The job is at another station; refuse it there.";
        return Err(DeskError::member("/job_id", "not_at_station", detail));
    }
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.job.state != JobState::Waiting.as_str() {
        legal::require(tx, &sheet, None, JobAction::Unassign)?;
        sheet = steer_job::unassign_job(tx, job_id, &reason)?;
    }
    sheet
        .record
        .refusals
        .retain(|one| one.station_id != station_id || one.stringer_id != station.stringer_id);
    sheet.record.refusals.push(BenchRefusal {
        station_id: station.id.clone(),
        stringer_id: station.stringer_id.clone(),
        reason: reason.clone(),
        at: tx.now,
    });
    if sheet.job.pinned_station_id.as_deref() == Some(station_id) {
        sheet.job.pinned_station_id = None;
    }
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    tx.emit(
        "job.refused",
        job_id,
        &json!({"reason": reason, "at_station_id": station_id, "stringer_id": station.stringer_id,
                "state": sheet.job.state}),
    )?;
    Ok(sheet)
}
