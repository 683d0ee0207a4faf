//! Registered devices: `/v1/devices`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, delete, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::access::Access;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::desk::reads::devices::{self, Device};
use crate::desk::reads::from_record;
use crate::desk::register_device::{self, DeviceKind, NewDevice};
use crate::desk::sign_in::fresh_token;
use crate::desk::{Answer, Desk, DeskError, Thing};
use crate::storage::to_record;

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(register).service(revoke);
}

/// A device to register.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": "Tablet at station 1", "kind": "tablet", "station_id": null}))]
pub struct DeviceBody {
    /// How the room calls it.
    #[schema(max_length = 120)]
    pub name: String,
    /// What it is.
    pub kind: DeviceKind,
    /// The station it stays at.
    #[serde(default)]
    pub station_id: Option<String>,
}

/// A registered device.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "dev_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "name": "Tablet at station 1", "kind": "tablet", "station_id": null, "revoked_at": null,
    "token": "q0V5c4n3o2Zl7yP1r6t8u9w0xA-BcDeFgHiJkLmNoPq"
}))]
pub struct DeviceView {
    /// Its id.
    pub id: String,
    /// Its version.
    pub version: i64,
    /// When it was registered.
    pub created_at: DateTime<Utc>,
    /// How the room calls it.
    pub name: String,
    /// What it is.
    #[schema(value_type = DeviceKind)]
    pub kind: String,
    /// The station it stays at.
    pub station_id: Option<String>,
    /// When it was revoked.
    pub revoked_at: Option<DateTime<Utc>>,
    /// What the device keeps to be known by. Told once, by the answer that registers it; a repeat of
    /// that request does not tell it again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub token: Option<String>,
}

impl DeviceView {
    fn of(row: &Device) -> Self {
        Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            name: row.name.clone(),
            kind: row.kind.clone(),
            station_id: row.station_id.clone(),
            revoked_at: row.revoked_at.map(Into::into),
            token: None,
        }
    }
}

/// All devices, revoked ones too, oldest first.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All devices.", body = Page<DeviceView>))
)]
#[get("/v1/devices")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::ManageAccess)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, devices::all).await?;
    Ok(Page::whole(rows.iter().map(DeviceView::of).collect()).answer(&request))
}

/// Registers a device and tells its token, once.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = DeviceBody,
    responses((status = 201, description = "It is registered.", body = DeviceView))
)]
#[post("/v1/devices")]
pub(crate) async fn register(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&register_device::KEEPERS)?;
    query::none(&request)?;
    let once = door::once(&request, body.bytes()?)?;
    let new: DeviceBody = body.read()?;
    let token = fresh_token().map_err(DeskError::from)?;
    let shown = token.clone();
    let answer = desk.write_once(&caller, once, move |tx| {
        let new = NewDevice {
            name: new.name,
            kind: new.kind,
            station_id: new.station_id,
        };
        let row = register_device::register_device(tx, new, &token)?;
        // the kept answer is without the token: secrets are stored as hashes alone
        door::created(
            &DeviceView::of(&row),
            format!("/v1/devices/{}", row.id),
            row.version,
        )
    });
    Ok(door::respond(telling(answer.await?, shown)?))
}

/// Adds the token to the first answer.
fn telling(mut answer: Answer, token: String) -> Result<Answer, DeskError> {
    if !answer.replayed {
        let mut body: Value = from_record(&answer.body)?;
        body["token"] = Value::String(token);
        answer.body = to_record(&body)?;
    }
    Ok(answer)
}

/// Revokes a device: its token is good for nothing and sessions on it end.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The device.", example = "dev_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    responses((status = 204, description = "It is revoked."))
)]
#[delete("/v1/devices/{id}")]
pub(crate) async fn revoke(
    request: HttpRequest,
    desk: Data<Desk>,
    access: Data<Access>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Device, devices::find).await?;
    caller.must_be(&register_device::KEEPERS)?;
    query::none(&request)?;
    let wall = desk.clock().wall();
    let ended = desk
        .write(&caller, move |tx| {
            register_device::revoke_device(tx, &row.id, wall)
        })
        .await?;
    for session in ended {
        access.withdraw_session(&session);
    }
    Ok(HttpResponse::NoContent().finish())
}
