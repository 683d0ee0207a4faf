//! Taking a racket in over the counter: it becomes a waiting job with a tag code and a promise.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::custody::Custody;
use crate::craft::frame::FrameRecord;
use crate::craft::ids::{BatchId, JobId, SnagId};
use crate::craft::job::JobState;
use crate::craft::roles::Role;
use crate::craft::spec::Spec;
use crate::desk::court_times::due_by::{Due, DueBy};
use crate::desk::decide_snag::SnagRecord;
use crate::desk::job_plan::{self, JobPlan};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{DamageMark, Insisted, JobRecord, Purpose, RacketRecord, WorkEstimate};
use crate::desk::refusal::{DeskError, DeskResult, Override, Reason, Thing};
use crate::desk::{
    Tx, book_string, fill_strings, frame_in_use, ids, overview, promise, take_code, wait_for_string,
};
use crate::storage::jobs::{self, Job};
use crate::storage::rackets::{self, Racket, models};
use crate::storage::work::waiting_decisions::{self, Snag};
use crate::storage::{At, from_record, to_record};

/// Who takes rackets in.
pub const CHECK_IN: [Role; 2] = [Role::Desk, Role::Coordinator];
/// Who announces rackets.
pub const ANNOUNCE: [Role; 3] = [Role::Desk, Role::Coordinator, Role::Integration];

/// One racket of a drop-off.
#[derive(Debug, Clone)]
pub struct HandIn {
    /// Which racket.
    pub racket_id: String,
    /// How its owner wants it.
    pub spec: Spec,
    /// What decides when it must be ready.
    pub due: DueBy,
    /// What it is for.
    pub purpose: Option<Purpose>,
    /// Not to be strung before this.
    pub not_before_at: Option<DateTime<Utc>>,
    /// The player wants this stringer.
    pub wants_stringer_id: Option<String>,
    /// Whether all four places were looked at and found good.
    pub condition_ok: bool,
    /// Damage seen.
    pub damage: Vec<DamageMark>,
    /// A code reserved on paper; otherwise a fresh one is taken.
    pub code: Option<String>,
    /// Why a rule shall be broken, where it may be.
    pub insist: Option<String>,
}

/// Takes one racket in.
///
/// # Errors
/// See [`hand_in_batch`]; pointers start at the body.
pub fn hand_in(tx: &mut Tx<'_>, one: HandIn) -> DeskResult<Job> {
    check_in(tx, one, "", None, true)
}

/// As [`hand_in`], for a racket that is one part of a larger request: its pointers start at `pointer`.
///
/// # Errors
/// As [`hand_in`].
pub(super) fn hand_in_below(tx: &mut Tx<'_>, one: HandIn, pointer: &str) -> DeskResult<Job> {
    check_in(tx, one, pointer, None, true)
}

/// Announces one racket: its job is expected and gets its code; it is checked in when it comes.
///
/// # Errors
/// As [`hand_in`].
pub fn announce(tx: &mut Tx<'_>, one: HandIn) -> DeskResult<Job> {
    check_in(tx, one, "", None, false)
}

/// Takes the rackets of one drop-off in, all or none. They are strung back to back.
///
/// # Errors
/// [`DeskError::NotFound`] for an unknown racket, [`DeskError::NotAllowed`],
/// [`DeskError::Conflict`] where a racket is in already, [`DeskError::Invalid`]
/// and [`DeskError::Rule`] with pointers below `/jobs/N`.
pub fn hand_in_batch(tx: &mut Tx<'_>, all: Vec<HandIn>) -> DeskResult<Vec<Job>> {
    let batch = ids::new::<BatchId>();
    let mut taken = Vec::with_capacity(all.len());
    for (place, one) in all.into_iter().enumerate() {
        let pointer = format!("/jobs/{place}");
        let number = i32::try_from(place + 1).unwrap_or(i32::MAX);
        taken.push(check_in(tx, one, &pointer, Some((batch.clone(), number)), true)?);
    }
    Ok(taken)
}

