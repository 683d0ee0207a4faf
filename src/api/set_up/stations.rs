//! Stations, a machine with a place to work at: `/v1/stations`.
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
use crate::desk::correct_station::correct_station;
use crate::desk::reads::stations::{self, Station};
use crate::desk::{Desk, Thing, keep_workshop, shifts};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(add)
        .service(one)
        .service(correct)
        .service(open)
        .service(close);
}

/// A station to add.
#[derive(Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": "Station 1", "machine_id": "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"}))]
pub struct NewStation {
    /// How the room calls it.
    #[schema(max_length = 120)]
    pub name: String,
    /// The machine that stands there.
    pub machine_id: String,
}

/// Who works at the station.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"stringer_id": "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh"}))]
pub struct Opening {
    /// The stringer, who comes on shift with it.
    pub stringer_id: String,
}

/// An action that needs nothing to be said.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({}))]
pub struct Closing {}

/// A station.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "stn_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 2, "created_at": "2026-05-02T08:00:00Z",
    "name": "Station 1", "machine_id": "mch_01jt3k7q2m8c5v9x4b6n1d0fgh",
    "stringer_id": "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh", "open": true
}))]
pub struct StationView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// How the room calls it.
    pub name: String,
    /// The machine that stands there.
    pub machine_id: String,
    /// Who works there.
    pub stringer_id: Option<String>,
    /// Whether it gets jobs.
    pub open: bool,
}

impl StationView {
    fn of(row: &Station) -> Self {
        Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            name: row.name.clone(),
            machine_id: row.machine_id.clone(),
            stringer_id: row.stringer_id.clone(),
            open: row.open,
        }
    }
}

/// All stations, by name.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All stations.", body = Page<StationView>))
)]
#[get("/v1/stations")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, stations::all).await?;
    Ok(Page::whole(rows.iter().map(StationView::of).collect()).answer(&request))
}

/// Adds a station on a machine, closed and without a stringer.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = NewStation,
    responses((status = 201, description = "It is added.", body = StationView))
)]
#[post("/v1/stations")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_workshop::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: NewStation| {
        let row = keep_workshop::add_station(tx, &new.name, &new.machine_id)?;
        let address = format!("/v1/stations/{}", row.id);
        door::created(&StationView::of(&row), address, row.version)
    })
    .await
}

/// One station.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The station.", example = "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The station.", body = StationView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/stations/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    unless_known(&request, row.version, &StationView::of(&row))
}

/// Opens a station with a stringer, who comes on shift with it.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The station.", example = "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = Opening,
    responses((status = 200, description = "It is open.", body = StationView))
)]
#[post("/v1/stations/{id}/actions/open")]
pub(crate) async fn open(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    caller.must_be(&shifts::OPENERS)?;
    door::act(&request, &desk, &caller, body, move |tx, opening: Opening| {
        let row = shifts::open_station(tx, &row.id, &opening.stringer_id)?;
        door::changed(&StationView::of(&row), row.version)
    })
    .await
}

/// Closes a station: it gets no more jobs. What it has stays with it until somebody decides.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The station.", example = "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = Closing,
    responses((status = 200, description = "It is closed.", body = StationView))
)]
#[post("/v1/stations/{id}/actions/close")]
pub(crate) async fn close(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    caller.must_be(&shifts::OPENERS)?;
    door::act(&request, &desk, &caller, body, move |tx, Closing {}: Closing| {
        let row = shifts::close_station(tx, &row.id)?.station;
        door::changed(&StationView::of(&row), row.version)
    })
    .await
}

/// Corrects a station's name, or which machine stands there.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The station.", example = "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = NewStation, content_type = "application/merge-patch+json", example = json!({"name": "Station 2"})
    ),
    responses((status = 200, description = "The new version.", body = StationView))
)]
#[patch("/v1/stations/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Station, stations::find).await?;
    caller.must_be(&keep_workshop::KEEPERS)?;
    query::none(&request)?;
    let before = NewStation {
        name: row.name.clone(),
        machine_id: row.machine_id.clone(),
    };
    let said = body.onto(&before)?;
    require_match(&request, row.version, &StationView::of(&row))?;
    let answer = desk.write(&caller, move |tx| {
        let row = correct_station(tx, &row.id, row.version, &said.name, &said.machine_id)?;
        door::changed(&StationView::of(&row), row.version)
    });
    Ok(door::respond(answer.await?))
}
