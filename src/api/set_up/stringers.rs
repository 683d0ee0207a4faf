//! Stringers: `/v1/stringers`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::conditional::{IfNoneMatchHeader, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::craft::weave_method::WeaveMethod;
use crate::desk::reads::from_record;
use crate::desk::reads::stringers::{self, Stringer};
use crate::desk::records::StringerRecord;
use crate::desk::{Desk, DeskResult, Thing, keep_workshop, shifts};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(add)
        .service(one)
        .service(on)
        .service(off);
}

/// A stringer to add.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": "W1", "pace_factor": 1.1}))]
pub struct NewStringer {
    /// Their name.
    #[schema(max_length = 120)]
    pub name: String,
    /// Time needed relative to the element times; 1.0 until measured.
    #[serde(default = "one_time")]
    #[schema(minimum = 0.3, maximum = 3.0, default = 1.0)]
    pub pace_factor: f64,
    /// Their habit, where frame and owner leave the choice.
    #[serde(default)]
    pub usual_method: Option<WeaveMethod>,
}

fn one_time() -> f64 {
    StringerRecord::default().pace_factor
}

/// A stringer.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "name": "W1", "on_shift": false, "pace_factor": 1.1, "usual_method": null
}))]
pub struct StringerView {
    /// Their id.
    pub id: String,
    /// Their version, as in the `ETag`.
    pub version: i64,
    /// When they were added.
    pub created_at: DateTime<Utc>,
    /// Their name.
    pub name: String,
    /// Whether they are at work.
    pub on_shift: bool,
    /// Time needed relative to the element times.
    pub pace_factor: f64,
    /// Their habit, where frame and owner leave the choice.
    pub usual_method: Option<WeaveMethod>,
}

impl StringerView {
    fn of(row: &Stringer) -> DeskResult<Self> {
        let record: StringerRecord = from_record(&row.record)?;
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            name: row.name.clone(),
            on_shift: row.on_shift,
            pace_factor: record.pace_factor,
            usual_method: record.usual_method,
        })
    }
}

/// All stringers, by name.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All stringers.", body = Page<StringerView>))
)]
#[get("/v1/stringers")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, stringers::all).await?;
    let items = rows.iter().map(StringerView::of).collect::<DeskResult<_>>()?;
    Ok(Page::<StringerView>::whole(items).answer(&request))
}

/// Adds a stringer, off shift.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = NewStringer,
    responses((status = 201, description = "They are added.", body = StringerView))
)]
#[post("/v1/stringers")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_workshop::KEEPERS)?;
    door::act(&request, &desk, &caller, body, move |tx, new: NewStringer| {
        let record = StringerRecord {
            pace_factor: new.pace_factor,
            usual_method: new.usual_method,
        };
        let row = keep_workshop::add_stringer(tx, &new.name, &record)?;
        let address = format!("/v1/stringers/{}", row.id);
        door::created(&StringerView::of(&row)?, address, row.version)
    })
    .await
}

/// One stringer.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The stringer.", example = "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The stringer.", body = StringerView),
        (status = 304, description = "Nothing has changed.")
    )
)]
#[get("/v1/stringers/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Stringer, stringers::find).await?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    unless_known(&request, row.version, &StringerView::of(&row)?)
}

/// Where somebody comes on shift.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"station_id": "stn_01jt3k7q2m8c5v9x4b6n1d0fgh"}))]
pub struct ComingOn {
    /// The station that opens with them; nothing: they are at work without one yet.
    #[serde(default)]
    pub station_id: Option<String>,
}

/// An action that needs nothing to be said.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({}))]
pub struct GoingOff {}

/// Somebody has gone off, and what became of their jobs.
#[derive(Serialize, ToSchema)]
pub struct OffShiftView {
    /// The stringer.
    pub stringer: StringerView,
    /// Jobs that were not begun: they wait for any station again.
    pub returned_job_ids: Vec<String>,
    /// Jobs on their machines: finished or handed over there, never taken away.
    pub staying_job_ids: Vec<String>,
}

/// A stringer comes on shift; the station that is named opens with them.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The stringer.", example = "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = ComingOn,
    responses((status = 200, description = "They are at work.", body = StringerView))
)]
#[post("/v1/stringers/{id}/actions/on")]
pub(crate) async fn on(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Stringer, stringers::find).await?;
    caller.must_be(&shifts::OPENERS)?;
    door::act(&request, &desk, &caller, body, move |tx, coming: ComingOn| {
        let row = shifts::stringer_on(tx, &row.id, coming.station_id.as_deref())?;
        door::changed(&StringerView::of(&row)?, row.version)
    })
    .await
}

/// A stringer goes off shift; every station they work at closes, and what was not begun there waits again.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The stringer.", example = "sgr_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = GoingOff,
    responses((status = 200, description = "They are off.", body = OffShiftView))
)]
#[post("/v1/stringers/{id}/actions/off")]
pub(crate) async fn off(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Stringer, stringers::find).await?;
    caller.must_be(&shifts::OPENERS)?;
    door::act(
        &request,
        &desk,
        &caller,
        body,
        move |tx, GoingOff {}: GoingOff| {
            let off = shifts::stringer_off(tx, &row.id)?;
            let view = OffShiftView {
                stringer: StringerView::of(&off.stringer)?,
                returned_job_ids: off.returned,
                staying_job_ids: off.staying,
            };
            door::changed(&view, off.stringer.version)
        },
    )
    .await
}
