//! String products: `/v1/strings`.
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
use crate::craft::spec::Material;
use crate::desk::correct_string::correct_string;
use crate::desk::reads::from_record;
use crate::desk::reads::strings::{self, StringProduct};
use crate::desk::records::StringRecord;
use crate::desk::{Desk, DeskResult, Thing, keep_stock};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(add).service(one).service(correct);
}

/// A string product to list.
#[derive(Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": "String A", "gauge_mm": "1.25", "material": "polyester"}))]
pub struct NewString {
    /// How the desk calls it.
    #[schema(max_length = 120)]
    pub name: String,
    /// Its diameter in mm, decimal text, 0.4 to 2.0.
    #[serde(default)]
    pub gauge_mm: Option<String>,
    /// What it is made of.
    #[serde(default)]
    pub material: Option<Material>,
}

impl NewString {
    fn record(&self) -> StringRecord {
        StringRecord {
            gauge_mm: self.gauge_mm.clone(),
            material: self.material,
        }
    }
}

/// A string product.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "str_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "name": "String A", "gauge_mm": "1.25", "material": "polyester"
}))]
pub struct StringView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was listed.
    pub created_at: DateTime<Utc>,
    /// How the desk calls it.
    pub name: String,
    /// Its diameter in mm, decimal text.
    pub gauge_mm: Option<String>,
    /// What it is made of.
    pub material: Option<Material>,
}

impl StringView {
    fn of(row: &StringProduct) -> DeskResult<Self> {
        let record: StringRecord = from_record(&row.record)?;
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            name: row.name.clone(),
            gauge_mm: record.gauge_mm,
            material: record.material,
        })
    }
}

/// All string products, by name.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All string products.", body = Page<StringView>))
)]
#[get("/v1/strings")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::Stock)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, strings::all).await?;
    let items = rows.iter().map(StringView::of).collect::<DeskResult<_>>()?;
    Ok(Page::<StringView>::whole(items).answer(&request))
}

/// Lists a string product.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = NewString,
    responses((status = 201, description = "It is listed.", body = StringView))
)]
#[post("/v1/strings")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_stock::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: NewString| {
        let row = keep_stock::add_string(tx, &new.name, &new.record())?;
        let address = format!("/v1/strings/{}", row.id);
        door::created(&StringView::of(&row)?, address, row.version)
    })
    .await
}

/// One string product.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The string.", example = "str_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The product.", body = StringView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/strings/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(
        &desk,
        &caller,
        id.into_inner(),
        Thing::StringProduct,
        strings::find,
    )
    .await?;
    door::must_have(&caller, Permission::Stock)?;
    query::none(&request)?;
    unless_known(&request, row.version, &StringView::of(&row)?)
}

/// Corrects what is known of a string; jobs that are not begun are planned anew.
#[utoipa::path(
    tag = "stock",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The string.", example = "str_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = NewString, content_type = "application/merge-patch+json", example = json!({"gauge_mm": "1.30"})
    ),
    responses((status = 200, description = "The new version.", body = StringView))
)]
#[patch("/v1/strings/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let id = id.into_inner();
    let row = door::found(&desk, &caller, id, Thing::StringProduct, strings::find).await?;
    caller.must_be(&keep_stock::KEEPERS)?;
    query::none(&request)?;
    let before = StringView::of(&row)?;
    let said = body.onto(&NewString {
        name: before.name.clone(),
        gauge_mm: before.gauge_mm.clone(),
        material: before.material,
    })?;
    require_match(&request, row.version, &before)?;
    let answer = desk.write(&caller, move |tx| {
        let record = said.record();
        let row = correct_string(tx, &row.id, row.version, &said.name, &record)?;
        door::changed(&StringView::of(&row)?, row.version)
    });
    Ok(door::respond(answer.await?))
}
