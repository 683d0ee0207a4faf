//! A machine is calibrated: its readings are judged, and it is cleared for today or not.
//!
//! A pass clears the machine until the business day ends at the venue. A fail
//! takes every clearance away. Readings that do not decide leave an earlier
//! clearance as it is: only a fail locks. An adjustment takes the correction
//! factor and any clearance away, because both were those of the machine before it.
use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::business_day::{business_day_end, day_end_time};
use crate::craft::calibration::{
    self, Calibration, CalibrationFault, CalibrationReading, USUAL_TOLERANCE_N, Verdict,
};
use crate::craft::ids::CalibrationId;
use crate::craft::machine::MachineFacts;
use crate::craft::roles::Role;
use crate::craft::tension::TensionUnit;
use crate::craft::units::Newtons;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{Insisted, TournamentSettings};
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::{Tx, ids, legal, text_member};
use crate::storage::workshop::machinery::{self, Machine};
use crate::storage::workshop::{self, Calibration as CalibrationRow};
use crate::storage::{Db, from_record, jobs, to_record, tournaments};

/// The most readings of one calibration.
pub const MOST_READINGS: usize = 200;

/// A calibration as it was done at the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrateMachine {
    /// What the machine was set to and what the calibrator showed, after warm-up.
    pub readings: Vec<CalibrationReading>,
    /// The unit of all of them.
    pub unit: TensionUnit,
    /// Whether the machine was adjusted first: "adjusted, then checked again" is one entry.
    pub adjusted: bool,
}

/// What is kept of a calibration.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CalibrationRecord {
    /// The readings.
    pub readings: Vec<CalibrationReading>,
    /// The unit of all numbers.
    pub unit: TensionUnit,
    /// Whether the machine was adjusted before these readings.
    pub adjusted: bool,
    /// How they were judged.
    pub judged: Calibration,
}

/// A calibration as stored, and the machine after it.
#[derive(Debug, Clone)]
pub struct Calibrated {
    /// The machine.
    pub machine: Machine,
    /// The calibration's row.
    pub row: CalibrationRow,
    /// What it holds.
    pub record: CalibrationRecord,
}

/// Judges the readings, stores them, and clears the machine or takes its clearance away.
///
/// Emits `machine.cleared`, `machine.failed` or, where more readings are needed,
/// `machine.rechecked`; before it `machine.adjusted` if it was adjusted.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`] for others than stringers and
/// coordinators, [`DeskError::Invalid`] for readings that cannot be judged.
pub fn calibrate_machine(
    tx: &mut Tx<'_>,
    machine_id: &str,
    asked: CalibrateMachine,
) -> DeskResult<Calibrated> {
    let mut machine = found(tx, machine_id)?;
    tx.caller.must_be(&[Role::Coordinator, Role::Stringer])?;
    let judged = judge(&asked)?;
    if asked.adjusted {
        undo_correction(&mut machine)?;
        tx.emit("machine.adjusted", machine_id, &json!({}))?;
    }
    let verdict = judged.verdict;
    let day_ends_at = day_end(tx)?;
    machine.verdict = Some(verdict.as_str().to_owned());
    machine.cleared_until = clearance(
        verdict,
        machine.cleared_until.map(|until| until.utc()),
        day_ends_at,
    )
    .map(Into::into);
    machinery::save(tx.db, &mut machine)?;
    let record = CalibrationRecord {
        readings: asked.readings,
        unit: asked.unit,
        adjusted: asked.adjusted,
        judged,
    };
    let row = CalibrationRow {
        id: ids::new::<CalibrationId>(),
        tournament_id: tx.tournament().to_owned(),
        machine_id: machine_id.to_owned(),
        account_id: tx.caller.account_id.clone(),
        verdict: verdict.as_str().to_owned(),
        record: to_record(&record)?,
        at: tx.at(),
    };
    workshop::insert_calibration(tx.db, &row)?;
    let kind = match verdict {
        Verdict::Inside => "machine.cleared",
        Verdict::Recheck => "machine.rechecked",
        Verdict::Outside => "machine.failed",
    };
    let cleared_until = machine.cleared_until.map(|until| until.utc());
    let data = json!({"calibration_id": row.id, "verdict": verdict, "cleared_until": cleared_until});
    tx.emit(kind, machine_id, &data)?;
    Ok(Calibrated { machine, row, record })
}

/// The machine was adjusted and is not checked yet: correction factor and clearance go.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn adjust_machine(tx: &mut Tx<'_>, machine_id: &str) -> DeskResult<Machine> {
    let mut machine = found(tx, machine_id)?;
    tx.caller.must_be(&[Role::Coordinator, Role::Stringer])?;
    undo_correction(&mut machine)?;
    machinery::save(tx.db, &mut machine)?;
    tx.emit("machine.adjusted", machine_id, &json!({}))?;
    Ok(machine)
}

