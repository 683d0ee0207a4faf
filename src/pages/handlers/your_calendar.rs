//! The player's ready-bys as a calendar behind their link.
use actix_web::http::header;
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::your_rackets::{behind, ended, newest_of_each, safe_at, shown_marks, wording};
use super::{Shown, visit};
use crate::desk::job_sheet::JobSheet;
use crate::forms::ready_by_calendar::{ReadyByEntry, Standing, ready_bys};
use crate::pages::wording::Wording;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/p/{token}/calendar.ics", web::get().to(calendar));
}

async fn calendar(request: HttpRequest, token: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let say = wording(&request, asked.get("lang"));
    let desk = visit::desk_of(&request)?;
    let Some((_, sheets, house)) = behind(&desk, &token).await? else {
        return ended(&request, &token, say).await;
    };
    let now = desk.clock().desk();
    let newest = newest_of_each(sheets);
    let waited_for = newest.iter().filter(|sheet| sheet.job.state != "out");
    let entries: Vec<ReadyByEntry> = waited_for
        .map(|sheet| entry(&say, sheet, house.collect_at.as_deref().unwrap_or_default(), now))
        .collect();
    let text = ready_bys(&say.say("title"), say.tag(), &entries, now);
    Ok(HttpResponse::Ok()
        .content_type("text/calendar; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .body(text))
}

/// The time that the page says; while the work is held it may move.
fn entry(say: &Wording, sheet: &JobSheet, place: &str, now: DateTime<Utc>) -> ReadyByEntry {
    let job = &sheet.job;
    let at = match job.state.as_str() {
        "ready" => job.state_since.utc(),
        _ => safe_at(sheet),
    };
    let summary = say.say_with("calendar-ready", &[("racket", &shown_marks(sheet))]);
    ReadyByEntry {
        id: job.id.clone(),
        version: job.version,
        at,
        // marks that keep directions apart on a page are not for calendars
        summary: summary.replace(['\u{2068}', '\u{2069}'], ""),
        place: place.to_owned(),
        standing: match job.state.as_str() {
            "cancelled" => Standing::Cancelled,
            "ready" => Standing::Confirmed,
            _ if sheet.held(now).is_some() => Standing::Tentative,
            _ => Standing::Confirmed,
        },
    }
}
