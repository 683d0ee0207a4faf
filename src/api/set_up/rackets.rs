//! Rackets: `/v1/rackets`.
pub mod custody;
pub mod photos;
mod wire;
pub mod wishes;

use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch, post};
use serde::Deserialize;
use utoipa_actix_web::service_config::ServiceConfig;

pub use self::wire::{RacketBody, RacketView};
use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::{Cursor, Limit, Page, list_name};
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::merge_patch::UnreadPatch;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::desk::reads::rackets;
use crate::desk::{Desk, DeskError, DeskResult, Thing, register_racket};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(add)
        .service(one)
        .service(correct)
        .service(custody::carry)
        .service(wishes::hear)
        .service(photos::of_racket)
        .service(photos::keep)
        .service(photos::one)
        .service(photos::remove);
}

/// Which rackets to list.
#[derive(Debug, Deserialize, utoipa::IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct Filter {
    /// Whose rackets; all when not given.
    #[param(example = "ply_01jt3k7q2m8c5v9x4b6n1d0fgh")]
    pub player_id: Option<String>,
    /// How many at most.
    #[serde(default)]
    #[param(value_type = Option<u16>, minimum = 1, maximum = 200)]
    pub limit: Limit,
    /// Where the page before ended.
    #[param(example = "b3BhcXVl")]
    pub after: Option<String>,
}

/// Rackets, oldest first.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(Filter),
    responses((status = 200, description = "A page of rackets.", body = Page<RacketView>))
)]
#[get("/v1/rackets")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeJobTimes)?;
    let filter: Filter = query::read(&request)?;
    let tournament = caller.tournament().to_owned();
    let name = list_name(&request, &tournament);
    let after = filter
        .after
        .map(|text| Cursor::decode(&text, &name))
        .transpose()?;
    let limit = filter.limit;
    let rows = desk.read(move |db| {
        let after = after.and_then(|cursor| {
            chrono::DateTime::from_timestamp_micros(cursor.at_us).map(|at| (at.into(), cursor.id))
        });
        let player = filter.player_id.as_deref();
        Ok::<_, DeskError>(rackets::page(db, &tournament, player, after, limit.get() + 1)?)
    });
    let items = rows
        .await?
        .iter()
        .map(RacketView::of)
        .collect::<DeskResult<Vec<_>>>()?;
    let place = |racket: &RacketView| Cursor {
        at_us: racket.created_at.timestamp_micros(),
        id: racket.id.clone(),
    };
    Ok(Page::cut(items, limit, &name, place).answer(&request))
}

/// Registers a racket; its owner has it until it is handed in.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = RacketBody,
    responses((status = 201, description = "It is registered.", body = RacketView))
)]
#[post("/v1/rackets")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&register_racket::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: RacketBody| {
        let row = register_racket::register_racket(tx, new.into_facts())?;
        let address = format!("/v1/rackets/{}", row.id);
        door::created(&RacketView::of(&row)?, address, row.version)
    })
    .await
}

/// One racket.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The racket.", body = RacketView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/rackets/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Racket, rackets::find).await?;
    door::must_have(&caller, Permission::SeeJobTimes)?;
    query::none(&request)?;
    unless_known(&request, row.version, &RacketView::of(&row)?)
}

/// Corrects what is known of a racket; it stays where it is.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = RacketBody, content_type = "application/merge-patch+json",
        example = json!({"marks": ["two red dots"], "label_code": null})
    ),
    responses((status = 200, description = "The new version.", body = RacketView))
)]
#[patch("/v1/rackets/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Racket, rackets::find).await?;
    caller.must_be(&register_racket::KEEPERS)?;
    query::none(&request)?;
    let wanted = body.onto(&RacketBody::of(&row)?)?;
    require_match(&request, row.version, &RacketView::of(&row)?)?;
    let answer = desk.write(&caller, move |tx| {
        let row = register_racket::correct_racket(tx, &row.id, row.version, wanted.into_facts())?;
        door::changed(&RacketView::of(&row)?, row.version)
    });
    Ok(door::respond(answer.await?))
}
