//! The log for other systems and screens: pulled in pieces or as a live stream.
use actix_web::{HttpRequest, HttpResponse, get, web};
use futures_util::StreamExt;
use futures_util::stream;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::paging::Limit;
use super::problem::Problem;
use super::request::query::{self, CommaList};
use super::stream::{LogEvent, LogItem, Topic, Topics, answer, resume_after};
use crate::access::{Identity, caller, stream_ticket};
use crate::desk::Desk;
use crate::desk::log::{LogEntry, entries_after, newest};
use crate::live::stopping::Stopping;
use crate::live::{envelope, follow};

/// The routes of this file.
pub(super) fn configure(config: &mut ServiceConfig<'_>) {
    config.service(pull_events).service(live_stream);
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PullQuery {
    after: Option<u32>,
    #[serde(default)]
    limit: Limit,
    topics: Option<CommaList<Topic>>,
}

/// A piece of the log.
#[derive(Debug, Serialize, ToSchema)]
pub struct EventPage {
    /// Events (`CloudEvents` 1.0, structured), in order; fewer than `limit` where topics were left out.
    #[schema(value_type = Vec<Object>)]
    pub items: Vec<Value>,
    /// Pass it as `after` to go on.
    #[schema(example = 42)]
    pub after: i64,
    /// The number of the newest event; when it equals `after`, all was read.
    #[schema(example = 42)]
    pub newest: i64,
}

/// Reads events after a log number. Numbers are gap-free per tournament.
#[utoipa::path(
    tag = "events",
    params(
        ("after" = Option<u32>, Query, description = "The log number after which to read; 0 when absent."),
        ("limit" = Option<u8>, Query, description = "At most so many log entries are read, 1 to 200; 50 when absent."),
        ("topics" = Option<String>, Query, description = "Kinds of things, separated by commas.", example = "jobs,rackets"),
    ),
    responses((status = 200, description = "Events, oldest first.", body = EventPage)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/events")]
pub(crate) async fn pull_events(
    request: HttpRequest,
    desk: web::Data<Desk>,
) -> Result<HttpResponse, Problem> {
    let caller = caller::identify(&request)?;
    let asked: PullQuery = query::read(&request)?;
    let after = i64::from(asked.after.unwrap_or(0));
    let tournament = caller.tid.clone();
    let (entries, newest) = desk
        .read(move |db| {
            let entries = entries_after(db, &tournament, after, asked.limit.get())?;
            Ok((entries, newest(db, &tournament)?))
        })
        .await?;
    let topics = topics(asked.topics);
    let read_to = entries.last().map_or(after, |entry| entry.sequence);
    let items = entries
        .iter()
        .filter(|entry| topics.include(&entry.kind))
        .map(|entry| envelope::of(entry, &caller.tid))
        .collect();
    Ok(HttpResponse::Ok().json(EventPage {
        items,
        after: read_to,
        newest,
    }))
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct StreamQuery {
    after: Option<u32>,
    topics: Option<CommaList<Topic>>,
    ticket: Option<String>,
}

/// Sends events as they happen (server-sent events); `id` is the log number.
///
/// Goes on after `Last-Event-ID` or `after`, else from now. An event named
/// `resync` says that the log does not reach that far: read the state anew.
/// The stream ends when its session ends.
#[utoipa::path(
    tag = "events",
    params(
        ("after" = Option<u32>, Query, description = "The log number after which to go on."),
        ("topics" = Option<String>, Query, description = "Kinds of things, separated by commas.", example = "jobs"),
        ("ticket" = Option<String>, Query, description = "A one-use ticket of `POST /v1/stream-tickets`."),
        ("Last-Event-ID" = Option<u32>, Header, description = "As browsers send it when they reconnect."),
    ),
    responses((status = 200, description = "The stream.", content_type = "text/event-stream", body = String)),
    security(("bearer" = []), ("session" = []), ("stream_ticket" = []))
)]
#[get("/v1/stream")]
pub(crate) async fn live_stream(
    request: HttpRequest,
    desk: web::Data<Desk>,
    stopping: web::Data<Stopping>,
) -> Result<HttpResponse, Problem> {
    let asked: StreamQuery = match query::read(&request) {
        Ok(asked) => asked,
        // who is not known learns that first
        Err(unreadable) => return Err(caller::identify(&request).err().map_or(unreadable, Problem::from)),
    };
    let who: Identity = match &asked.ticket {
        Some(ticket) => stream_ticket::redeem(caller::access(&request)?, ticket)?.identity,
        None => (*caller::identify(&request)?).clone(),
    };
    let after = resume_after(&request, asked.after.map(i64::from))?;
    let tournament = who.tid.clone();
    let newest = desk.read(move |db| newest(db, &tournament)).await?;
    let (from, resync) = match after {
        Some(after) if after <= newest => (after, None),
        Some(_) => (newest, Some(LogItem::Resync { sequence: newest })),
        None => (newest, None),
    };
    let session = who.sid;
    let tid = who.tid.clone();
    let entries = follow::entries(desk.get_ref().clone(), who.tid, from)
        .take_while(move |entry| {
            let ended = entry.kind == "session.ended" && entry.subject == session;
            std::future::ready(!ended)
        })
        .map(move |entry| LogItem::Event(of_entry(&entry, &tid)));
    let source = stream::iter(resync).chain(entries);
    Ok(answer(source, topics(asked.topics), stopping.0.clone()))
}

fn of_entry(entry: &LogEntry, tournament: &str) -> LogEvent {
    LogEvent {
        sequence: entry.sequence,
        kind: entry.kind.clone(),
        data: envelope::of(entry, tournament).to_string(),
    }
}

fn topics(asked: Option<CommaList<Topic>>) -> Topics {
    asked.map_or_else(Topics::all, |list| Topics::only(list.0))
}
