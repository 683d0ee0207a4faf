//! Calibrations of a machine, and what is done about one that is not cleared: `/v1/machines/{id}/…`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::jobs::evidence::NoEvidence;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::api::set_up::machines::MachineView;
use crate::craft::calibration::CalibrationReading;
use crate::craft::ids::JobId;
use crate::craft::roles::{Permission, Role};
use crate::craft::tension::TensionUnit;
use crate::desk::calibrate::{self as calibrating, CalibrateMachine, CalibrationRecord};
use crate::desk::reads::machines;
use crate::desk::{Desk, Thing};

/// How many of a machine's calibrations are listed.
const NEWEST: i64 = 50;

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(list)
        .service(calibrate)
        .service(adjusted)
        .service(allow_job);
}

/// Readings at a machine after its warm-up.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({
    "unit": "kg", "adjusted": false,
    "readings": [
        {"nominal": 22.0, "measured": 21.9}, {"nominal": 24.0, "measured": 23.9}, {"nominal": 26.0, "measured": 25.8}
    ]
}))]
pub struct Readings {
    /// What the machine was set to and what the calibrator showed; at least 3.
    #[schema(min_items = 3, max_items = 200)]
    pub readings: Vec<CalibrationReading>,
    /// The unit of all of them.
    pub unit: TensionUnit,
    /// Whether the machine was adjusted first.
    #[serde(default)]
    pub adjusted: bool,
}

/// A calibration.
#[derive(Serialize, ToSchema)]
pub struct CalibrationView {
    /// Its id.
    pub id: String,
    /// Of which machine.
    pub machine_id: String,
    /// When it was done.
    pub at: DateTime<Utc>,
    /// Who did it.
    pub account_id: Option<String>,
    /// Readings and judgement.
    #[serde(flatten)]
    pub record: CalibrationRecord,
}

/// The newest calibrations of a machine, newest first.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    responses((status = 200, description = "Up to 50 calibrations.", body = Page<CalibrationView>))
)]
#[get("/v1/machines/{id}/calibrations")]
pub(crate) async fn list(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    let tournament = caller.tournament().to_owned();
    let rows = desk.read(move |db| calibrating::calibrations(db, &tournament, &row.id, NEWEST));
    let items = rows.await?.into_iter().map(|(row, record)| CalibrationView {
        id: row.id,
        machine_id: row.machine_id,
        at: row.at.utc(),
        account_id: row.account_id,
        record,
    });
    Ok(Page::whole(items.collect()).answer(&request))
}

/// Judges readings at a machine: it is cleared for the business day, or not.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = Readings,
    responses((status = 201, description = "How they were judged.", body = CalibrationView))
)]
#[post("/v1/machines/{id}/calibrations")]
pub(crate) async fn calibrate(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    door::must_have(&caller, Permission::Calibrate)?;
    door::act(&request, &desk, &caller, body, move |tx, new: Readings| {
        let asked = CalibrateMachine {
            readings: new.readings,
            unit: new.unit,
            adjusted: new.adjusted,
        };
        let done = calibrating::calibrate_machine(tx, &row.id, asked)?;
        let view = CalibrationView {
            id: done.row.id,
            machine_id: done.row.machine_id,
            at: done.row.at.utc(),
            account_id: done.row.account_id,
            record: done.record,
        };
        let address = format!("/v1/machines/{}/calibrations", view.machine_id);
        Ok(door::at(
            door::json(actix_web::http::StatusCode::CREATED, &view)?,
            address,
        ))
    })
    .await
}

/// The machine was adjusted, moved or knocked: its correction and its clearance are gone.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = NoEvidence,
    responses((status = 200, description = "The machine, not cleared.", body = MachineView))
)]
#[post("/v1/machines/{id}/actions/adjusted")]
pub(crate) async fn adjusted(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    door::must_have(&caller, Permission::Calibrate)?;
    door::act(&request, &desk, &caller, body, move |tx, _none: NoEvidence| {
        let row = calibrating::adjust_machine(tx, &row.id)?;
        door::changed(&MachineView::of(&row)?, row.version)
    })
    .await
}

/// Which job a machine that is not cleared may do all the same.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"job_id": "job_01jt3k7q2m8c5v9x4b6n1d0fgh", "reason": "on court in 20 minutes; checked after it"}))]
pub struct AllowedJob {
    /// The job: it waits or has its place at a station.
    pub job_id: JobId,
    /// Why, 1 to 120 characters; kept with the coordinator's name.
    pub reason: String,
}

/// A coordinator lets one job start at a machine that is not cleared; it is checked after it.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body = AllowedJob,
    responses((status = 200, description = "The machine; the job may start.", body = MachineView))
)]
#[post("/v1/machines/{id}/actions/allow_job")]
pub(crate) async fn allow_job(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    caller.must_be(&[Role::Coordinator])?;
    door::act(&request, &desk, &caller, body, move |tx, given: AllowedJob| {
        calibrating::allow_job(tx, &row.id, given.job_id.as_str(), &given.reason)?;
        door::changed(&MachineView::of(&row)?, row.version)
    })
    .await
}
