//! What follows for the jobs of a frame model when its record is corrected.
use crate::craft::frame::FrameRecord;
use crate::craft::job::JobState;
use crate::desk::decide_snag::close_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason};
use crate::desk::{Tx, job_plan};
use crate::storage::work::waiting_decisions;
use crate::storage::{Db, jobs, to_record};

/// The kind of snag that asks for the holes of a frame.
pub const PATTERN_UNKNOWN: &str = "pattern_unknown";
/// What it is decided as once they are on record.
pub const RECORDED: &str = "recorded";
/// States in which a job is not begun.
const TO_COME: [JobState; 3] = [JobState::Expected, JobState::Waiting, JobState::Assigned];

/// The states in which a job is not begun, as they are stored.
pub(super) fn not_begun() -> [&'static str; 3] {
    TO_COME.map(JobState::as_str)
}

/// Jobs that are not begun take their time and lengths from the new record; whoever asked for the holes is
/// answered once they are on record.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn follow(tx: &mut Tx<'_>, frame_id: &str, record: &FrameRecord) -> DeskResult<()> {
    let tournament = tx.tournament().to_owned();
    let to_come = jobs::in_states(tx.db, &tournament, &not_begun())?;
    for sheet in JobSheet::for_jobs(tx.db, &tournament, to_come)? {
        if sheet.frame_id == frame_id {
            plan_anew(tx, sheet)?;
        }
    }
    if record.pattern.known {
        answer_who_asked(tx, frame_id)?;
    }
    Ok(())
}

/// Plans a job anew that is not begun, from what is known now.
pub(super) fn plan_anew(tx: &mut Tx<'_>, mut sheet: JobSheet) -> DeskResult<()> {
    let habits = job_plan::habits_of_job(tx.db, &sheet)?;
    let insist = job_plan::insisted(&sheet);
    // what the new record no longer admits stays as it was admitted; The Plan says what is wrong with it
    if let Ok(planned) = job_plan::admit(&sheet.frame, &sheet.spec, &habits, insist, "") {
        planned.taken_for(&mut sheet);
    }
    sheet.job.record = to_record(&sheet.record)?;
    jobs::save(tx.db, &mut sheet.job)?;
    Ok(())
}

fn answer_who_asked(tx: &mut Tx<'_>, frame_id: &str) -> DeskResult<()> {
    let open = waiting_decisions::open(tx.db, tx.caller.tournament())?;
    for snag in open.into_iter().filter(|snag| snag.kind == PATTERN_UNKNOWN) {
        let Some(job_id) = &snag.job_id else { continue };
        if JobSheet::of(tx.db, tx.caller.tournament(), job_id)?.frame_id == frame_id {
            let account = tx.caller.account_id.clone();
            close_snag(tx, snag, RECORDED, None, account)?;
        }
    }
    Ok(())
}

/// Refuses "the holes are on record" while they are not.
///
/// # Errors
/// [`DeskError::Rule`] with the way out.
pub fn must_be_on_record(tx: &mut Tx<'_>, job_id: &str, choice: &str) -> DeskResult<()> {
    if choice != RECORDED {
        return Ok(());
    }
    let sheet = JobSheet::of(tx.db, tx.caller.tournament(), job_id)?;
    if sheet.frame.pattern.known {
        return Ok(());
    }
    let detail = format!(
        "The holes of {} are not on record yet. Enter them in the frame's record first.",
        sheet.frame.name
    );
    Err(DeskError::rule(Reason::RuleRefused, detail))
}

/// A racket whose string plan waits for the holes of its frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Awaiting {
    /// The tag code of its job.
    pub code: String,
    /// Whose it is.
    pub player: String,
    /// The racket.
    pub racket_id: String,
}

/// Which rackets wait for the holes of a frame model, as somebody was asked.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn awaiting(db: &mut Db, tournament: &str, frame_id: &str) -> DeskResult<Vec<Awaiting>> {
    let open = waiting_decisions::open(db, tournament)?;
    let asked = open.into_iter().filter(|snag| snag.kind == PATTERN_UNKNOWN);
    let ids: Vec<String> = asked.filter_map(|snag| snag.job_id).collect();
    let asking = jobs::with_ids(db, tournament, &ids)?;
    let mut sheets = JobSheet::for_jobs(db, tournament, asking)?;
    sheets.retain(|sheet| sheet.frame_id == frame_id);
    sheets.sort_by_key(|sheet| sheet.job.due_at.utc());
    let told = sheets.into_iter().map(|sheet| Awaiting {
        code: sheet.job.code,
        player: sheet.player.display_name,
        racket_id: sheet.racket.id,
    });
    Ok(told.collect())
}
