//! Moving a job: `POST /v1/jobs/{id}/actions/{name}` with the evidence each action takes.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, post};
use serde::de::DeserializeOwned;

use super::evidence::{
    ArrivalEvidence, CancelEvidence, Correction, DueEvidence, Evidence, HandOverEvidence, HoldEvidence,
    LeaveEvidence, NoEvidence, PassEvidence, PhaseTap, RestartEvidence, RushEvidence, SnappedEvidence,
    StartEvidence, ToStation, WithReason,
};
use super::one::seen;
use super::view::{self, JobView};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::{Code, Problem};
use crate::api::request::UnreadJson;
use crate::craft::job::{JobAction, Rule};
use crate::desk::bench_stops::{self, GiveUp};
use crate::desk::cancel_job;
use crate::desk::check_in::{Arrival, check_in};
use crate::desk::check_racket::{fail_job, finish_job, pass_job};
use crate::desk::correct_job::correct_job;
use crate::desk::court_times::due_by::DueBy;
use crate::desk::hand_out::{HandOut, court_release, give_back, return_racket};
use crate::desk::hand_over::hand_over;
use crate::desk::job_sheet::JobSheet;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::steer_job::{
    assign_to_station, change_due, hold_job, release_job, rush_job, unassign_job, unrush_job,
};
use crate::desk::tap_phase::{tap_phase, undo_phase};
use crate::desk::{Desk, DeskError, DeskResult, Thing, Tx, amend_job};

