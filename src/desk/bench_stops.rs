//! Stops at the bench: a pause, a snapped string, an attempt given up, a call for help.
use serde_json::json;

use crate::craft::job::{JobAction, JobPhase, JobState};
use crate::desk::bench_sheet::HELP_CALLED;
use crate::desk::hand_in::open_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::AttemptRecord;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::{Tx, book_string, legal, moves, text_member};
use crate::storage::{from_record, jobs, to_record, work};

/// A main or a cross that is out of a bed, when nobody said how much string was lost, mm.
///
/// Common practice, no source: a two-piece half of a 12 m set.
const HALF_A_SET_MM: u32 = 6_000;

/// Stops work on the machine for a while.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`] without a reason.
pub fn pause_job(tx: &mut Tx<'_>, job_id: &str, reason: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Pause)?;
    sheet.job.paused = true;
    sheet.record.pause_reason = Some(text_member::name(reason, "/reason")?);
    moves::note(tx, &mut sheet, &step, json!({"reason": reason}))?;
    Ok(sheet)
}

/// Goes on. Nothing already clamped can be checked again; the plan says what to look at.
///
/// # Errors
/// [`DeskError::StateForbids`].
pub fn resume_job(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::Resume)?;
    sheet.job.paused = false;
    sheet.record.pause_reason = None;
    moves::note(tx, &mut sheet, &step, json!({}))?;
    Ok(sheet)
}

/// How an attempt is given up.
#[derive(Debug, Clone)]
pub struct GiveUp {
    /// Where the string snapped, or why the attempt is given up.
    pub why: String,
    /// How much string is lost, mm; from plan and phase where nobody measured it.
    pub wasted_mm: Option<u32>,
    /// Go on at this station at once, or put the job back into the queue.
    pub stay: bool,
}

/// A string snapped: the attempt is over and the next one begins. Not the player's cost.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`].
pub fn snapped(tx: &mut Tx<'_>, job_id: &str, give_up: &GiveUp) -> DeskResult<JobSheet> {
    begin_again(tx, job_id, JobAction::Snapped, give_up, "/where")
}

/// The attempt is given up; the next one begins.
///
/// # Errors
/// [`DeskError::StateForbids`], [`DeskError::Invalid`].
pub fn restart(tx: &mut Tx<'_>, job_id: &str, give_up: &GiveUp) -> DeskResult<JobSheet> {
    begin_again(tx, job_id, JobAction::Restart, give_up, "/reason")
}

fn begin_again(
    tx: &mut Tx<'_>,
    job_id: &str,
    action: JobAction,
    give_up: &GiveUp,
    pointer: &str,
) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, action)?;
    let why = text_member::name(&give_up.why, pointer)?;
    let wasted_mm = give_up.wasted_mm.unwrap_or_else(|| likely_waste_mm(&sheet));
    let over = open_attempt(tx, &sheet)?.map(|attempt| from_record::<AttemptRecord>(&attempt.record));
    let over = over.transpose()?.unwrap_or_default();
    end_attempt(tx, &sheet, action.as_str())?;
    sheet.job.attempt += 1;
    sheet.job.phase = None;
    sheet.job.phase_at = None;
    sheet.job.paused = false;
    let to = if give_up.stay {
        JobState::OnMachine
    } else {
        JobState::Waiting
    };
    let station_id = sheet.job.station_id.clone();
    if !give_up.stay {
        sheet.job.station_id = None;
        sheet.job.stringer_id = None;
    }
    let more = json!({"why": why, "wasted_mm": wasted_mm, "at_station_id": station_id});
    moves::settle(tx, &mut sheet, to, &step, more)?;
    book_string::write_off(tx, job_id, &over.booked, wasted_mm)?;
    if give_up.stay {
        reopen_attempt(tx, &sheet, over)?;
        crate::desk::tap_phase::record(tx, &mut sheet, JobPhase::Mounted)?;
        // nobody has tapped it: taking it back would look as if the snap could be taken back
        sheet.job.phase_at = None;
        jobs::save(tx.db, &mut sheet.job)?;
    }
    Ok(sheet)
}

