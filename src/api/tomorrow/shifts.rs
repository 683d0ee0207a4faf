//! The shifts of a day: `/v1/shifts/{date}`.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, put};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::api::conditional::{IfNoneMatchHeader, require_match, unless_known};
use crate::api::court_times::day;
use crate::api::door;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::roles::Role;
use crate::desk::publish_shifts::{self, PUBLISHERS, Published, Shift, publish_shifts};
use crate::desk::{Caller, Desk, DeskResult, Thing};

const SEERS: [Role; 3] = [Role::Desk, Role::Stringer, Role::Coordinator];

/// Who works on a day.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"shifts": [{"station_id": "stn_01jt3k7q2m8c5v9x4b6n1d0fgh", "stringer_id": null,
    "from": "07:30", "to": "15:30"}]}))]
pub struct NewShifts {
    /// Every shift of the day; none takes them all back.
    pub shifts: Vec<Shift>,
}

/// The shifts of a day.
#[derive(Serialize, ToSchema)]
pub struct ShiftsView {
    /// The day.
    pub day: String,
    /// Grows with each publication.
    pub version: i64,
    /// When they were published.
    pub published_at: DateTime<Utc>,
    /// At how many stations somebody works.
    pub stations: usize,
    /// The shifts, as they were published.
    pub shifts: Vec<Shift>,
}

impl ShiftsView {
    fn of(published: Published) -> Self {
        Self {
            day: published.row.day.clone(),
            version: published.row.version,
            published_at: published.row.published_at.utc(),
            stations: published.stations(),
            shifts: published.shifts,
        }
    }
}

async fn standing(desk: &Desk, caller: &Caller, day: String) -> DeskResult<Option<Published>> {
    let tournament = caller.tournament().to_owned();
    desk.read(move |db| publish_shifts::of_day(db, &tournament, &day))
        .await
}

/// The shifts of a day as they were published last.
#[utoipa::path(
    tag = "schedule",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The shifts.", body = ShiftsView),
        (status = 304, description = "They have not changed.")
    ),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/shifts/{date}")]
pub(crate) async fn shifts(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&SEERS)?;
    query::none(&request)?;
    let day = day(&date)?;
    let published = standing(&desk, &caller, day.to_string()).await?;
    let published = published.ok_or(crate::desk::DeskError::NotFound(Thing::Shifts))?;
    unless_known(&request, published.row.version, &ShiftsView::of(published))
}

/// Publishes the shifts of a day, whole. `If-Match` is needed once the day has shifts.
///
/// They tell people, and how many stations the day is played with; a station opens when its stringer comes on.
#[utoipa::path(
    tag = "schedule",
    params(
        ("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"),
        ("If-Match" = Option<String>, Header, description = "The `ETag` of the shifts it was made from.", example = "\"3\"")
    ),
    request_body = NewShifts,
    responses(
        (status = 200, description = "Published.", body = ShiftsView),
        (status = 201, description = "Published; the day had none before.", body = ShiftsView)
    ),
    security(("bearer" = []), ("session" = []))
)]
#[put("/v1/shifts/{date}")]
pub(crate) async fn publish(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&PUBLISHERS)?;
    query::none(&request)?;
    let day = day(&date)?;
    let asked: NewShifts = body.read()?;
    let read = match standing(&desk, &caller, day.to_string()).await? {
        Some(known) => {
            let version = known.row.version;
            require_match(&request, version, &ShiftsView::of(known))?;
            version
        }
        None => 0,
    };
    let answer = desk.write(&caller, move |tx| {
        let published = publish_shifts(tx, day, asked.shifts, read)?;
        let version = published.row.version;
        let status = if read == 0 {
            StatusCode::CREATED
        } else {
            StatusCode::OK
        };
        Ok(door::versioned(
            door::json(status, &ShiftsView::of(published))?,
            version,
        ))
    });
    Ok(door::respond(answer.await?))
}
