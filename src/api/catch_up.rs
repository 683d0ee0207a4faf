//! Catch Up: what stands on paper, line by line: `/v1/catch-up`.
use actix_web::http::StatusCode;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, post};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::idempotency::IdempotencyHeader;
use super::problem::Problem;
use super::request::{UnreadJson, query};
use crate::desk::Desk;
use crate::desk::catch_up::{Fate, WrittenLine, catch_up};
use crate::desk::hand_in::CHECK_IN;

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(enter);
}

/// A table of lines.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"preview": true, "lines": [
    {"written_at": "2026-05-02T11:05:00Z", "code": "K7M4G", "line": {"what": "strung"}}]}))]
pub struct PaperTable {
    /// 1 to 300 lines, in any order.
    pub lines: Vec<WrittenLine>,
    /// Only checks the lines and tells what would become of them.
    #[serde(default)]
    pub preview: bool,
}

/// What became, or would become, of each line, in the order in which they were sent.
#[derive(Debug, Serialize, ToSchema)]
pub struct CaughtUp {
    /// One for each line.
    pub lines: Vec<LineFate>,
}

/// What became of one line.
#[derive(Debug, Serialize, ToSchema)]
pub struct LineFate {
    /// The job.
    pub job_id: String,
    /// Whether the same line (code, kind and minute) was entered before; then nothing was done.
    pub known: bool,
    /// The job's state after this line; missing for a known one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
}

fn shown(fates: Vec<Fate>) -> CaughtUp {
    let lines = fates.into_iter().filter_map(|fate| match fate {
        Fate::Entered { job_id, state } => Some(LineFate {
            job_id,
            known: false,
            state: Some(state),
        }),
        Fate::Known { job_id } => Some(LineFate {
            job_id,
            known: true,
            state: None,
        }),
        // a table with a faulty line is refused as a whole
        Fate::Faulty(_) => None,
    });
    CaughtUp {
        lines: lines.collect(),
    }
}

/// Enters lines of paper in the order of their written times, all or none; each faulty line says why.
///
/// The log keeps the time of entering as `time`, the written one as `devicetime`, and `on_paper` in its data.
#[utoipa::path(
    tag = "jobs",
    params(IdempotencyHeader),
    request_body = PaperTable,
    responses((status = 200, description = "What became of each line.", body = CaughtUp)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/catch-up")]
pub(crate) async fn enter(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&CHECK_IN)?;
    query::none(&request)?;
    let once = door::once(&request, body.bytes()?)?;
    let table: PaperTable = body.read()?;
    let answer = desk.write_once(&caller, once, move |tx| {
        let fates = if table.preview {
            tx.only_look(|tx| catch_up(tx, &table.lines))?
        } else {
            catch_up(tx, &table.lines)?
        };
        door::json(StatusCode::OK, &shown(fates))
    });
    Ok(door::respond(answer.await?))
}
