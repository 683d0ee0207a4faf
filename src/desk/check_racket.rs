//! After stringing: off the machine, three points looked at, perhaps a reading, then the shelf or again.
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::custody::Custody;
use crate::craft::ids::{CheckId, ReadingId};
use crate::craft::job::{JobAction, JobPhase, JobState};
use crate::craft::roles::Role;
use crate::desk::bench_stops::end_attempt;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::register_racket::move_racket;
use crate::desk::{Tx, ids, legal, moves, tap_phase, text_member};
use crate::storage::to_record;
use crate::storage::work::{self, Check, Reading};

/// What a person looked at. Each is good or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Points {
    /// Over and under alternate everywhere.
    pub weave: bool,
    /// Knots sit, tails are trimmed.
    pub tie_offs: bool,
    /// Grommets and frame are whole.
    pub grommets: bool,
}

/// A stringbed reading: only ever compared with this racket's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingTaken {
    /// The number on the instrument.
    pub value: f64,
    /// The instrument's own unit, as it shows it.
    pub unit: String,
    /// Which instrument.
    pub instrument: String,
    /// Minutes since the racket came off the machine; readings of like age are compared.
    pub minutes_after: Option<u32>,
}

/// Off the machine. A missing last tap is filled, because "Strung" is one touch at the bench.
///
/// # Errors
/// [`DeskError::StateForbids`].
pub fn finish_job(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Finish)?;
    end_attempt(tx, &sheet, "strung")?;
    moves::settle(tx, &mut sheet, JobState::Checking, &step, json!({}))?;
    Ok(sheet)
}

/// The one-touch end at the bench: the last phase, then off the machine.
///
/// # Errors
/// [`DeskError::StateForbids`].
pub fn strung(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.job.phase.as_deref() != Some(JobPhase::TiedOff.as_str()) {
        tap_phase::tap_phase(tx, job_id, JobPhase::TiedOff)?;
    }
    finish_job(tx, job_id)
}

/// Records what was looked at; passing or failing is a step of its own.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::StateForbids`].
pub fn record_check(tx: &mut Tx<'_>, job_id: &str, points: Points) -> DeskResult<Check> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    tx.caller
        .must_be(&[Role::Stringer, Role::Desk, Role::Coordinator])?;
    if sheet.job.state != JobState::Checking.as_str() {
        legal::require(tx, &sheet, None, JobAction::Pass)?;
    }
    let check = Check {
        id: ids::new::<CheckId>(),
        tournament_id: tx.tournament().to_owned(),
        job_id: job_id.to_owned(),
        attempt: sheet.job.attempt,
        account_id: tx.caller.account_id.clone(),
        passed: Some(points.weave && points.tie_offs && points.grommets),
        record: to_record(&points)?,
        at: tx.at(),
    };
    work::insert_check(tx.db, &check)?;
    tx.emit("job.checked", job_id, &json!({"good": check.passed}))?;
    Ok(check)
}

/// Stores a reading of the job's racket.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn take_reading(tx: &mut Tx<'_>, job_id: &str, reading: &ReadingTaken) -> DeskResult<Reading> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    tx.caller
        .must_be(&[Role::Stringer, Role::Desk, Role::Coordinator])?;
    if !(reading.value.is_finite() && reading.value > 0.0) {
        return Err(DeskError::member(
            "/value",
            "out_of_range",
            "Give the number on the instrument, above 0.",
        ));
    }
    text_member::name(&reading.instrument, "/instrument")?;
    text_member::name(&reading.unit, "/unit")?;
    let row = Reading {
        id: ids::new::<ReadingId>(),
        tournament_id: tx.tournament().to_owned(),
        racket_id: sheet.racket.id.clone(),
        job_id: job_id.to_owned(),
        account_id: tx.caller.account_id.clone(),
        record: to_record(reading)?,
        at: tx.at(),
    };
    work::insert_reading(tx.db, &row)?;
    tx.emit(
        "reading.taken",
        &row.id,
        &json!({"job_id": job_id, "racket_id": sheet.racket.id}),
    )?;
    Ok(row)
}

/// The check was good: the racket goes to the shelf.
///
/// # Errors
/// [`DeskError::StateForbids`] without a good check or while held.
pub fn pass_job(tx: &mut Tx<'_>, job_id: &str, slot: Option<&str>) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Pass)?;
    let place = match slot.map(str::trim).filter(|slot| !slot.is_empty()) {
        Some(slot) => format!("shelf:{slot}")
            .parse::<Custody>()
            .map_err(|fault| DeskError::member("/slot", "out_of_range", fault.to_string()))?,
        None => Custody::Desk,
    };
    sheet.record.slot = slot.map(str::to_owned);
    moves::settle(tx, &mut sheet, JobState::Ready, &step, json!({"slot": slot}))?;
    move_racket(tx, &mut sheet.racket, &place)?;
    Ok(sheet)
}

/// The check was not good: the job waits again, with its ready-by kept.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`] without a reason.
pub fn fail_job(tx: &mut Tx<'_>, job_id: &str, reason: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Fail)?;
    let reason = text_member::name(reason, "/reason")?;
    sheet.job.attempt += 1;
    sheet.job.station_id = None;
    sheet.job.stringer_id = None;
    sheet.job.phase = None;
    sheet.job.phase_at = None;
    moves::settle(
        tx,
        &mut sheet,
        JobState::Waiting,
        &step,
        json!({"reason": reason}),
    )?;
    move_racket(tx, &mut sheet.racket, &Custody::Desk)?;
    Ok(sheet)
}
