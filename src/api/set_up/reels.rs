//! Pieces of string that lie here (reels, sets, half sets, offcuts): `/v1/reels`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::merge_patch::UnreadPatch;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::craft::string_plan::request::StockKind;
use crate::desk::keep_stock::{self, NewPiece};
use crate::desk::reads::pieces::{self, StockPiece};
use crate::desk::reads::strings;
use crate::desk::{Desk, Thing};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(add)
        .service(one)
        .service(count)
        .service(stock);
}

/// A piece of string to book in.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"string_id": "str_01jt3k7q2m8c5v9x4b6n1d0fgh", "kind": "reel_remainder", "length_mm": 200_000}))]
pub struct NewReel {
    /// Of which string.
    pub string_id: String,
    /// Whose it is; the desk's when not given.
    #[serde(default)]
    pub owner_player_id: Option<String>,
    /// Its label, if it carries one.
    #[serde(default)]
    pub label_code: Option<String>,
    /// What it is.
    pub kind: StockKind,
    /// Its length, mm.
    #[schema(minimum = 1, maximum = 1_000_000)]
    pub length_mm: i64,
}

/// What is left of a piece, as measured.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"remaining_mm": 183_400, "reason": "counted in the evening"}))]
pub struct Count {
    /// What is left, mm; 0 closes the piece.
    #[schema(minimum = 0, maximum = 1_000_000)]
    pub remaining_mm: i64,
    /// Why it is corrected; more than was ever on the piece says so.
    #[serde(default)]
    pub reason: String,
}

/// A piece of string.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "stk_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "string_id": "str_01jt3k7q2m8c5v9x4b6n1d0fgh", "owner_player_id": null, "label_code": null,
    "kind": "reel_remainder", "nominal_mm": 200_000, "remaining_mm": 200_000, "closed_at": null
}))]
pub struct ReelView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was booked in.
    pub created_at: DateTime<Utc>,
    /// Of which string.
    pub string_id: String,
    /// Whose it is; `null`: the desk's.
    pub owner_player_id: Option<String>,
    /// Its label.
    pub label_code: Option<String>,
    /// What it is.
    #[schema(value_type = StockKind)]
    pub kind: Option<StockKind>,
    /// Its length when it came, mm.
    pub nominal_mm: i64,
    /// What is left, mm.
    pub remaining_mm: i64,
    /// When it was used up.
    pub closed_at: Option<DateTime<Utc>>,
}

impl ReelView {
    fn of(row: &StockPiece) -> Self {
        const KINDS: [StockKind; 4] = [
            StockKind::Set,
            StockKind::HalfSet,
            StockKind::Offcut,
            StockKind::ReelRemainder,
        ];
        Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            string_id: row.string_id.clone(),
            owner_player_id: row.owner_player_id.clone(),
            label_code: row.label_code.clone(),
            kind: KINDS
                .into_iter()
                .find(|kind| keep_stock::kind_text(*kind) == row.kind),
            nominal_mm: row.nominal_mm,
            remaining_mm: row.remaining_mm,
            closed_at: row.closed_at.map(Into::into),
        }
    }
}

/// All pieces that are not used up, oldest first.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All open pieces.", body = Page<ReelView>))
)]
#[get("/v1/reels")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::Stock)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, pieces::open).await?;
    Ok(Page::whole(rows.iter().map(ReelView::of).collect()).answer(&request))
}

/// What is left of a string.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({"string_id": "str_01jt3k7q2m8c5v9x4b6n1d0fgh", "name": "String A", "pieces": 3, "remaining_mm": 187_700}))]
pub struct StockView {
    /// Which string.
    pub string_id: String,
    /// Its name.
    pub name: String,
    /// How many pieces of it are not used up.
    pub pieces: usize,
    /// How much there is of them in all, mm.
    pub remaining_mm: i64,
}

/// What is left of each string, by name.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All strings with what is left.", body = Page<StockView>))
)]
#[get("/v1/stock")]
pub(crate) async fn stock(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::Stock)?;
    query::none(&request)?;
    let pieces = door::all(&desk, &caller, pieces::open).await?;
    let listed = door::all(&desk, &caller, strings::all).await?;
    let items = listed.into_iter().map(|string| {
        let own = pieces.iter().filter(|piece| piece.string_id == string.id);
        StockView {
            pieces: own.clone().count(),
            remaining_mm: own.map(|piece| piece.remaining_mm).sum(),
            string_id: string.id,
            name: string.name,
        }
    });
    Ok(Page::whole(items.collect()).answer(&request))
}

/// Books a piece in.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = NewReel,
    responses((status = 201, description = "It is booked in.", body = ReelView))
)]
#[post("/v1/reels")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_stock::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: NewReel| {
        let new = NewPiece {
            string_id: new.string_id,
            owner_player_id: new.owner_player_id,
            label_code: new.label_code,
            kind: new.kind,
            length_mm: new.length_mm,
        };
        let row = keep_stock::receive_piece(tx, new)?;
        let address = format!("/v1/reels/{}", row.id);
        door::created(&ReelView::of(&row), address, row.version)
    })
    .await
}

/// One piece, used up or not.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The piece.", example = "stk_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The piece.", body = ReelView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/reels/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::StockPiece, pieces::find).await?;
    door::must_have(&caller, Permission::Stock)?;
    query::none(&request)?;
    unless_known(&request, row.version, &ReelView::of(&row))
}

/// Corrects what is left of a piece after measuring it.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The piece.", example = "stk_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(content = Count, content_type = "application/merge-patch+json"),
    responses((status = 200, description = "The new version.", body = ReelView))
)]
#[patch("/v1/reels/{id}")]
pub(crate) async fn count(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::StockPiece, pieces::find).await?;
    caller.must_be(&keep_stock::KEEPERS)?;
    query::none(&request)?;
    let count: Count = body.read()?;
    require_match(&request, row.version, &ReelView::of(&row))?;
    let answer = desk.write(&caller, move |tx| {
        let why = Some(count.reason.as_str()).filter(|reason| !reason.trim().is_empty());
        let row = keep_stock::count_piece(tx, &row.id, row.version, count.remaining_mm, &count.reason, why)?;
        door::changed(&ReelView::of(&row), row.version)
    });
    Ok(door::respond(answer.await?))
}
