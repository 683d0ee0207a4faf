//! One job: read, amend, print, explain.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::hand_in::Insist;
use super::list::may_see;
use super::view::{self, JobView};
use crate::api::conditional::{self, IfMatchHeader, IfNoneMatchHeader};
use crate::api::court_times::view::ReadyFor;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::{Code, Problem};
use crate::api::request::{UnreadJson, UnreadPatch, query};
use crate::craft::job::{JobAction, Rule};
use crate::craft::spec::Spec;
use crate::desk::amend_job::{self, AmendJob, IfStarted};
use crate::desk::court_times::next_match;
use crate::desk::job_sheet::JobSheet;
use crate::desk::print_paper::{self, Paper};
use crate::desk::why::{PlaceInPlan, why as explained};
use crate::desk::{Caller, Desk, DeskError, pull_job};

/// Reads the job as the caller may see it.
///
/// # Errors
/// 404.
pub(crate) async fn seen(desk: &Desk, caller: &Caller, id: &str) -> Result<JobView, Problem> {
    let (tournament, id, role) = (caller.tournament().to_owned(), id.to_owned(), caller.role);
    let now = desk.clock().desk();
    let shown = desk
        .read(move |db| {
            let sheet = JobSheet::of(db, &tournament, &id)?;
            view::of(db, &sheet, role, now)
        })
        .await?;
    Ok(shown)
}

/// One job.
#[utoipa::path(
    tag = "jobs",
    params(("id" = String, Path, description = "The job's id."), IfNoneMatchHeader),
    responses((status = 200, description = "The job.", body = JobView), (status = 304, description = "Unchanged.")),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/{id}")]
pub(crate) async fn read_job(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let shown = seen(&desk, &caller, &id).await?;
    may_see(&caller)?;
    query::none(&request)?;
    conditional::unless_known(&request, shown.version, &shown)
}

/// A changed wish.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JobPatch {
    /// The whole new spec.
    pub spec: Spec,
    /// Once started: what happens to the strings that are in.
    #[serde(default)]
    pub if_started: Option<IfStarted>,
    /// A person insists where a rule may be broken.
    #[serde(default, rename = "override")]
    pub insist: Option<Insist>,
}

/// Changes how the owner wants the racket.
#[utoipa::path(
    tag = "jobs",
    params(("id" = String, Path, description = "The job's id."), IfMatchHeader),
    request_body(content = JobPatch, content_type = "application/merge-patch+json"),
    responses((status = 200, description = "Changed.", body = JobView)),
    security(("bearer" = []), ("session" = []))
)]
#[patch("/v1/jobs/{id}")]
pub(crate) async fn change_wish(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let current = seen(&desk, &caller, &id).await?;
    if !Rule::of(JobAction::Amend).is_for(caller.role) {
        return Err(Problem::new(Code::RoleForbidden));
    }
    let patch: JobPatch = body.read()?;
    conditional::require_match(&request, current.version, &current)?;
    let change = AmendJob {
        version: current.version,
        spec: patch.spec,
        if_started: patch.if_started,
        insist: patch.insist.map(|insist| insist.reason),
    };
    let (id, role) = (id.into_inner(), caller.role);
    let changed = desk
        .write(&caller, move |tx| {
            let sheet = amend_job::amend_job(tx, &id, &change)?;
            view::of(tx.db, &sheet, role, tx.now)
        })
        .await;
    match changed {
        Ok(view) => Ok(HttpResponse::Ok()
            .insert_header(conditional::etag_header(view.version))
            .json(view)),
        // somebody was faster between our read and our write: show what stands now
        Err(DeskError::Stale { .. }) => {
            let now = seen(&desk, &caller, &current.id).await?;
            Err(conditional::stale(now.version, &now))
        }
        Err(error) => Err(error.into()),
    }
}

/// What to print.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PrintRequest {
    /// Which paper.
    pub what: Paper,
}

/// A print to fetch.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct Printed {
    /// Which copy this is, from 1.
    pub copy: u32,
    /// Where the page to print is.
    #[schema(example = "/jobs/job_01j0000000000000000000000/tag")]
    pub href: String,
}

/// Counts a print of the tag or the ticket; a second one says "copy 2".
#[utoipa::path(
    tag = "jobs",
    params(("id" = String, Path, description = "The job's id."), IdempotencyHeader),
    request_body = PrintRequest,
    responses((status = 200, description = "Which copy, and where.", body = Printed)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/{id}/prints")]
pub(crate) async fn count_print(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    seen(&desk, &caller, &id).await?;
    caller.must_be(&print_paper::PRINTERS)?;
    let id = id.into_inner();
    door::act(&request, &desk, &caller, body, move |tx, asked: PrintRequest| {
        let copy = print_paper::print_paper(tx, &id, asked.what)?;
        let href = format!("/jobs/{id}/{}", asked.what.name());
        door::json(StatusCode::OK, &Printed { copy, href })
    })
    .await
}

/// Why a job is where it is.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct Why {
    /// How many waiting jobs go before it at the station that the plan gives it, or where it is in no plan
    /// at its best open station.
    pub ahead: usize,
    /// The expected working time, half and nine in ten, seconds.
    pub work_p50_s: Option<u32>,
    /// Nine in ten take at most this, seconds.
    pub work_p90_s: Option<u32>,
    /// Seconds it has waited so far.
    pub waited_s: i64,
    /// What was promised.
    pub promised_at: Option<DateTime<Utc>>,
    /// In words.
    pub sentences: Vec<String>,
    /// The match it must be ready for; none for a plain time.
    pub ready_for: Option<ReadyFor>,
    /// Its place in the plan and the chain that adds up to when it is ready; nothing for a job in no plan.
    pub plan: Option<PlaceInPlan>,
}

/// The reasons behind a job's place and promise.
#[utoipa::path(
    tag = "jobs",
    params(("id" = String, Path, description = "The job's id.")),
    responses((status = 200, description = "The reasons.", body = Why)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/{id}/why")]
pub(crate) async fn why(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let shown = seen(&desk, &caller, &id).await?;
    may_see(&caller)?;
    query::none(&request)?;
    let (tournament, now) = (caller.tournament().to_owned(), desk.clock().desk());
    let job_id = shown.id.clone();
    let memory = desk.court_memory();
    let (place, ready, planned) = desk
        .read(move |db| {
            let ready = next_match::for_job(db, &tournament, &job_id, now, &memory)?;
            let place = pull_job::place_in_queue(db, &tournament, &job_id, now)?;
            Ok((place, ready, explained(db, &tournament, &job_id, now)?))
        })
        .await?;
    let in_plan = planned.ready_at.is_some();
    let (ahead, mut sentences) = if in_plan {
        (planned.before.len(), planned.sentences.clone())
    } else {
        (place.ahead, planned.sentences.clone())
    };
    // what makes it the next one here; behind others the plan's own words say which
    if in_plan && ahead == 0 && place.ahead == 0 {
        sentences.push(place.sentence);
    }
    sentences.extend(place.barred.into_iter().filter(|_| in_plan));
    sentences.retain(|sentence| !sentence.is_empty());
    let why = Why {
        ahead,
        work_p50_s: shown.estimate.map(|estimate| estimate.p50_s),
        work_p90_s: shown.estimate.map(|estimate| estimate.p90_s),
        waited_s: (now - shown.received_at).num_seconds(),
        promised_at: shown.promised_at,
        sentences,
        ready_for: ready.map(ReadyFor::from),
        plan: in_plan.then_some(planned),
    };
    Ok(HttpResponse::Ok().json(why))
}
