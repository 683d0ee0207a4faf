//! Stringing machines: `/v1/machines`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch, post};
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::insisting::{Insisting, MachineToKeep};
use crate::api::request::json::UnreadJson;
use crate::api::request::merge_patch::UnreadPatch;
use crate::api::request::query;
use crate::craft::machine::MachineFacts;
use crate::craft::roles::Permission;
use crate::desk::correct_machine::correct_machine;
use crate::desk::reads::from_record;
use crate::desk::reads::machines::{self, Machine};
use crate::desk::{Desk, DeskError, DeskResult, Thing, keep_workshop};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(add).service(one).service(correct);
}

/// A machine.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "mch_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "verdict": null, "cleared_until": null, "name": "M1", "clamps": "fixed_swivel", "pull": "constant",
    "units": [{"unit": "kg", "step": "0.1"}]
}))]
pub struct MachineView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// The verdict of its last calibration.
    pub verdict: Option<String>,
    /// Until when it may be used without another one.
    pub cleared_until: Option<DateTime<Utc>>,
    /// What it can hold, pull and show.
    #[serde(flatten)]
    pub facts: MachineFacts,
}

impl MachineView {
    /// The view of a row.
    ///
    /// # Errors
    /// [`DeskError::Storage`] where the record does not read.
    pub(crate) fn of(row: &Machine) -> DeskResult<Self> {
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            verdict: row.verdict.clone(),
            cleared_until: row.cleared_until.map(Into::into),
            facts: facts_of(row)?,
        })
    }
}

/// The facts with the name under which the machine is listed.
fn facts_of(row: &Machine) -> DeskResult<MachineFacts> {
    let mut facts: MachineFacts = from_record(&row.record)?;
    facts.name = Some(row.name.clone());
    Ok(facts)
}

fn name_of(facts: &MachineFacts) -> DeskResult<&str> {
    facts
        .name
        .as_deref()
        .ok_or_else(|| DeskError::member("/name", "missing_member", "Give the name of the machine."))
}

/// All machines, by name.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All machines.", body = Page<MachineView>))
)]
#[get("/v1/machines")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, machines::all).await?;
    let items = rows.iter().map(MachineView::of).collect::<DeskResult<_>>()?;
    Ok(Page::<MachineView>::whole(items).answer(&request))
}

/// Adds a machine.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body(content = MachineToKeep, example = json!({
        "name": "M1", "clamps": "fixed_swivel", "pull": "constant", "units": [{"unit": "kg", "step": "0.1"}]
    })),
    responses((status = 201, description = "It is added.", body = MachineView))
)]
#[post("/v1/machines")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&keep_workshop::KEEPERS)?;
    door::act_insisting(
        &request,
        &desk,
        &caller,
        body,
        move |tx, new: Insisting<MachineFacts>| {
            let row = keep_workshop::add_machine(tx, name_of(&new.said)?, &new.said, new.insist.as_deref())?;
            let address = format!("/v1/machines/{}", row.id);
            door::created(&MachineView::of(&row)?, address, row.version)
        },
    )
    .await
}

/// One machine.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The machine.", body = MachineView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/machines/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    door::must_have(&caller, Permission::SeeMachines)?;
    query::none(&request)?;
    unless_known(&request, row.version, &MachineView::of(&row)?)
}

/// Corrects what is known of a machine.
#[utoipa::path(
    tag = "workshop",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The machine.", example = "mch_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = MachineToKeep, content_type = "application/merge-patch+json",
        example = json!({"starting_clamps": 2, "reach_mm": 180})
    ),
    responses((status = 200, description = "The new version.", body = MachineView))
)]
#[patch("/v1/machines/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Machine, machines::find).await?;
    caller.must_be(&keep_workshop::KEEPERS)?;
    query::none(&request)?;
    let Insisting { said, insist } = body.onto_insisting(&facts_of(&row)?)?;
    require_match(&request, row.version, &MachineView::of(&row)?)?;
    let answer = desk.write(&caller, move |tx| {
        let name = name_of(&said)?;
        let row = correct_machine(tx, &row.id, row.version, name, &said, insist.as_deref())?;
        door::changed(&MachineView::of(&row)?, row.version)
    });
    Ok(door::respond(answer.await?))
}
