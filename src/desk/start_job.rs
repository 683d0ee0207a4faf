//! A stringer puts the racket on the machine: the tag is scanned, the strings are scanned or confirmed.
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::ids::AttemptId;
use crate::craft::job::{JobAction, JobPhase, JobState};
use crate::craft::tag_code::TagCode;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::AttemptRecord;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::register_racket::move_racket;
use crate::desk::{Tx, book_string, ids, job_plan, legal, moves, pull_job, tap_phase};
use crate::storage::work::{self, Attempt};
use crate::storage::workshop::places::{self, Station};
use crate::storage::{stock, to_record};

/// What the bench shows at the start.
#[derive(Debug, Clone, Default)]
pub struct StartJob {
    /// At which station; needed for a job that waits.
    pub station_id: Option<String>,
    /// The tag as scanned or typed.
    pub tag: String,
    /// The mains' string: a piece's label, a string's id, or its name where nothing carries a label.
    pub mains: Option<String>,
    /// The crosses' string, likewise.
    pub crosses: Option<String>,
}

/// Starts a job.
///
/// # Errors
/// [`DeskError::StateForbids`]; [`DeskError::Rule`] for a wrong tag or string or missing evidence.
pub fn start_job(tx: &mut Tx<'_>, job_id: &str, start: &StartJob) -> DeskResult<JobSheet> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let station = station(tx, &sheet, start)?;
    let step = legal::require(tx, &sheet, Some(&station), JobAction::Start)?;
    right_tag(&sheet, &start.tag)?;
    for (member, scan, wanted) in [
        ("mains", &start.mains, &sheet.spec.mains.string),
        ("crosses", &start.crosses, &sheet.spec.crosses.string),
    ] {
        right_string(tx, member, scan.as_deref(), wanted)?;
    }
    if sheet.job.state == JobState::Waiting.as_str() {
        pull_job::assign(tx, &mut sheet, &station)?;
    }
    let plan = job_plan::of_job(tx.db, &sheet)?;
    sheet.record.method = Some(plan.method.method);
    sheet.record.needs = book_string::needs(&plan, &sheet.spec);
    let mut taken = AttemptRecord {
        mains: start.mains.clone(),
        crosses: start.crosses.clone(),
        booked: Vec::new(),
    };
    taken.booked = book_string::book(tx, &sheet, &taken)?;
    let attempt = Attempt {
        id: ids::new::<AttemptId>(),
        tournament_id: tx.tournament().to_owned(),
        job_id: sheet.job.id.clone(),
        number: sheet.job.attempt,
        station_id: Some(station.id.clone()),
        machine_id: Some(station.machine_id.clone()),
        stringer_id: sheet.job.stringer_id.clone(),
        started_at: tx.at(),
        ended_at: None,
        ending: None,
        record: to_record(&taken)?,
    };
    work::insert_attempt(tx.db, &attempt)?;
    sheet.job.phase = None;
    sheet.job.phase_at = None;
    let more = json!({"machine_id": station.machine_id, "stringer_id": sheet.job.stringer_id});
    moves::settle(tx, &mut sheet, JobState::OnMachine, &step, more)?;
    move_racket(tx, &mut sheet.racket, &Custody::Station(station.id))?;
    tap_phase::record(tx, &mut sheet, JobPhase::Mounted)?;
    Ok(sheet)
}

fn station(tx: &mut Tx<'_>, sheet: &JobSheet, start: &StartJob) -> DeskResult<Station> {
    let named = start.station_id.as_ref().or(sheet.job.station_id.as_ref());
    let Some(id) = named else {
        let detail = "Say at which station the job starts.";
        return Err(DeskError::member("/station_id", "missing_member", detail));
    };
    places::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Station))
}

/// Refuses another racket's tag.
///
/// # Errors
/// [`DeskError::Rule`] with `wrong_tag`, [`DeskError::Invalid`] for a misread code.
pub fn right_tag(sheet: &JobSheet, scanned: &str) -> DeskResult<()> {
    if scanned.trim().is_empty() {
        return Err(DeskError::rule(
            Reason::EvidenceMissing,
            "Scan the racket's tag, or type its code.",
        ));
    }
    let code = TagCode::parse(scanned)
        .map_err(|fault| DeskError::member("/tag", "check_the_code", fault.to_string()))?;
    if code.as_str() == sheet.job.code {
        return Ok(());
    }
    let detail = format!(
        "The tag {} is another racket's; this job is {}. Compare the marks and scan the right one.",
        code.as_str(),
        sheet.job.code
    );
    Err(DeskError::rule(Reason::WrongTag, detail))
}

fn right_string(
    tx: &mut Tx<'_>,
    member: &str,
    scan: Option<&str>,
    wanted: &crate::craft::spec::StringFacts,
) -> DeskResult<()> {
    let name = wanted.name.clone().unwrap_or_default();
    let Some(scan) = scan.map(str::trim).filter(|scan| !scan.is_empty()) else {
        let detail = format!("Scan the string for the {member}, or confirm it by name: {name}.");
        return Err(DeskError::rule(Reason::EvidenceMissing, detail));
    };
    let wanted_id = wanted.string_id.as_ref().map(crate::craft::ids::StringId::as_str);
    let by_label = stock::pieces::by_label(tx.db, tx.tournament(), scan)?;
    let fits = wanted_id == Some(scan)
        || by_label.is_some_and(|piece| Some(piece.string_id.as_str()) == wanted_id)
        || crate::craft::search_key::search_key(scan) == crate::craft::search_key::search_key(&name);
    if fits {
        return Ok(());
    }
    let detail = format!("This is not the string for the {member}: the job asks for {name}.");
    Err(DeskError::rule(Reason::WrongString, detail))
}
