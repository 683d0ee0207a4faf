//! Wishes as spoken over the counter: `POST /v1/rackets/{id}/wishes`, which stores nothing.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, post};
use serde::Deserialize;
use utoipa::ToSchema;

use crate::api::door;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::wishes::WishAnswer;
use crate::desk::hear_wish::hear_wish;
use crate::desk::reads::rackets;
use crate::desk::{Desk, Thing, hand_in};

/// What the player said.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"said": "24/23 kg"}))]
pub struct Said {
    /// The wish in the player's words; mains first.
    pub said: String,
}

/// Makes a spoken wish tensions, and gives the sentence to read back; nothing is stored.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    request_body = Said,
    responses((status = 200, description = "The wish in numbers, or the question to ask.", body = WishAnswer))
)]
#[post("/v1/rackets/{id}/wishes")]
pub(crate) async fn hear(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Racket, rackets::find).await?;
    caller.must_be(&hand_in::CHECK_IN)?;
    query::none(&request)?;
    let given: Said = body.read()?;
    let tournament = caller.tournament().to_owned();
    let answer = desk.read(move |db| hear_wish(db, &tournament, &row.id, &given.said));
    Ok(HttpResponse::Ok().json(answer.await?))
}