fn check_in(
    tx: &mut Tx<'_>,
    one: HandIn,
    pointer: &str,
    batch: Option<(String, i32)>,
    here: bool,
) -> DeskResult<Job> {
    tx.caller.must_be(if here { &CHECK_IN } else { &ANNOUNCE })?;
    let (racket, frame) = racket_and_frame(tx, &one.racket_id, pointer)?;
    refuse_second_job(tx, &racket)?;
    let due = one.due.due(tx, &racket.player_id, pointer)?;
    refuse_crack(&one.damage, one.insist.as_deref(), pointer)?;
    let mut spec = one.spec.clone();
    fill_strings::from_stock_list(tx.db, tx.caller.tournament(), &mut spec, pointer)?;
    let habits = job_plan::habits(tx.db, &racket, None)?;
    let planned = job_plan::admit(&frame, &spec, &habits, one.insist.as_deref(), pointer)?;
    let short = book_string::missing(tx, &racket.player_id, None, &planned.needs)?;
    let record = record_of(tx, &one, &due, &planned, !short.is_empty());
    let mut job = new_job(tx, due.at, &racket, &spec, &record)?;
    job.code = take_code::for_job(tx, &job.id, one.code.as_deref(), pointer)?;
    if let Some((id, place)) = batch {
        job.batch_id = Some(id);
        job.batch_place = place;
    }
    if here {
        job.promised_at =
            promise::for_new_job(tx, planned.estimate, due.at, one.not_before_at)?.map(At::from);
    } else {
        JobState::Expected.as_str().clone_into(&mut job.state);
    }
    jobs::insert(tx.db, &job)?;
    if here {
        take_custody(tx, racket, &one.damage)?;
    }
    tx.emit(
        if here { "job.received" } else { "job.announced" },
        &job.id,
        &json!({"racket_id": job.racket_id, "player_id": job.player_id, "state": job.state,
                "due_at": job.due_at.utc(), "promised_at": job.promised_at.map(At::utc)}),
    )?;
    tell_insisted(tx, &job.id, &record.insisted)?;
    if !here {
        return Ok(job);
    }
    open_questions(tx, &job.id, planned.pattern_unknown)?;
    if short.is_empty() || one.insist.is_some() {
        return Ok(job);
    }
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), &job.id)?;
    wait_for_string::ask(tx, &mut sheet, &short)?;
    Ok(sheet.job)
}

/// A waiting job alone, without its code and its promise.
fn new_job(
    tx: &Tx<'_>,
    due_at: DateTime<Utc>,
    racket: &Racket,
    spec: &Spec,
    record: &JobRecord,
) -> DeskResult<Job> {
    let work_p90_s = record.estimate.map_or(0, |estimate| estimate.p90_s);
    Ok(Job {
        id: ids::new::<JobId>(),
        tournament_id: tx.tournament().to_owned(),
        code: String::new(),
        racket_id: racket.id.clone(),
        player_id: racket.player_id.clone(),
        state: JobState::Waiting.as_str().to_owned(),
        phase: None,
        phase_at: None,
        outcome: None,
        attempt: 1,
        station_id: None,
        stringer_id: None,
        pinned_station_id: None,
        batch_place: 1,
        batch_id: None,
        spec: to_record(spec)?,
        spec_version: 1,
        spec_change_unseen: false,
        rush: None,
        held_reason: None,
        held_until: None,
        paused: false,
        recalled: false,
        recorded_late: false,
        work_p90_s: i32::try_from(work_p90_s).unwrap_or(i32::MAX),
        due_at: due_at.into(),
        promised_at: None,
        received_at: tx.at(),
        state_since: tx.at(),
        out_at: None,
        record: to_record(record)?,
        version: 1,
    })
}

fn racket_and_frame(tx: &mut Tx<'_>, racket_id: &str, pointer: &str) -> DeskResult<(Racket, FrameRecord)> {
    let tournament = tx.tournament();
    let racket = rackets::find(tx.db, tournament, racket_id)?.ok_or_else(|| {
        DeskError::member(
            format!("{pointer}/racket_id"),
            "unknown_reference",
            "No such racket here; register it first.",
        )
    })?;
    let frame =
        models::find(tx.db, tournament, &racket.frame_id)?.ok_or(DeskError::NotFound(Thing::Frame))?;
    Ok((racket, from_record(&frame.record)?))
}

fn refuse_second_job(tx: &mut Tx<'_>, racket: &Racket) -> DeskResult<()> {
    let latest = jobs::latest_of_racket(tx.db, &racket.id, 1)?.into_iter().next();
    let Some(open) = latest.filter(|job| is_open(job, &racket.custody)) else {
        return Ok(());
    };
    if open.state == JobState::Expected.as_str() {
        let detail = format!(
            "This racket is announced as {}; check it in by the action check_in.",
            open.code
        );
        return Err(DeskError::conflict(Reason::RacketAlreadyIn, detail)
            .fact("job_id", open.id)
            .fact("tag_code", open.code));
    }
    let zone = overview::house(tx.db, tx.tournament())?.zone;
    let since = open.received_at.utc().with_timezone(&zone);
    let detail = format!(
        "This racket is already in as {}, since {}.",
        open.code,
        since.format("%H:%M")
    );
    Err(DeskError::conflict(Reason::RacketAlreadyIn, detail)
        .fact("job_id", open.id)
        .fact("tag_code", open.code))
}

/// Whether the job keeps its racket from being taken in again. Cancelled while only expected, there is
/// nothing to give back first.
fn is_open(job: &Job, custody: &str) -> bool {
    match job.state.parse() {
        Ok(JobState::Out) => false,
        Ok(JobState::Cancelled) => custody != Custody::Owner.to_string(),
        _ => true,
    }
}

