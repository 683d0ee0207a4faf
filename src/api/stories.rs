//! Stories from the log: `GET /v1/rackets/{id}/story` and `GET /v1/jobs/{id}/story`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get};
use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::jobs::list::may_see;
use super::paging::Page;
use super::problem::Problem;
use super::request::query;
use crate::desk::story::{self, StoryEntry};
use crate::desk::{Caller, Desk, DeskResult};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(of_racket).service(of_job);
}

/// Something that happened.
#[derive(Debug, Serialize, ToSchema)]
pub struct StoryView {
    /// The log's number of it.
    pub sequence: i64,
    /// What kind.
    #[serde(rename = "type")]
    #[schema(example = "weftdesk.job.started")]
    pub kind: String,
    /// What it happened to.
    pub subject: String,
    /// When, by the desk clock.
    pub at: DateTime<Utc>,
    /// When, by the clock of the device that sent it.
    pub device_at: Option<DateTime<Utc>>,
    /// Who did it; none for the service itself.
    pub account_id: Option<String>,
    /// Their name.
    pub who: Option<String>,
    /// On which device.
    pub device_id: Option<String>,
    /// Ids, states, times and reasons.
    #[schema(value_type = Object)]
    pub data: Value,
}

fn shown(story: StoryEntry) -> StoryView {
    let entry = story.entry;
    StoryView {
        sequence: entry.sequence,
        kind: format!("weftdesk.{}", entry.kind),
        subject: entry.subject,
        at: entry.at,
        device_at: entry.device_at,
        account_id: entry.account_id,
        who: story.who,
        device_id: entry.device_id,
        data: entry.data,
    }
}

/// All that happened to a racket and its jobs, oldest first.
#[utoipa::path(
    tag = "rackets",
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    responses((status = 200, description = "What happened, who did it and when.", body = Page<StoryView>)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/rackets/{id}/story")]
pub(crate) async fn of_racket(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let entries = read(&desk, &caller, id.into_inner(), story::of_racket).await?;
    may_see(&caller)?;
    query::none(&request)?;
    Ok(Page::whole(entries.into_iter().map(shown).collect()).answer(&request))
}

/// All that happened to a job, oldest first.
#[utoipa::path(
    tag = "jobs",
    params(("id" = String, Path, description = "The job's id.")),
    responses((status = 200, description = "What happened, who did it and when.", body = Page<StoryView>)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/{id}/story")]
pub(crate) async fn of_job(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let entries = read(&desk, &caller, id.into_inner(), story::of_job).await?;
    may_see(&caller)?;
    query::none(&request)?;
    Ok(Page::whole(entries.into_iter().map(shown).collect()).answer(&request))
}

type Told = fn(&mut crate::desk::reads::Db, &str, &str) -> DeskResult<Vec<StoryEntry>>;

async fn read(desk: &Desk, caller: &Caller, id: String, told: Told) -> DeskResult<Vec<StoryEntry>> {
    let tournament = caller.tournament().to_owned();
    desk.read(move |db| told(db, &tournament, &id)).await
}