/// A coordinator's named word that a machine without today's pass may do this one job;
/// the machine is checked after it. Kept with the job, and in its story.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`] for others than coordinators,
/// [`DeskError::Invalid`] without a reason, [`DeskError::StateForbids`] once the job was started.
pub fn allow_job(tx: &mut Tx<'_>, machine_id: &str, job_id: &str, reason: &str) -> DeskResult<()> {
    found(tx, machine_id)?;
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id).map_err(|error| match error {
        DeskError::NotFound(Thing::Job) => {
            DeskError::member("/job_id", "unknown_reference", "No such job in this tournament.")
        }
        other => other,
    })?;
    tx.caller.must_be(&[Role::Coordinator])?;
    let reason = text_member::name(reason, "/reason")?;
    if !["waiting", "assigned"].contains(&sheet.job.state.as_str()) {
        return Err(DeskError::StateForbids {
            detail: "The word is for a job that waits or has its place at a station.".to_owned(),
            allowed: legal::allowed(tx.db, &sheet, tx.caller.role, tx.now)?,
        });
    }
    sheet.record.allowed_machine_id = Some(machine_id.to_owned());
    sheet.record.insisted.push(Insisted {
        code: "machine_not_cleared".to_owned(),
        reason: reason.clone(),
        account_id: tx.caller.account_id.clone(),
    });
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    let data = json!({"machine_id": machine_id, "reason": reason});
    tx.emit("job.machine_allowed", job_id, &data)
}

/// A machine's calibrations, newest first, at most `limit`.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::Storage`].
pub fn calibrations(
    db: &mut Db,
    tournament: &str,
    machine_id: &str,
    limit: i64,
) -> DeskResult<Vec<(CalibrationRow, CalibrationRecord)>> {
    if machinery::find(db, tournament, machine_id)?.is_none() {
        return Err(DeskError::NotFound(Thing::Machine));
    }
    let rows = workshop::calibrations_of(db, tournament, machine_id, limit)?;
    rows.into_iter()
        .map(|row| {
            let record = from_record(&row.record)?;
            Ok((row, record))
        })
        .collect()
}

/// Whether this tournament lets a machine start a job only with today's pass.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::Storage`].
pub fn are_required(db: &mut Db, tournament: &str) -> DeskResult<bool> {
    let row = tournaments::find(db, tournament)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let settings: TournamentSettings = from_record(&row.record)?;
    Ok(settings.require_cleared_machines)
}

/// What stands in the way of the machine at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// It failed its last check.
    Failed,
    /// It was not checked today, and must have been.
    NotCleared,
}

/// What stands in the way of a machine now.
///
/// # Errors
/// As [`are_required`].
pub fn trouble(db: &mut Db, machine: &Machine, now: DateTime<Utc>) -> DeskResult<Option<Trouble>> {
    let cleared = machine.cleared_until.is_some_and(|until| until.utc() > now);
    let failed = machine.verdict.as_deref() == Some(Verdict::Outside.as_str());
    Ok(if failed {
        Some(Trouble::Failed)
    } else if !cleared && are_required(db, &machine.tournament_id)? {
        Some(Trouble::NotCleared)
    } else {
        None
    })
}

fn found(tx: &mut Tx<'_>, machine_id: &str) -> DeskResult<Machine> {
    machinery::find(tx.db, tx.tournament(), machine_id)?.ok_or(DeskError::NotFound(Thing::Machine))
}

fn undo_correction(machine: &mut Machine) -> DeskResult<()> {
    let mut facts: MachineFacts = from_record(&machine.record)?;
    facts.correction_factor = None;
    machine.record = to_record(&facts)?;
    machine.cleared_until = None;
    machine.verdict = None;
    Ok(())
}

/// The judgement, or which member of the request cannot be judged.
fn judge(asked: &CalibrateMachine) -> DeskResult<Calibration> {
    if asked.readings.len() > MOST_READINGS {
        let detail = format!("Give at most {MOST_READINGS} readings.");
        return Err(DeskError::member("/readings", "out_of_range", detail));
    }
    // a constant above 0, so the fallback is never taken
    let tolerance = Newtons::new(USUAL_TOLERANCE_N).unwrap_or(Newtons::ZERO);
    calibration::judge(&asked.readings, asked.unit, tolerance).map_err(|fault| {
        let pointer = match fault {
            CalibrationFault::TooFew { .. } | CalibrationFault::Tolerance => "/readings".to_owned(),
            CalibrationFault::OutOfRange { index } => format!("/readings/{index}"),
        };
        DeskError::member(pointer, "out_of_range", format!("{fault}."))
    })
}

/// When the business day ends at the venue.
fn day_end(tx: &mut Tx<'_>) -> DeskResult<DateTime<Utc>> {
    let tournament =
        tournaments::find(tx.db, tx.tournament())?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let settings: TournamentSettings = from_record(&tournament.record)?;
    let ends = day_end_time(&settings.business_day_ends);
    let zone = tournament.time_zone.parse::<Tz>().ok();
    zone.zip(ends)
        .and_then(|(zone, ends)| business_day_end(tx.now, zone, ends))
        .ok_or_else(|| {
            DeskError::rule(
                Reason::RuleRefused,
                "The end of the business day is not known: set the tournament's time zone and business_day_ends.",
            )
        })
}

/// Until when the machine is cleared after this verdict.
fn clearance(
    verdict: Verdict,
    before: Option<DateTime<Utc>>,
    day_ends_at: DateTime<Utc>,
) -> Option<DateTime<Utc>> {
    match verdict {
        Verdict::Inside => Some(day_ends_at),
        Verdict::Recheck => before,
        Verdict::Outside => None,
    }
}

#[cfg(test)]
mod tests;