/// What the plan cuts: both strings once crosses are begun, the mains alone before.
fn likely_waste_mm(sheet: &JobSheet) -> u32 {
    let phase = sheet
        .job
        .phase
        .as_ref()
        .and_then(|phase| phase.parse::<JobPhase>().ok());
    let crosses_begun = phase >= Some(JobPhase::MainsDone);
    let needs = Some(&sheet.record.needs).filter(|needs| !needs.is_empty());
    needs
        .and_then(|needs| book_string::likely_waste_mm(needs, crosses_begun))
        .unwrap_or(if crosses_begun {
            2 * HALF_A_SET_MM
        } else {
            HALF_A_SET_MM
        })
}

fn open_attempt(tx: &mut Tx<'_>, sheet: &JobSheet) -> DeskResult<Option<work::Attempt>> {
    let attempts = work::attempts_of(tx.db, &sheet.job.id)?;
    Ok(attempts.into_iter().rfind(|attempt| attempt.ended_at.is_none()))
}

/// Closes the open attempt of a job.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn end_attempt(tx: &mut Tx<'_>, sheet: &JobSheet, ending: &str) -> DeskResult<()> {
    if let Some(mut attempt) = open_attempt(tx, sheet)? {
        attempt.ended_at = Some(tx.at());
        attempt.ending = Some(ending.to_owned());
        work::save_attempt(tx.db, &attempt)?;
    }
    Ok(())
}

/// The next attempt at the same station, with string of its own.
///
/// A string has snapped whatever is left on the reel that was scanned: the next cut then comes
/// from another piece at hand.
fn reopen_attempt(tx: &mut Tx<'_>, sheet: &JobSheet, mut over: AttemptRecord) -> DeskResult<()> {
    let last = work::attempts_of(tx.db, &sheet.job.id)?.pop();
    let Some(last) = last else { return Ok(()) };
    let booked = match book_string::book(tx, sheet, &over) {
        Err(DeskError::Rule {
            reason: Reason::StringTooShort,
            ..
        }) => {
            (over.mains, over.crosses) = (None, None);
            book_string::book(tx, sheet, &over)?
        }
        booked => booked?,
    };
    let taken = AttemptRecord { booked, ..over };
    let next = work::Attempt {
        id: crate::desk::ids::new::<crate::craft::ids::AttemptId>(),
        number: sheet.job.attempt,
        started_at: tx.at(),
        ended_at: None,
        ending: None,
        record: to_record(&taken)?,
        ..last
    };
    Ok(work::insert_attempt(tx.db, &next)?)
}

/// Calls a person to a station, for the job that it has; answers the job's and the snag's id.
///
/// # Errors
/// [`DeskError::Conflict`] for a station without a job, else as [`call_help`].
pub fn call_help_at(tx: &mut Tx<'_>, station_id: &str, what: &str) -> DeskResult<(String, String)> {
    let Some(job) = legal::busy_with(tx.db, tx.tournament(), station_id)? else {
        let detail = "The station has no job to call help for.";
        return Err(DeskError::conflict(Reason::ActionNotAllowed, detail));
    };
    let snag = call_help(tx, &job.id, what)?;
    Ok((job.id, snag))
}

/// Calls a person to the bench; the job stays where it is.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn call_help(tx: &mut Tx<'_>, job_id: &str, what: &str) -> DeskResult<String> {
    use crate::craft::roles::Role;
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    tx.caller.must_be(&[Role::Stringer, Role::Coordinator])?;
    let what = text_member::name(what, "/what")?;
    let station = sheet.job.station_id.clone();
    let Some(station) = station else {
        return Err(DeskError::member(
            "/what",
            "not_at_station",
            "Only a job at a station calls for help.",
        ));
    };
    tx.emit("station.help_called", &station, &json!({"job_id": job_id}))?;
    open_snag(
        tx,
        HELP_CALLED,
        Some(job_id),
        &["solved", "hold", "restart"],
        &what,
    )
}