type Step = Box<dyn FnOnce(&mut Tx<'_>, &str) -> DeskResult<JobSheet> + Send>;

/// Does something to a job. `allowed_actions` of the job says what is possible.
///
/// Bodies: `start {tag, mains, crosses}`, `phase {phase}`, `snapped {where}`, `restart {reason, wasted_mm}`,
/// `pass {slot}`, `fail {reason}`, `pause {reason}`, `unassign {reason}`, `hold {reason, until}`,
/// `rush {level}`, `due {due_at | match_id | follows_match}`, `assign {station_id}`, `cancel {reason, charge_decision}`,
/// `check_in {condition}`, `hand_over {to_stringer, to_station}`, `correct {to, reason}`,
/// `give_back`, `return` and `court_release {tag, proof}`,
/// the others `{}`.
#[utoipa::path(
    tag = "jobs",
    params(
        ("id" = String, Path, description = "The job's id."),
        ("name" = String, Path, description = "The action.", example = "start"),
        IdempotencyHeader
    ),
    request_body = Evidence,
    responses((status = 200, description = "Done; the job as it is now.", body = JobView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/{id}/actions/{name}")]
pub(crate) async fn act(
    request: HttpRequest,
    desk: Data<Desk>,
    path: Path<(String, String)>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let (id, name) = path.into_inner();
    seen(&desk, &caller, &id).await?;
    let action: JobAction = name.parse().map_err(|_unknown| Problem::new(Code::NotFound))?;
    let rule = Rule::of(action);
    if !rule.is_for(caller.role) {
        return Err(Problem::new(Code::RoleForbidden));
    }
    let once = door::once(&request, body.bytes()?)?;
    let step = step(action, body)?;
    let role = caller.role;
    let answer = desk
        .write_once(&caller, once, move |tx| {
            let sheet = step(tx, &id)?;
            let shown = view::of(tx.db, &sheet, role, tx.now)?;
            Ok(door::versioned(
                door::json(StatusCode::OK, &shown)?,
                shown.version,
            ))
        })
        .await?;
    Ok(door::respond(answer))
}

/// The use case behind an action, with its evidence read.
fn step(action: JobAction, body: UnreadJson) -> Result<Step, Problem> {
    Ok(match action {
        JobAction::Start => with(body, |tx, id, given: StartEvidence| {
            let start = StartJob {
                station_id: given.station_id.map(String::from),
                tag: given.tag,
                mains: given.mains,
                crosses: given.crosses,
            };
            start_job(tx, id, &start)
        })?,
        JobAction::Phase => with(body, |tx, id, given: PhaseTap| tap_phase(tx, id, given.phase))?,
        JobAction::UndoPhase => bare(body, undo_phase)?,
        JobAction::Acknowledge => bare(body, amend_job::acknowledge_change)?,
        JobAction::Pause => with(body, |tx, id, given: WithReason| {
            bench_stops::pause_job(tx, id, &given.reason)
        })?,
        JobAction::Resume => bare(body, bench_stops::resume_job)?,
        JobAction::Snapped => with(body, |tx, id, given: SnappedEvidence| {
            let give_up = GiveUp {
                why: given.place,
                wasted_mm: given.wasted_mm,
                stay: given.stay,
            };
            bench_stops::snapped(tx, id, &give_up)
        })?,
        JobAction::Restart => with(body, |tx, id, given: RestartEvidence| {
            let give_up = GiveUp {
                why: given.reason,
                wasted_mm: Some(given.wasted_mm),
                stay: given.stay,
            };
            bench_stops::restart(tx, id, &give_up)
        })?,
        JobAction::Finish => bare(body, finish_job)?,
        JobAction::Pass => with(body, |tx, id, given: PassEvidence| {
            pass_job(tx, id, given.slot.as_deref())
        })?,
        JobAction::Fail => with(body, |tx, id, given: WithReason| fail_job(tx, id, &given.reason))?,
        other => return steering(other, body),
    })
}

fn steering(action: JobAction, body: UnreadJson) -> Result<Step, Problem> {
    Ok(match action {
        JobAction::Hold => with(body, |tx, id, given: HoldEvidence| {
            hold_job(tx, id, &given.reason, given.until)
        })?,
        JobAction::Release => bare(body, release_job)?,
        JobAction::Rush => with(body, |tx, id, given: RushEvidence| rush_job(tx, id, given.level))?,
        JobAction::Unrush => bare(body, unrush_job)?,
        JobAction::Due => with(body, |tx, id, given: DueEvidence| {
            let due = DueBy::asked(given.match_id, given.due_at, given.follows_match, "")?;
            change_due(tx, id, &due)
        })?,
        JobAction::Assign => with(body, |tx, id, given: ToStation| {
            assign_to_station(tx, id, given.station_id.as_str())
        })?,
        JobAction::Unassign => with(body, |tx, id, given: WithReason| {
            unassign_job(tx, id, &given.reason)
        })?,
        JobAction::Cancel => with(body, |tx, id, given: CancelEvidence| {
            cancel_job::cancel_job(tx, id, &given.reason, given.charge_decision)
        })?,
        JobAction::GiveBack => leaving(body, give_back)?,
        JobAction::Return => leaving(body, return_racket)?,
        JobAction::CourtRelease => leaving(body, court_release)?,
        JobAction::CheckIn => with(body, |tx, id, given: ArrivalEvidence| {
            let arrival = Arrival {
                condition_ok: given.condition.ok,
                damage: given.condition.damage,
                insist: given.insist.map(|insist| insist.reason),
            };
            check_in(tx, id, &arrival)
        })?,
        JobAction::HandOver => with(body, |tx, id, given: HandOverEvidence| {
            hand_over(tx, id, given.to_stringer.as_str(), given.to_station.as_str())
        })?,
        JobAction::Correct => with(body, |tx, id, given: Correction| {
            correct_job(tx, id, given.to, &given.reason)
        })?,
        other => return Err(elsewhere(other)),
    })
}

/// One door per thing: these are not done here.
fn elsewhere(action: JobAction) -> Problem {
    let (english, french) = match action {
        JobAction::Announce => (
            "A racket is announced by POST /v1/jobs with `announce`.",
            "Une raquette s’annonce par POST /v1/jobs avec `announce`.",
        ),
        JobAction::Amend => (
            "A spec changes by PATCH /v1/jobs/{id}.",
            "Un souhait change par PATCH /v1/jobs/{id}.",
        ),
        JobAction::HandOut => (
            "Rackets go out by POST /v1/pickups.",
            "Les raquettes sortent par POST /v1/pickups.",
        ),
        JobAction::UndoHandOut => (
            "A hand-out is taken back by POST /v1/pickups/{id}/actions/undo.",
            "Une remise s’annule par POST /v1/pickups/{id}/actions/undo.",
        ),
        _ => (
            "This service does not offer that action yet.",
            "Ce service n’offre pas encore cette action.",
        ),
    };
    Problem::new(Code::NotFound).detail(english, french)
}

fn with<T: DeserializeOwned + Send + 'static>(
    body: UnreadJson,
    work: impl FnOnce(&mut Tx<'_>, &str, T) -> DeskResult<JobSheet> + Send + 'static,
) -> Result<Step, Problem> {
    let given: T = body.read()?;
    Ok(Box::new(move |tx, id| work(tx, id, given)))
}

fn bare(body: UnreadJson, work: fn(&mut Tx<'_>, &str) -> DeskResult<JobSheet>) -> Result<Step, Problem> {
    let _none: NoEvidence = body.read()?;
    Ok(Box::new(work))
}

/// One racket leaves otherwise than by a pickup.
fn leaving(
    body: UnreadJson,
    go: fn(&mut Tx<'_>, &HandOut) -> DeskResult<Vec<JobSheet>>,
) -> Result<Step, Problem> {
    with(body, move |tx, id, given: LeaveEvidence| {
        let out = HandOut {
            job_ids: vec![id.to_owned()],
            tags: vec![given.tag],
            proof: given.proof,
            collector: None,
        };
        go(tx, &out)?.pop().ok_or(DeskError::NotFound(Thing::Job))
    })
}
