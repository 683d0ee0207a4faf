//! Snags: what waits for a person's decision.
use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::idempotency::IdempotencyHeader;
use super::problem::{Code, Problem};
use super::request::{UnreadJson, query};
use crate::craft::roles::Role;
use crate::desk::decide_snag::{self, SnagRecord};
use crate::desk::reads::snags::{self, Snag};
use crate::desk::reads::{At, from_record};
use crate::desk::{Desk, DeskResult, Thing};

const DECIDERS: [Role; 3] = [Role::Desk, Role::Coordinator, Role::Stringer];

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(open_snags).service(decide);
}

/// Something that waits, or waited, for a person.
#[derive(Debug, Serialize, ToSchema)]
pub struct SnagView {
    /// Its id.
    pub id: String,
    /// What kind.
    #[schema(example = "pattern_unknown")]
    pub kind: String,
    /// Which job it is about.
    pub job_id: Option<String>,
    /// What it is about, in words.
    pub what: String,
    /// What can be decided.
    pub choices: Vec<String>,
    /// Since when it waits.
    pub opened_at: DateTime<Utc>,
    /// When it was decided.
    pub decided_at: Option<DateTime<Utc>>,
    /// What was decided.
    pub decision: Option<String>,
}

fn shown(row: &Snag) -> DeskResult<SnagView> {
    let record: SnagRecord = from_record(&row.record)?;
    Ok(SnagView {
        id: row.id.clone(),
        kind: row.kind.clone(),
        job_id: row.job_id.clone(),
        what: record.what,
        choices: record.choices,
        opened_at: row.opened_at.utc(),
        decided_at: row.decided_at.map(At::utc),
        decision: record.decision,
    })
}

#[derive(Debug, Deserialize, utoipa::IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
struct Which {
    /// Only those that wait, which is what is listed; `false` is refused.
    #[param(example = true)]
    open: Option<bool>,
}

/// What waits for a decision, oldest first.
#[utoipa::path(
    tag = "snags",
    params(Which),
    responses((status = 200, description = "All that wait.", body = Vec<SnagView>)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/snags")]
pub(crate) async fn open_snags(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&DECIDERS)?;
    let asked: Which = query::read(&request)?;
    if asked.open == Some(false) {
        return Err(Problem::new(Code::InvalidParameter).detail(
            "Decided snags stand in the story of their racket; only open ones are listed.",
            "Les problèmes tranchés sont dans l’histoire de leur raquette ; seuls les ouverts sont listés.",
        ));
    }
    let tournament = caller.tournament().to_owned();
    let open = desk
        .read(move |db| {
            snags::open(db, &tournament)?
                .iter()
                .map(shown)
                .collect::<DeskResult<Vec<_>>>()
        })
        .await?;
    Ok(HttpResponse::Ok().json(open))
}

/// A decision.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// One of the snag's choices.
    pub choice: String,
    /// In the person's words.
    #[serde(default)]
    pub note: Option<String>,
}

/// Decides a snag; it leaves the list.
#[utoipa::path(
    tag = "snags",
    params(("id" = String, Path, description = "The snag's id."), IdempotencyHeader),
    request_body = Decision,
    responses((status = 200, description = "Decided.", body = SnagView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/snags/{id}/decisions")]
pub(crate) async fn decide(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::found(&desk, &caller, id.clone(), Thing::Snag, snags::find).await?;
    caller.must_be(&DECIDERS)?;
    let id = id.into_inner();
    door::act(&request, &desk, &caller, body, move |tx, decision: Decision| {
        let decided = decide_snag::decide_snag(tx, &id, &decision.choice, decision.note.as_deref())?;
        door::json(StatusCode::OK, &shown(&decided)?)
    })
    .await
}
