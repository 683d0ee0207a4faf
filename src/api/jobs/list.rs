//! Lists of jobs: `GET /v1/jobs`, and one by its tag code.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get};
use chrono::DateTime;

use super::queries::JobQuery;
use super::view::{self, JobView};
use crate::api::door;
use crate::api::paging::{self, Cursor, Page};
use crate::api::problem::{Code, Fault, Place, Problem, Said, french};
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::craft::tag_code::TagCode;
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::jobs::{self, JobFilter};
use crate::desk::{Caller, Desk, DeskError, Thing};

/// The jobs of the tournament, by receipt.
#[utoipa::path(
    tag = "jobs",
    params(JobQuery),
    responses((status = 200, description = "One page.", body = Page<JobView>)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs")]
pub(crate) async fn list_jobs(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    may_see(&caller)?;
    let asked: JobQuery = query::read(&request)?;
    let (tournament, role, now) = (caller.tournament().to_owned(), caller.role, desk.clock().desk());
    let list = paging::list_name(&request, &tournament);
    let after = asked
        .after
        .as_deref()
        .map(|text| Cursor::decode(text, &list))
        .transpose()?;
    let filter = JobFilter {
        states: asked
            .state
            .map(|states| states.0.iter().map(ToString::to_string).collect()),
        player_id: asked.player_id.map(String::from),
        racket_id: asked.racket_id.map(String::from),
        station_id: asked.station_id.map(String::from),
        batch_id: None,
        due_before: asked.due_before.map(Into::into),
        after: after.and_then(|cursor| {
            DateTime::from_timestamp_micros(cursor.at_us).map(|at| (at.into(), cursor.id))
        }),
    };
    let (limit, wants_count) = (asked.limit, asked.count);
    let (views, count) = desk
        .read(move |db| {
            let rows = jobs::list(db, &tournament, &filter, limit.get() + 1)?;
            let all = JobFilter {
                after: None,
                ..filter
            };
            let count = if wants_count {
                Some(jobs::count(db, &tournament, &all)?)
            } else {
                None
            };
            let sheets = JobSheet::for_jobs(db, &tournament, rows)?;
            let views = sheets
                .iter()
                .map(|sheet| view::of(db, sheet, role, now))
                .collect::<Result<Vec<_>, _>>()?;
            Ok((views, count))
        })
        .await?;
    let place = |job: &JobView| Cursor {
        at_us: job.received_at.timestamp_micros(),
        id: job.id.clone(),
    };
    let mut page = Page::cut(views, limit, &list, place);
    page.count = count;
    Ok(page.answer(&request))
}

/// The job with this tag code; lower case, spaces and `O` for `0` are taken.
#[utoipa::path(
    tag = "jobs",
    params(("code" = String, Path, description = "The code on the tag.", example = "K7M4G")),
    responses((status = 200, description = "The job.", body = JobView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/jobs/by-code/{code}")]
pub(crate) async fn by_code(
    request: HttpRequest,
    desk: Data<Desk>,
    code: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    may_see(&caller)?;
    query::none(&request)?;
    let code = read_code(&code)?;
    let (tournament, role, now) = (caller.tournament().to_owned(), caller.role, desk.clock().desk());
    let shown = desk
        .read(move |db| {
            let job =
                jobs::by_code(db, &tournament, code.as_str())?.ok_or(DeskError::NotFound(Thing::Job))?;
            let sheet = JobSheet::of(db, &tournament, &job.id)?;
            view::of(db, &sheet, role, now)
        })
        .await?;
    crate::api::conditional::unless_known(&request, shown.version, &shown)
}

/// Refuses a misread code as such: "check the code", not "not found".
///
/// # Errors
/// 422 `check_the_code`.
pub(crate) fn read_code(typed: &str) -> Result<TagCode, Problem> {
    TagCode::parse(typed).map_err(|fault| {
        let said = fault.to_string();
        let french = french(&said).unwrap_or_else(|| Code::CheckTheCode.entry().explanation[1].to_owned());
        Problem::new(Code::CheckTheCode).fault(Fault::at(
            Place::Query("code".to_owned()),
            fault.code(),
            Said::new(said, french),
        ))
    })
}

/// Refuses roles that do not see all jobs.
///
/// # Errors
/// 403.
pub(crate) fn may_see(caller: &Caller) -> Result<(), Problem> {
    door::must_have(caller, Permission::SeeJobTimes)
}
