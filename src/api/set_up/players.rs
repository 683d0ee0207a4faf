//! Players: `/v1/players`.
mod wire;

use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch, post};
use serde::Deserialize;
use utoipa_actix_web::service_config::ServiceConfig;

pub use self::wire::{PlayerBody, PlayerLink, PlayerName, PlayerView};
use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::{Cursor, Limit, Page, list_name};
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::merge_patch::UnreadPatch;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::craft::search_key::search_key;
use crate::desk::reads::players;
use crate::desk::{Desk, DeskError, DeskResult, Thing, register_player};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(add)
        .service(one)
        .service(correct)
        .service(link);
}

/// Which players to list.
#[derive(Debug, Deserialize, utoipa::IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct Search {
    /// Any part of the name, in any script, with or without marks.
    #[serde(default)]
    #[param(example = "mithal")]
    pub q: String,
    /// How many at most.
    #[serde(default)]
    #[param(value_type = Option<u16>, minimum = 1, maximum = 200)]
    pub limit: Limit,
    /// Where the page before ended.
    #[param(example = "b3BhcXVl")]
    pub after: Option<String>,
}

/// Players by name, or those whose name contains what was typed.
#[utoipa::path(
    tag = "players",
    security(("bearer" = []), ("session" = [])),
    params(Search),
    responses((status = 200, description = "A page of players.", body = Page<PlayerView>))
)]
#[get("/v1/players")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeJobTimes)?;
    let search: Search = query::read(&request)?;
    let tournament = caller.tournament().to_owned();
    let name = list_name(&request, &tournament);
    let after = search
        .after
        .map(|text| Cursor::decode(&text, &name))
        .transpose()?;
    let (key, limit) = (search_key(&search.q), search.limit);
    let rows = desk.read(move |db| {
        let after = match after {
            // a player who is gone meanwhile would have stood nowhere: start again
            Some(cursor) => players::find(db, &tournament, &cursor.id)?.map(|row| (row.search_key, row.id)),
            None => None,
        };
        Ok::<_, DeskError>(players::page(db, &tournament, &key, after, limit.get() + 1)?)
    });
    let items = rows
        .await?
        .iter()
        .map(|row| PlayerView::of(row, caller.role))
        .collect::<DeskResult<Vec<_>>>()?;
    let place = |player: &PlayerView| Cursor {
        at_us: 0,
        id: player.id.clone(),
    };
    Ok(Page::cut(items, limit, &name, place).answer(&request))
}

/// Registers a player and makes their private link.
#[utoipa::path(
    tag = "players",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = PlayerBody,
    responses((status = 201, description = "They are registered.", body = PlayerView))
)]
#[post("/v1/players")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&register_player::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: PlayerBody| {
        let row = register_player::register_player(tx, new.into_facts())?;
        let address = format!("/v1/players/{}", row.id);
        door::created(&PlayerView::of(&row, tx.caller.role)?, address, row.version)
    })
    .await
}

/// One player.
#[utoipa::path(
    tag = "players",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The player.", example = "ply_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The player.", body = PlayerView),
        (status = 304, description = "Nothing has changed.")
    )
)]
#[get("/v1/players/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Player, players::find).await?;
    door::must_have(&caller, Permission::SeeJobTimes)?;
    query::none(&request)?;
    unless_known(&request, row.version, &PlayerView::of(&row, caller.role)?)
}

/// Corrects what is known of a player.
#[utoipa::path(
    tag = "players",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The player.", example = "ply_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = PlayerBody, content_type = "application/merge-patch+json",
        example = json!({"name": {"latin": "Shili Yi"}, "country": null})
    ),
    responses((status = 200, description = "The new version.", body = PlayerView))
)]
#[patch("/v1/players/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Player, players::find).await?;
    caller.must_be(&register_player::KEEPERS)?;
    query::none(&request)?;
    let wanted = body.onto(&PlayerBody::of(&row)?)?;
    require_match(&request, row.version, &PlayerView::of(&row, caller.role)?)?;
    let answer = desk.write(&caller, move |tx| {
        let row = register_player::correct_player(tx, &row.id, row.version, wanted.into_facts())?;
        door::changed(&PlayerView::of(&row, tx.caller.role)?, row.version)
    });
    Ok(door::respond(answer.await?))
}

/// Makes a new private link for the player; the old one leads nowhere from now on.
#[utoipa::path(
    tag = "players",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The player.", example = "ply_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    responses((status = 200, description = "The link.", body = PlayerLink))
)]
#[post("/v1/players/{id}/link")]
pub(crate) async fn link(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Player, players::find).await?;
    caller.must_be(&register_player::KEEPERS)?;
    query::none(&request)?;
    let once = door::once(&request, b"")?;
    let answer = desk.write_once(&caller, once, move |tx| {
        let row = register_player::renew_link(tx, &row.id)?;
        door::changed(&PlayerLink::of(&row), row.version)
    });
    Ok(door::respond(answer.await?))
}
