//! Where a racket is: `POST /v1/rackets/{id}/custody`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, post};
use serde::Deserialize;
use utoipa::ToSchema;

use super::RacketView;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::desk::carry_racket::{CARRIERS, carry_racket};
use crate::desk::reads::rackets;
use crate::desk::{Desk, Thing};

/// Where a racket is carried.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"place": "shelf:B4"}))]
pub struct CarriedTo {
    /// `desk`, `runner`, `station:<id>` or `shelf:<slot>`.
    pub place: String,
}

/// Writes down where a racket is now.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = CarriedTo,
    responses((status = 200, description = "The racket there.", body = RacketView))
)]
#[post("/v1/rackets/{id}/custody")]
pub(crate) async fn carry(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Racket, rackets::find).await?;
    caller.must_be(&CARRIERS)?;
    door::act(&request, &desk, &caller, body, move |tx, given: CarriedTo| {
        let row = carry_racket(tx, &row.id, &given.place)?;
        door::changed(&RacketView::of(&row)?, row.version)
    })
    .await
}