/// What somebody insisted on stands in the story, with the reason.
fn tell_insisted(tx: &mut Tx<'_>, job_id: &str, insisted: &[Insisted]) -> DeskResult<()> {
    for one in insisted {
        let data = json!({"code": one.code, "reason": one.reason});
        tx.emit("job.insisted", job_id, &data)?;
    }
    Ok(())
}

/// A cracked frame can break under tension and hurt somebody.
pub(super) fn refuse_crack(damage: &[DamageMark], insist: Option<&str>, pointer: &str) -> DeskResult<()> {
    let cracked = damage.iter().position(|mark| mark.cracked);
    match cracked {
        Some(place) if insist.is_none() => Err(DeskError::Rule {
            reason: Reason::FrameDamaged,
            detail:
                "The hoop is cracked: it can break under tension and hurt somebody. Give the racket back, \
                     or take the owner's signed word that it is at their own risk."
                    .to_owned(),
            faults: vec![crate::desk::MemberFault::at(
                format!("{pointer}/damage/{place}"),
                "frame_damaged",
                "A cracked hoop is strung only with the owner's word.",
            )],
            insist: Some(Override {
                needs: vec!["reason"],
                by_role: vec!["desk", "coordinator"],
            }),
        }),
        _ => Ok(()),
    }
}

fn record_of(tx: &Tx<'_>, one: &HandIn, due: &Due, planned: &JobPlan, short: bool) -> JobRecord {
    let mut insisted = Vec::new();
    let mut insist = |code: &str| {
        insisted.push(Insisted {
            code: code.to_owned(),
            reason: one.insist.clone().unwrap_or_default(),
            account_id: tx.caller.account_id.clone(),
        });
    };
    if planned.out_of_range {
        insist("tension_out_of_range");
    }
    if one.damage.iter().any(|mark| mark.cracked) {
        insist("frame_damaged");
    }
    if one.insist.is_some() && short {
        insist("no_stock");
    }
    let mut record = JobRecord {
        purpose: one.purpose,
        damage: one.damage.clone(),
        condition_ok: one.condition_ok,
        insisted,
        not_before_at: one.not_before_at,
        wants_stringer_id: one.wants_stringer_id.clone(),
        estimate: Some(WorkEstimate { ..planned.estimate }),
        needs_swivel: planned.needs_swivel,
        pattern_unknown: planned.pattern_unknown,
        needs: planned.needs.clone(),
        ..JobRecord::default()
    };
    due.note_in(&mut record);
    record
}

/// The racket is at the desk from now on, with the damage that was seen on it.
///
/// # Errors
/// [`DeskError::Storage`].
pub(super) fn take_custody(tx: &mut Tx<'_>, mut racket: Racket, damage: &[DamageMark]) -> DeskResult<()> {
    let from = std::mem::replace(&mut racket.custody, "desk".to_owned());
    racket.custody_since = tx.at();
    if !damage.is_empty() {
        let mut record: RacketRecord = from_record(&racket.record)?;
        record.damage = damage.to_vec();
        racket.record = to_record(&record)?;
        tx.emit(
            "racket.damaged",
            &racket.id,
            &json!({"places": damage.iter().map(|mark| mark.place).collect::<Vec<_>>()}),
        )?;
    }
    rackets::save(tx.db, &mut racket)?;
    tx.emit("racket.moved", &racket.id, &json!({"from": from, "to": "desk"}))
}

/// What a person has to decide before or while the job waits.
///
/// # Errors
/// [`DeskError::Storage`].
pub(super) fn open_questions(tx: &mut Tx<'_>, job_id: &str, pattern_unknown: bool) -> DeskResult<()> {
    if pattern_unknown {
        let what = "The frame's holes are not on record: read them off the frame.";
        open_snag(
            tx,
            frame_in_use::PATTERN_UNKNOWN,
            Some(job_id),
            &[frame_in_use::RECORDED, "string_from_frame", "give_back"],
            what,
        )?;
    }
    Ok(())
}

/// Opens a snag: something that waits for a person's decision.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn open_snag(
    tx: &mut Tx<'_>,
    kind: &str,
    job_id: Option<&str>,
    choices: &[&str],
    what: &str,
) -> DeskResult<String> {
    let record = SnagRecord {
        what: what.to_owned(),
        choices: choices.iter().map(|&choice| choice.to_owned()).collect(),
        ..SnagRecord::default()
    };
    let snag = Snag {
        id: ids::new::<SnagId>(),
        tournament_id: tx.tournament().to_owned(),
        kind: kind.to_owned(),
        job_id: job_id.map(str::to_owned),
        record: to_record(&record)?,
        opened_at: tx.at(),
        decided_at: None,
        version: 1,
    };
    waiting_decisions::insert(tx.db, &snag)?;
    tx.emit("snag.opened", &snag.id, &json!({"kind": kind, "job_id": job_id}))?;
    Ok(snag.id)
}
