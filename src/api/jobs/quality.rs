//! Checks and readings of a strung racket.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, post};
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use super::one::seen;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::UnreadJson;
use crate::craft::roles::Role;
use crate::desk::Desk;
use crate::desk::check_racket::{self, Points, ReadingTaken};

const CHECKERS: [Role; 3] = [Role::Stringer, Role::Desk, Role::Coordinator];

/// A recorded check.
#[derive(Debug, Serialize, ToSchema)]
pub struct CheckView {
    /// Its id.
    pub id: String,
    /// Whether all three points are good.
    pub good: bool,
    /// When it was made.
    pub at: DateTime<Utc>,
}

/// Records the three points that a person looked at.
#[utoipa::path(
    tag = "quality",
    params(("id" = String, Path, description = "The job's id."), IdempotencyHeader),
    request_body = Points,
    responses((status = 201, description = "Recorded.", body = CheckView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/{id}/checks")]
pub(crate) async fn record_check(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    seen(&desk, &caller, &id).await?;
    caller.must_be(&CHECKERS)?;
    let id = id.into_inner();
    door::act(&request, &desk, &caller, body, move |tx, points: Points| {
        let check = check_racket::record_check(tx, &id, points)?;
        let shown = CheckView {
            id: check.id,
            good: check.passed == Some(true),
            at: check.at.utc(),
        };
        door::json(StatusCode::CREATED, &shown)
    })
    .await
}

/// A stored reading.
#[derive(Debug, Serialize, ToSchema)]
pub struct ReadingView {
    /// Its id.
    pub id: String,
    /// When it was taken.
    pub at: DateTime<Utc>,
}

/// Stores a stringbed reading; it is only ever compared with this racket's own.
#[utoipa::path(
    tag = "quality",
    params(("id" = String, Path, description = "The job's id."), IdempotencyHeader),
    request_body = ReadingTaken,
    responses((status = 201, description = "Stored.", body = ReadingView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/{id}/readings")]
pub(crate) async fn take_reading(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    seen(&desk, &caller, &id).await?;
    caller.must_be(&CHECKERS)?;
    let id = id.into_inner();
    door::act(
        &request,
        &desk,
        &caller,
        body,
        move |tx, reading: ReadingTaken| {
            let stored = check_racket::take_reading(tx, &id, &reading)?;
            door::json(
                StatusCode::CREATED,
                &ReadingView {
                    id: stored.id,
                    at: stored.at.utc(),
                },
            )
        },
    )
    .await
}
