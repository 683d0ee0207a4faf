//! The order of play of a day: read, compare, replace; and what happens on its courts.
use actix_web::http::{StatusCode, header};
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, post, put};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::day;
use super::view::{Effect, MatchView, MovedJob};
use crate::api::conditional::{self, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::media::accepts;
use crate::api::request::{query, text::UnreadText};
use crate::craft::match_times::venue_time::at_minute;
use crate::craft::roles::Permission;
use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::court_times::change_order::{Applied, put_order};
use crate::desk::court_times::preview::preview_order;
use crate::desk::court_times::take_events::{self, Taken};
use crate::desk::court_times::warm_lengths;
use crate::desk::{Caller, Desk, DeskError, Thing};
use crate::forms::order_of_play::{self, CalendarTimes};

/// The media types of an order of play.
const FORMS: [&str; 3] = ["application/json", "text/csv", "text/calendar"];
/// The media types of events.
const LINES: [&str; 3] = ["application/x-ndjson", "application/json", "text/plain"];

/// How a change that makes many jobs late is confirmed.
#[derive(Debug, Default, Deserialize, utoipa::IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ConfirmQuery {
    /// Yes, many jobs become late at once.
    pub confirm: bool,
}

/// The board of a day.
async fn found(desk: &Desk, caller: &Caller, day: String) -> Result<DayBoard, Problem> {
    let (tournament, now, memory) = (
        caller.tournament().to_owned(),
        desk.clock().desk(),
        desk.court_memory(),
    );
    let board = desk.read(move |db| {
        board::board(db, &tournament, &day, now, &memory)?.ok_or(DeskError::NotFound(Thing::OrderOfPlay))
    });
    Ok(board.await?)
}

/// The order of play of a day, with all moves in it. `Accept` chooses JSON, CSV or iCalendar.
#[utoipa::path(
    tag = "courts",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The order of play.", content(
            (serde_json::Value = "application/json"), (String = "text/csv"), (String = "text/calendar"))),
        (status = 304, description = "It has not changed.")
    ),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/order-of-play/{date}")]
pub(crate) async fn one_order(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let day = day(&date)?;
    let board = found(&desk, &caller, day.to_string()).await?;
    door::must_have(&caller, Permission::SeeMatches)?;
    query::none(&request)?;
    let order = &board.plan.order;
    let text = if accepts(request.headers(), "application/json") {
        return unless_known(&request, board.version, &order_of_play::json(order));
    } else if accepts(request.headers(), "text/csv") {
        ("text/csv; charset=utf-8", order_of_play::csv(order))
    } else {
        (
            "text/calendar; charset=utf-8",
            calendar(&board, desk.clock().desk()),
        )
    };
    Ok(HttpResponse::Ok()
        .content_type(text.0)
        .insert_header((header::ETAG, conditional::etag(board.version).to_string()))
        .body(text.1))
}

fn calendar(board: &DayBoard, now: DateTime<Utc>) -> String {
    let times: Vec<CalendarTimes> = board
        .times
        .iter()
        .map(|times| {
            let start = times.walk_on.quantile(0.5);
            CalendarTimes {
                start: at_minute(start),
                takes_min: (times.last_point.quantile(0.5) - start).max(0),
            }
        })
        .collect();
    order_of_play::calendar(&board.plan.order, &times, now)
}

/// An order of play that was taken in.
#[derive(Debug, Serialize, ToSchema)]
pub struct AppliedView {
    /// What changed.
    pub effect: Effect,
    /// The matches as they stand now.
    pub matches: Vec<MatchView>,
}

fn applied(applied: Applied) -> Result<crate::desk::Answer, DeskError> {
    let version = applied.board.version;
    let status = if applied.created {
        StatusCode::CREATED
    } else {
        StatusCode::OK
    };
    let matches = applied
        .board
        .rows
        .iter()
        .map(|row| MatchView::of(&applied.board, row))
        .collect();
    let view = AppliedView {
        effect: Effect::of(applied.difference, applied.moved, &applied.remarks),
        matches,
    };
    Ok(door::versioned(door::json(status, &view)?, version))
}

