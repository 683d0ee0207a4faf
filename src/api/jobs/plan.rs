//! String plans: of a job, and of any frame and wish without storing anything.
use std::sync::Arc;

use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use serde::Deserialize;
use utoipa::ToSchema;

use super::one::seen;
use super::queries::DrawingQuery;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::{Code, Problem};
use crate::api::request::{UnreadJson, query};
use crate::craft::drawing::{self, HeadAt};
use crate::craft::frame::FrameRecord;
use crate::craft::roles::{Permission, Reach, Role};
use crate::craft::string_plan::{self, Plan, PlanRequest};
use crate::craft::weave_method::WeaveMethod;
use crate::desk::choose_method::choose_method;
use crate::desk::keep_frame::refuse_outside_limits;
use crate::desk::{Caller, Desk, job_plan};

/// A stringer sees the specs of the bench; a scope of an API key is not granted yet.
fn sees_specs(role: Role) -> bool {
    matches!(role.reach(Permission::SeeSpec), Reach::All | Reach::Own)
}

fn may_see_specs(role: Role) -> Result<(), Problem> {
    if sees_specs(role) {
        Ok(())
    } else {
        Err(Problem::new(Code::RoleForbidden))
    }
}

/// Computes a string plan; nothing is stored.
#[utoipa::path(
    tag = "plans",
    request_body = PlanRequest,
    responses((status = 200, description = "The plan.", body = Plan)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/plans")]
pub(crate) async fn compute_plan(request: HttpRequest, body: UnreadJson) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    may_see_specs(caller.role)?;
    query::none(&request)?;
    let asked: PlanRequest = body.read()?;
    refuse_outside_limits(&asked.frame, "/frame")?;
    let plan = string_plan::plan(&asked).map_err(|faults| job_plan::refusal(faults, ""))?;
    Ok(HttpResponse::Ok().json(plan))
}

async fn planned(desk: &Desk, caller: &Caller, id: String) -> Result<(Arc<FrameRecord>, Plan), Problem> {
    let (tournament, role) = (caller.tournament().to_owned(), caller.role);
    let found = desk
        .read(move |db| {
            let sheet = crate::desk::job_sheet::JobSheet::of(db, &tournament, &id)?;
            if !sees_specs(role) {
                return Err(crate::desk::DeskError::NotAllowed);
            }
            let plan = job_plan::of_job(db, &sheet)?;
            Ok((sheet.frame, plan))
        })
        .await?;
    Ok(found)
}

/// The string plan of a job, for the machine of its station where it has one.
#[utoipa::path(
    tag = "plans",
    params(("id" = String, Path, description = "The job's id.")),
    responses((status = 200, description = "The plan.", body = Plan)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/{id}/plan")]
pub(crate) async fn plan_of_job(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let (_, plan) = planned(&desk, &caller, id.into_inner()).await?;
    query::none(&request)?;
    Ok(HttpResponse::Ok().json(plan))
}

/// The weave method for one job.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MethodChoice {
    /// One of those that the plan's `comparison` allows.
    pub weave_method: WeaveMethod,
}

/// Takes another weave method for a job at a station, until the methods part: before the first
/// main in one piece, before the crosses in two. Plan, cuts and times follow.
#[utoipa::path(
    tag = "plans",
    params(("id" = String, Path, description = "The job's id."), IdempotencyHeader),
    request_body = MethodChoice,
    responses((status = 200, description = "Taken; the plan as it is now.", body = Plan)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/{id}/method")]
pub(crate) async fn take_method(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    seen(&desk, &caller, &id).await?;
    caller.must_be(&[Role::Stringer, Role::Coordinator])?;
    let id = id.into_inner();
    door::act(&request, &desk, &caller, body, move |tx, choice: MethodChoice| {
        let sheet = choose_method(tx, &id, choice.weave_method)?;
        door::json(StatusCode::OK, &job_plan::of_job(tx.db, &sheet)?)
    })
    .await
}

/// The drawing of a job's frame.
#[utoipa::path(
    tag = "plans",
    params(("id" = String, Path, description = "The job's id."), DrawingQuery),
    responses((status = 200, description = "The drawing.", content_type = "image/svg+xml", body = String)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/{id}/plan.svg")]
pub(crate) async fn drawing_of_job(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let (frame, plan) = planned(&desk, &caller, id.into_inner()).await?;
    let asked: DrawingQuery = query::read(&request)?;
    let head = if asked.head_down {
        HeadAt::Bottom
    } else {
        HeadAt::Top
    };
    Ok(HttpResponse::Ok()
        .content_type("image/svg+xml")
        .body(drawing::svg(&frame, &plan, head)))
}
