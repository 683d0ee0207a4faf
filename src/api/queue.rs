//! The queue as a station sees it: preview the next job, pull it.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::idempotency::IdempotencyHeader;
use super::jobs::view::{self, JobView};
use super::problem::Problem;
use super::request::{UnreadJson, query};
use crate::api::jobs::evidence::NoEvidence;
use crate::craft::choose_next::Choice;
use crate::craft::roles::Role;
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::Db;
use crate::desk::reads::stations::{self, Station};
use crate::desk::{Desk, DeskError, DeskResult, Thing, bench_stops, legal, pull_job, refuse_job};

const BENCH: [Role; 3] = [Role::Stringer, Role::Coordinator, Role::System];

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config
        .service(next)
        .service(pull)
        .service(refuse)
        .service(call_help);
}

/// What a station would get next.
#[derive(Debug, Serialize, ToSchema)]
pub struct NextJob {
    /// The job it has already, if any: a pull returns this one.
    pub current: Option<JobView>,
    /// The job a pull would give it.
    pub next: Option<JobView>,
    /// Why, and what was passed over.
    pub choice: Choice,
}

/// What a station has, and what it would get next.
fn offered(db: &mut Db, station: &Station, role: Role, now: DateTime<Utc>) -> DeskResult<NextJob> {
    let tournament = station.tournament_id.clone();
    let current = match legal::busy_with(db, &tournament, &station.id)? {
        Some(job) => {
            let sheet = JobSheet::of(db, &tournament, &job.id)?;
            Some(view::of(db, &sheet, role, now)?)
        }
        None => None,
    };
    let choice = pull_job::preview(db, station, now)?;
    let to_come = match &choice.pick {
        Some(pick) => {
            let sheet = JobSheet::of(db, &tournament, &pick.job_id)?;
            Some(view::of(db, &sheet, role, now)?)
        }
        None => None,
    };
    Ok(NextJob {
        current,
        next: to_come,
        choice,
    })
}

/// Previews the station's next job and explains it; nothing changes.
#[utoipa::path(
    tag = "stations",
    params(("id" = String, Path, description = "The station's id.")),
    responses((status = 200, description = "What would come next.", body = NextJob)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/stations/{id}/next")]
pub(crate) async fn next(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let (tournament, role, now) = (caller.tournament().to_owned(), caller.role, desk.clock().desk());
    let asked = caller.clone();
    let shown = desk
        .read(move |db| {
            let station = stations::find(db, &tournament, &id)?.ok_or(DeskError::NotFound(Thing::Station))?;
            asked.must_be(&BENCH)?;
            offered(db, &station, role, now)
        })
        .await?;
    query::none(&request)?;
    Ok(HttpResponse::Ok().json(shown))
}

/// What somebody is called for.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"what": "the tension head slips"}))]
pub struct CallForHelp {
    /// What is wrong, 1 to 120 characters.
    pub what: String,
}

/// Help is on its way.
#[derive(Debug, Serialize, ToSchema)]
pub struct HelpCalled {
    /// The snag that waits for a person.
    pub snag_id: String,
    /// The job it is about.
    pub job_id: String,
}

/// Calls a person to the station; its job stays where it is, and a snag waits for a decision.
#[utoipa::path(
    tag = "stations",
    params(("id" = String, Path, description = "The station's id."), IdempotencyHeader),
    request_body = CallForHelp,
    responses((status = 200, description = "A snag waits for a person.", body = HelpCalled)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/stations/{id}/actions/call_help")]
pub(crate) async fn call_help(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    caller.must_be(&BENCH)?;
    door::act(&request, &desk, &caller, body, move |tx, given: CallForHelp| {
        let (job_id, snag_id) = bench_stops::call_help_at(tx, &row.id, &given.what)?;
        door::json(StatusCode::OK, &HelpCalled { snag_id, job_id })
    })
    .await
}

/// Gives the station the best job it may do; it becomes `assigned`.
///
/// A station holds at most one job: a second pull returns that one. With
/// nothing there the answer is 409 `nothing_waiting`, with when to look again.
#[utoipa::path(
    tag = "stations",
    params(("id" = String, Path, description = "The station's id."), IdempotencyHeader),
    request_body = NoEvidence,
    responses((status = 200, description = "The station's job.", body = JobView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/stations/{id}/actions/pull")]
pub(crate) async fn pull(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::found(&desk, &caller, id.clone(), Thing::Station, stations::find).await?;
    caller.must_be(&BENCH)?;
    let (id, role) = (id.into_inner(), caller.role);
    door::act(&request, &desk, &caller, body, move |tx, _none: NoEvidence| {
        let sheet = pull_job::pull_job(tx, &id)?;
        let shown = view::of(tx.db, &sheet, role, tx.now)?;
        Ok(door::versioned(
            door::json(StatusCode::OK, &shown)?,
            shown.version,
        ))
    })
    .await
}

/// What a stringer will not do.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"job_id": "job_01jt3k7q2m8c5v9x4b6n1d0fgh", "reason": "no string here"}))]
pub struct Refusal {
    /// The job that the station was offered or given.
    pub job_id: String,
    /// Why, 1 to 120 characters.
    pub reason: String,
}

/// Refuses the job that the station is offered or given, with a reason; answers what comes next.
///
/// The station's stringer is not offered it again until a coordinator moves it there. A job that
/// has been started stays where it is: 409.
#[utoipa::path(
    tag = "stations",
    params(("id" = String, Path, description = "The station's id."), IdempotencyHeader),
    request_body = Refusal,
    responses((status = 200, description = "What comes next.", body = NextJob)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/stations/{id}/actions/refuse")]
pub(crate) async fn refuse(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    caller.must_be(&refuse_job::REFUSERS)?;
    let role = caller.role;
    door::act(&request, &desk, &caller, body, move |tx, given: Refusal| {
        refuse_job::refuse_job(tx, &row.id, &given.job_id, &given.reason)?;
        door::json(StatusCode::OK, &offered(tx.db, &row, role, tx.now)?)
    })
    .await
}
