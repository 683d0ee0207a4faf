//! The plan: who strings what next, and what an intervention would cost.
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::problem::Problem;
use super::request::{UnreadJson, query};
use crate::craft::roles::Role;
use crate::desk::Desk;
use crate::desk::schedule::{WorkPlan, is_up_to_date, kept};
use crate::desk::what_if::{InterventionPrice, WhatIf, price};

const SEERS: [Role; 3] = [Role::Desk, Role::Stringer, Role::Coordinator];
const STEERERS: [Role; 1] = [Role::Coordinator];

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(schedule).service(preview);
}

/// The plan as it stands.
#[derive(Debug, Serialize, ToSchema)]
pub struct ScheduleView {
    /// The number of the log it was made from; 0 before the first plan.
    pub made_from_sequence: i64,
    /// When it was made; nothing before the first plan.
    pub made_at: Option<DateTime<Utc>>,
    /// Whether nothing has happened since; else a newer one is being made.
    pub up_to_date: bool,
    /// The plan.
    pub plan: WorkPlan,
}

/// The plan: each open station's jobs in order, with times, and what is in no plan.
#[utoipa::path(
    tag = "schedule",
    responses((status = 200, description = "The plan.", body = ScheduleView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/schedule")]
pub(crate) async fn schedule(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&SEERS)?;
    query::none(&request)?;
    let tournament = caller.tournament().to_owned();
    let shown = desk
        .read(move |db| {
            let kept = kept(db, &tournament)?;
            let made_from_sequence = kept.as_ref().map_or(0, |(_, row)| row.made_from_sequence);
            Ok(ScheduleView {
                made_from_sequence,
                made_at: kept.as_ref().map(|(_, row)| row.made_at.utc()),
                up_to_date: kept.is_some() && is_up_to_date(db, &tournament, made_from_sequence)?,
                plan: kept.map(|(plan, _)| plan).unwrap_or_default(),
            })
        })
        .await?;
    Ok(HttpResponse::Ok().json(shown))
}

/// What an intervention would cost: who becomes late, and by how much. Nothing changes.
#[utoipa::path(
    tag = "schedule",
    request_body(content = WhatIf, example = json!({"action": "rush", "job_id": "job_01jt3k7q2m8c5v9x4b6n1d0fgh", "level": "court"})),
    responses((status = 200, description = "Its price.", body = InterventionPrice)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/schedule/preview")]
pub(crate) async fn preview(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&STEERERS)?;
    query::none(&request)?;
    let what: WhatIf = body.read()?;
    let (tournament, now) = (caller.tournament().to_owned(), desk.clock().desk());
    let memory = desk.court_memory();
    let shown = desk
        .read(move |db| price(db, &tournament, now, &what, &memory))
        .await?;
    Ok(HttpResponse::Ok().json(shown))
}
