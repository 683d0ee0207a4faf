//! Hand-outs: `POST /v1/pickups`, all rackets named or none, and taking one back.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::idempotency::IdempotencyHeader;
use super::jobs::evidence::WithReason;
use super::problem::Problem;
use super::request::{UnreadJson, query};
use crate::access;
use crate::craft::ids::JobId;
use crate::craft::roles::Role;
use crate::desk::hand_out::{self, HandOut, Proof};
use crate::desk::reads::At;
use crate::desk::reads::pickups::{self, Pickup};
use crate::desk::{Desk, Thing};

const GIVERS: [Role; 3] = [Role::Desk, Role::Coordinator, Role::Runner];

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(make).service(read).service(undo);
}

/// Rackets to hand out.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPickup {
    /// The jobs, of one player.
    #[schema(min_items = 1, max_items = 50)]
    pub job_ids: Vec<JobId>,
    /// The scanned tag of each, in the same order.
    pub tags: Vec<String>,
    /// Why they may go.
    pub proof: Proof,
    /// Who takes them.
    #[serde(default)]
    pub collector: Option<String>,
}

/// A hand-out.
#[derive(Debug, Serialize, ToSchema)]
pub struct PickupView {
    /// Its id.
    pub id: String,
    /// When.
    pub at: DateTime<Utc>,
    /// When it was taken back, if it was.
    pub undone_at: Option<DateTime<Utc>>,
}

impl From<&Pickup> for PickupView {
    fn from(row: &Pickup) -> Self {
        Self {
            id: row.id.clone(),
            at: row.at.utc(),
            undone_at: row.undone_at.map(At::utc),
        }
    }
}

/// Hands rackets out against proof.
#[utoipa::path(
    tag = "pickups",
    params(IdempotencyHeader),
    request_body = NewPickup,
    responses((status = 201, description = "Handed out.", body = PickupView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/pickups")]
pub(crate) async fn make(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&GIVERS)?;
    let once = door::once(&request, body.bytes()?)?;
    let new: NewPickup = body.read()?;
    let session = access::caller::identify(&request)?.sid.clone();
    let tries = &access::caller::access(&request)?.tries.pickup_code;
    let by_code = matches!(new.proof, Proof::PhoneCode { .. });
    if by_code {
        tries.take(&session, desk.clock().wall())?;
    }
    let out = HandOut {
        job_ids: new.job_ids.into_iter().map(String::from).collect(),
        tags: new.tags,
        proof: new.proof,
        collector: new.collector,
    };
    let answer = desk
        .write_once(&caller, once, move |tx| {
            let made = hand_out::hand_out(tx, &out)?;
            let answer = door::json(StatusCode::CREATED, &PickupView::from(&made))?;
            Ok(door::at(answer, format!("/v1/pickups/{}", made.id)))
        })
        .await?;
    if by_code {
        tries.clear(&session);
    }
    Ok(door::respond(answer))
}

/// One hand-out.
#[utoipa::path(
    tag = "pickups",
    params(("id" = String, Path, description = "The pickup's id.")),
    responses((status = 200, description = "The hand-out.", body = PickupView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/pickups/{id}")]
pub(crate) async fn read(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Pickup, pickups::find).await?;
    caller.must_be(&GIVERS)?;
    query::none(&request)?;
    Ok(HttpResponse::Ok().json(PickupView::from(&row)))
}

/// Takes a hand-out back within ten minutes.
#[utoipa::path(
    tag = "pickups",
    params(("id" = String, Path, description = "The pickup's id."), IdempotencyHeader),
    request_body = WithReason,
    responses((status = 200, description = "Taken back.", body = PickupView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/pickups/{id}/actions/undo")]
pub(crate) async fn undo(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::found(&desk, &caller, id.clone(), Thing::Pickup, pickups::find).await?;
    caller.must_be(&[Role::Desk, Role::Coordinator])?;
    let id = id.into_inner();
    door::act(&request, &desk, &caller, body, move |tx, given: WithReason| {
        let undone = hand_out::undo_hand_out(tx, &id, &given.reason)?;
        door::json(StatusCode::OK, &PickupView::from(&undone))
    })
    .await
}
