//! Tag codes for paper: `/v1/codes`.
use actix_web::http::StatusCode;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, post};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::desk::{Desk, DeskError, take_code};

/// The most codes of one request: some sheets of labels.
const MOST: u16 = 500;

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(reserve);
}

/// How many codes are wanted.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"count": 24}))]
pub struct Wanted {
    /// 1 to 500.
    #[schema(minimum = 1, maximum = 500)]
    pub count: u16,
}

/// Codes that nobody else gets.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({"codes": ["K7QX2", "M3TD9"]}))]
pub struct Reserved {
    /// The codes, in no order.
    pub codes: Vec<String>,
}

/// Reserves tag codes for paper that works without power: they can be given to jobs later.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = Wanted,
    responses((status = 201, description = "The codes.", body = Reserved))
)]
#[post("/v1/codes/reserve")]
pub(crate) async fn reserve(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::Intake)?;
    query::none(&request)?;
    let once = door::once(&request, body.bytes()?)?;
    let Wanted { count } = body.read()?;
    if !(1..=MOST).contains(&count) {
        let detail = format!("Ask for 1 to {MOST} codes.");
        return Err(DeskError::member("/count", "out_of_range", detail).into());
    }
    let answer = desk.write_once(&caller, once, move |tx| {
        let codes = take_code::reserve(tx, usize::from(count), Some(&tx.caller.scope()))?;
        door::json(StatusCode::CREATED, &Reserved { codes })
    });
    Ok(door::respond(answer.await?))
}
