//! The paper kit, as a page to print and as the file that is kept ready.
use actix_web::HttpResponse;
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use askama::Template;
use chrono::{DateTime, Utc};

use super::visit::Visitor;
use super::{Shown, words};
use crate::craft::match_times::venue_time::at_minute;
use crate::craft::roles::Role;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview;
use crate::desk::paper_kit::{self, KitMatch, PaperKit};
use crate::pages::views::paper_kit::{MatchRow, OpenRow, PaperKitPrint, ShelfRow};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/paper-kit", web::get().to(show));
}

async fn show(visitor: Visitor) -> Shown {
    visitor.caller.must_be(&[Role::Desk, Role::Coordinator])?;
    let kit = visitor.desk.write(&visitor.caller, paper_kit::paper_kit).await?;
    Ok(HttpResponse::build(StatusCode::OK)
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        // its styles stand inside it, because the file has to need nothing else
        .insert_header((
            header::CONTENT_SECURITY_POLICY,
            "default-src 'none'; style-src 'unsafe-inline'",
        ))
        .body(html(&kit, visitor.now)?))
}

/// The kit as one file of HTML.
///
/// # Errors
/// A template that cannot be rendered.
pub fn html(kit: &PaperKit, now: DateTime<Utc>) -> Result<String, askama::Error> {
    let zone = kit.house.zone;
    let print = PaperKitPrint {
        tournament: kit.house.name.clone(),
        collect_at: kit.house.collect_at.clone().unwrap_or_default(),
        printed_at: now.with_timezone(&zone).format("%a %-d %b, %H:%M").to_string(),
        open: kit.open.iter().map(|sheet| open_row(sheet, kit, now)).collect(),
        shelf: kit.shelf.iter().map(shelf_row).collect(),
        matches: kit
            .matches
            .iter()
            .map(|played| match_row(played, kit, now))
            .collect(),
        codes: kit.codes.clone(),
    };
    print.render()
}

/// Paper lasts longer than a day: what is not due today names its day.
fn due(kit: &PaperKit, now: DateTime<Utc>, at: DateTime<Utc>) -> String {
    let zone = kit.house.zone;
    words::time_on(zone, now.with_timezone(&zone).date_naive(), at)
}

fn contact(sheet: &JobSheet) -> String {
    sheet.player_record.contact.clone().unwrap_or_default()
}

fn open_row(sheet: &JobSheet, kit: &PaperKit, now: DateTime<Utc>) -> OpenRow {
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let phase = sheet.job.phase.as_deref().map(|phase| phase.replace('_', " "));
    let held = sheet.held(now).map(|_| "held".to_owned());
    let state = [Some(sheet.job.state.replace('_', " ")), phase, held];
    OpenRow {
        ready_by: due(kit, now, sheet.job.due_at.utc()),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        contact: contact(sheet),
        racket: words::marks(&sheet.racket_record),
        frame: sheet.frame.name.clone(),
        mains,
        crosses,
        state: state.into_iter().flatten().collect::<Vec<_>>().join(", "),
    }
}

fn match_row(played: &KitMatch, kit: &PaperKit, now: DateTime<Utc>) -> MatchRow {
    let zone = kit.house.zone;
    let at = |minute: i64| words::time(zone, at_minute(minute));
    let band = played.walk_on;
    let day = at_minute(band.p50).with_timezone(&zone).format("%a");
    let starts = if band.p95 - band.p05 < 2 {
        format!("{day} {}", at(band.p50))
    } else {
        format!(
            "{day} {} to {}, about {}",
            at(band.p05),
            at(band.p95),
            at(band.p50)
        )
    };
    MatchRow {
        ready_by: due(kit, now, played.ready_by),
        id: played.match_id.clone(),
        court: played.court.clone(),
        starts,
        players: played.players.join(", "),
    }
}

fn shelf_row(sheet: &JobSheet) -> ShelfRow {
    ShelfRow {
        slot: overview::slot_of(sheet).unwrap_or_default(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        contact: contact(sheet),
        racket: words::marks(&sheet.racket_record),
    }
}
