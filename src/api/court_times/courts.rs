//! Stopping courts and letting them go on.
use actix_web::http::StatusCode;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, post};
use chrono::{DateTime, Utc};
use serde::Deserialize;
use utoipa::ToSchema;

use super::order::TakenView;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::UnreadJson;
use crate::craft::roles::Permission;
use crate::desk::Desk;
use crate::desk::court_times::stop_courts;

/// Courts to stop.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StopCourts {
    /// Which; none or left out: all that are not covered.
    #[serde(default)]
    pub courts: Vec<String>,
    /// Why.
    #[schema(min_length = 1, max_length = 200, example = "rain")]
    pub reason: String,
    /// When the referee expects play to go on.
    #[serde(default)]
    pub expected_resume_at: Option<DateTime<Utc>>,
}

/// Courts to let go on.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RestartCourts {
    /// Which; none or left out: all that are not covered.
    #[serde(default)]
    pub courts: Vec<String>,
    /// From when; left out: now.
    #[serde(default)]
    pub at: Option<DateTime<Utc>>,
}

/// Stops play on courts. Starts that depend on them move; covered courts do not.
#[utoipa::path(
    tag = "courts",
    params(IdempotencyHeader),
    request_body(content = StopCourts, example = json!({"courts": ["C1", "C2"], "reason": "rain", "expected_resume_at": null})),
    responses((status = 200, description = "Stopped.", body = TakenView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/courts/actions/stop")]
pub(crate) async fn stop(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::ChangeMatches)?;
    let memory = desk.court_memory();
    door::act(&request, &desk, &caller, body, move |tx, asked: StopCourts| {
        let taken =
            stop_courts::stop_courts(tx, asked.courts, &asked.reason, asked.expected_resume_at, &memory)?;
        door::json(StatusCode::OK, &TakenView::of(taken))
    })
    .await
}

/// Lets play go on, now or from a time to come.
#[utoipa::path(
    tag = "courts",
    params(IdempotencyHeader),
    request_body(content = RestartCourts, example = json!({"courts": ["C1", "C2"], "at": "2026-05-02T14:00:00Z"})),
    responses((status = 200, description = "They go on.", body = TakenView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/courts/actions/restart")]
pub(crate) async fn restart(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::ChangeMatches)?;
    let memory = desk.court_memory();
    door::act(&request, &desk, &caller, body, move |tx, asked: RestartCourts| {
        let at = asked.at.unwrap_or(tx.now);
        let taken = stop_courts::restart_courts(tx, asked.courts, at, &memory)?;
        door::json(StatusCode::OK, &TakenView::of(taken))
    })
    .await
}
