//! Frame models: `/v1/frames`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post, put};
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::insisting::{FrameToKeep, Insisting};
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::frame::FrameRecord;
use crate::craft::roles::Permission;
use crate::desk::reads::frames::{self, Frame};
use crate::desk::reads::from_record;
use crate::desk::{Desk, DeskResult, Thing, keep_frame};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(add).service(one).service(correct);
}

/// A frame model with what the desk knows of it.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "frm_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "sport": "tennis", "name": "Frame One 16x19", "mains": 16, "crosses": 19,
    "tension_range": {"min": "21", "max": "27", "unit": "kg"},
    "pattern": {"known": true, "mains_skip": [{"end": "head", "hole": 7}]}, "source": "measured"
}))]
pub struct FrameView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was recorded.
    pub created_at: DateTime<Utc>,
    /// What is known of it.
    #[serde(flatten)]
    pub record: FrameRecord,
}

impl FrameView {
    fn of(row: &Frame) -> DeskResult<Self> {
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            record: from_record(&row.record)?,
        })
    }
}

/// All frame models, by name.
#[utoipa::path(
    tag = "frames",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All frame models.", body = Page<FrameView>))
)]
#[get("/v1/frames")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeFrames)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, frames::all).await?;
    let items = rows.iter().map(FrameView::of).collect::<DeskResult<_>>()?;
    Ok(Page::<FrameView>::whole(items).answer(&request))
}

/// Records a frame model.
#[utoipa::path(
    tag = "frames",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body(content = FrameToKeep, example = json!({
        "sport": "tennis", "name": "Frame One 16x19", "mains": 16, "crosses": 19,
        "tension_range": {"min": "21", "max": "27", "unit": "kg"}, "source": "maker_sheet"
    })),
    responses((status = 201, description = "It is recorded.", body = FrameView))
)]
#[post("/v1/frames")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_frame::KEEPERS)?;
    door::act_insisting(
        &request,
        &desk,
        &caller,
        body,
        move |tx, new: Insisting<FrameRecord>| {
            let frame = keep_frame::add_frame(tx, &new.said, new.insist.as_deref())?;
            let address = format!("/v1/frames/{}", frame.id);
            door::created(&FrameView::of(&frame)?, address, frame.version)
        },
    )
    .await
}

/// One frame model.
#[utoipa::path(
    tag = "frames",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The frame.", example = "frm_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "What is known of it.", body = FrameView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/frames/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Frame, frames::find).await?;
    door::must_have(&caller, Permission::SeeFrames)?;
    query::none(&request)?;
    unless_known(&request, row.version, &FrameView::of(&row)?)
}

/// Replaces what is known of a frame model.
#[utoipa::path(
    tag = "frames",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The frame.", example = "frm_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(content = FrameToKeep, example = json!({
        "sport": "tennis", "name": "Frame One 16x19", "mains": 16, "crosses": 19,
        "pattern": {"known": true, "loop_end": "throat", "start_cross": 3}, "source": "measured"
    })),
    responses((status = 200, description = "The new version.", body = FrameView))
)]
#[put("/v1/frames/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Frame, frames::find).await?;
    caller.must_be(&keep_frame::KEEPERS)?;
    query::none(&request)?;
    let Insisting { said, insist } = body.read_insisting::<FrameRecord>()?;
    require_match(&request, row.version, &FrameView::of(&row)?)?;
    let answer = desk.write(&caller, move |tx| {
        let frame = keep_frame::correct_frame(tx, &row.id, row.version, &said, insist.as_deref())?;
        door::changed(&FrameView::of(&frame)?, frame.version)
    });
    Ok(door::respond(answer.await?))
}