/// Takes the order of play of a day in, whole: JSON, CSV or iCalendar. The same order again changes nothing.
///
/// Every fault is listed with line and column. `If-Match` is needed once the day has an order of play.
#[utoipa::path(
    tag = "courts",
    params(
        ("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), ConfirmQuery,
        ("If-Match" = Option<String>, Header, description = "The `ETag` of the order of play it was made from.", example = "\"3\"")
    ),
    request_body(content((serde_json::Value = "application/json"), (String = "text/csv"), (String = "text/calendar"))),
    responses(
        (status = 200, description = "Taken in.", body = AppliedView),
        (status = 201, description = "Taken in; the day had none before.", body = AppliedView)
    ),
    security(("bearer" = []), ("session" = []))
)]
#[put("/v1/order-of-play/{date}")]
pub(crate) async fn put_order_of_play(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
    body: UnreadText,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let day = day(&date)?;
    door::must_have(&caller, Permission::ChangeMatches)?;
    let asked: ConfirmQuery = query::read(&request)?;
    let text = body.read(&request, &FORMS)?;
    let known = match found(&desk, &caller, day.to_string()).await {
        Ok(board) => {
            require_match(&request, board.version, &order_of_play::json(&board.plan.order))?;
            Some(board.version)
        }
        Err(_) => None,
    };
    let memory = desk.court_memory();
    warm(&desk, &caller, &text).await?;
    let answer = desk.write(&caller, move |tx| {
        applied(put_order(tx, day, &text, known, asked.confirm, &memory)?)
    });
    Ok(door::respond(answer.await?))
}

/// Compares an order of play with the one that stands, and names the jobs it would move. Nothing changes.
#[utoipa::path(
    tag = "courts",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02")),
    request_body(content((serde_json::Value = "application/json"), (String = "text/csv"), (String = "text/calendar"))),
    responses((status = 200, description = "What would change.", body = Effect)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/order-of-play/{date}/preview")]
pub(crate) async fn preview_order_of_play(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
    body: UnreadText,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let day = day(&date)?;
    door::must_have(&caller, Permission::ChangeMatches)?;
    query::none(&request)?;
    let text = body.read(&request, &FORMS)?;
    let memory = desk.court_memory();
    warm(&desk, &caller, &text).await?;
    let preview = desk
        .write(&caller, move |tx| preview_order(tx, day, &text, &memory))
        .await?;
    Ok(HttpResponse::Ok().json(Effect::of(preview.difference, preview.moved, &preview.remarks)))
}

/// Lengths of matches that a text brings in are computed before anybody waits for them.
async fn warm(desk: &Desk, caller: &Caller, text: &str) -> Result<(), Problem> {
    let (tournament, text, memory) = (
        caller.tournament().to_owned(),
        text.to_owned(),
        desk.court_memory(),
    );
    let warmed = desk.read(move |db| warm_lengths::of_text(db, &tournament, &text, &memory));
    Ok(warmed.await?)
}

/// Events that were taken in.
#[derive(Debug, Serialize, ToSchema)]
pub struct TakenView {
    /// How many were new.
    pub taken: usize,
    /// How many had been taken before, by source and number.
    pub repeated: usize,
    /// What was accepted and is worth a word.
    pub remarks: Vec<String>,
    /// The jobs whose ready-by moved.
    pub jobs: Vec<MovedJob>,
    /// The matches as they stand now.
    pub matches: Vec<MatchView>,
}

impl TakenView {
    /// What taking events in did.
    #[must_use]
    pub fn of(taken: Taken) -> Self {
        let remarks = taken
            .remarks
            .iter()
            .map(|(line, remark, detail)| format!("line {line}: {detail} ({remark})"));
        Self {
            taken: taken.taken,
            repeated: taken.repeated,
            remarks: remarks.collect(),
            jobs: taken.moved.into_iter().map(MovedJob::from).collect(),
            matches: taken
                .board
                .rows
                .iter()
                .map(|row| MatchView::of(&taken.board, row))
                .collect(),
        }
    }
}

/// Takes in what happened on the courts: JSON lines, each with its source and number. All lines or none.
///
/// Lines may come late, twice or out of order: source and number are their key, `at` is when they happened.
#[utoipa::path(
    tag = "courts",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), ConfirmQuery, IdempotencyHeader),
    request_body(content((String = "application/x-ndjson", example = json!(
        "{\"src\":\"referee\",\"n\":42,\"at\":\"2026-05-02T09:09:00Z\",\"match\":\"M11\",\"type\":\"started\",\"server\":1}")))),
    responses((status = 200, description = "Taken in.", body = TakenView)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/order-of-play/{date}/events")]
pub(crate) async fn take_court_events(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
    body: UnreadText,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let day = day(&date)?;
    door::must_have(&caller, Permission::ChangeMatches)?;
    let asked: ConfirmQuery = query::read(&request)?;
    let once = door::once(&request, body.bytes()?)?;
    let text = body.read(&request, &LINES)?;
    let memory = desk.court_memory();
    let answer = desk.write_once(&caller, once, move |tx| {
        let taken = take_events::take_events(tx, day, &text, asked.confirm, &memory)?;
        door::json(StatusCode::OK, &TakenView::of(taken))
    });
    Ok(door::respond(answer.await?))
}
