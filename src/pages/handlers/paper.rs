//! What is printed: the tag on the racket and the player's ticket.
//!
//! Asking for a print (POST) counts it and leads to the sheet; looking at the sheet (GET) changes nothing.
use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};

use super::visit::Visitor;
use super::{Shown, words};
use crate::desk::DeskResult;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview;
use crate::desk::print_paper::{PRINTERS, Paper, print_paper};
use crate::pages::qr::qr_svg;
use crate::pages::views::paper::{Tag, Ticket, TicketRacket};
use crate::pages::wording::Wording;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/jobs/{id}/tag", web::get().to(tag))
        .route("/jobs/{id}/tag", web::post().to(print_tag))
        .route("/jobs/{id}/ticket", web::get().to(ticket))
        .route("/jobs/{id}/ticket", web::post().to(print_ticket));
}

/// Counts a print, then leads to the sheet. Each press is a print of its own: no key makes two of them one.
async fn print(visitor: &Visitor, id: &str, paper: Paper) -> Shown {
    let job = id.to_owned();
    visitor
        .desk
        .write(&visitor.caller, move |tx| print_paper(tx, &job, paper))
        .await?;
    Ok(visitor.go_to(&format!("/jobs/{id}/{}", paper.name())))
}

async fn print_tag(visitor: Visitor, id: web::Path<String>) -> Shown {
    print(&visitor, &id, Paper::Tag).await
}

async fn print_ticket(visitor: Visitor, id: web::Path<String>) -> Shown {
    print(&visitor, &id, Paper::Ticket).await
}

/// What the sheet says, and which copy it is.
async fn printed(visitor: &Visitor, id: &str, paper: Paper) -> DeskResult<(Vec<JobSheet>, String)> {
    let (id, caller) = (id.to_owned(), visitor.caller.clone());
    visitor
        .desk
        .read(move |db| {
            let sheet = JobSheet::of(db, caller.tournament(), &id)?;
            caller.must_be(&PRINTERS)?;
            let copy = match sheet.record.prints.get(paper.name()) {
                Some(copy) if *copy > 1 => format!("copy {copy}"),
                _ => String::new(),
            };
            let sheets = match paper {
                Paper::Tag => vec![sheet],
                Paper::Ticket => overview::drop_off_of(db, caller.tournament(), &id)?,
            };
            Ok((sheets, copy))
        })
        .await
}

async fn tag(visitor: Visitor, id: web::Path<String>) -> Shown {
    let (sheets, copy) = printed(&visitor, &id, Paper::Tag).await?;
    let Some(sheet) = sheets.first() else {
        return Err(super::refused::Failure::no_such_page());
    };
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let page = Tag {
        code: sheet.job.code.clone(),
        qr_svg: qr_svg(&sheet.job.code).unwrap_or_default(),
        initials: words::initials(&sheet.player.display_name),
        country: sheet.player_record.country.clone().unwrap_or_default(),
        racket: words::marks(&sheet.racket_record),
        ready_by: due(&visitor, sheet.job.due_at.utc()),
        mains,
        crosses,
        cautions: sheet
            .record
            .insisted
            .iter()
            .map(|one| insisted(&one.code))
            .collect(),
        copy,
    };
    visitor.page(StatusCode::OK, &page)
}

/// Paper outlives the day: what is not due today names its day.
pub(super) fn due(visitor: &Visitor, at: DateTime<Utc>) -> String {
    let zone = visitor.house.zone;
    words::time_on(zone, visitor.now.with_timezone(&zone).date_naive(), at)
}

/// What somebody asked for against a rule, as the bench has to know it.
fn insisted(code: &str) -> String {
    match code {
        "tension_out_of_range" => "player's wish, own risk".to_owned(),
        "frame_damaged" => "cracked frame, own risk".to_owned(),
        "no_stock" => "string not counted in stock".to_owned(),
        other => other.replace('_', " "),
    }
}

/// The text that says what was seen at hand-in; nothing where nobody looked.
fn condition(sheets: &[JobSheet]) -> Option<&'static str> {
    if sheets.iter().any(|sheet| !sheet.record.damage.is_empty()) {
        Some("condition-marked")
    } else if sheets.iter().all(|sheet| sheet.record.condition_ok) {
        Some("condition-good")
    } else {
        None
    }
}

async fn ticket(request: HttpRequest, visitor: Visitor, id: web::Path<String>) -> Shown {
    let (sheets, copy) = printed(&visitor, &id, Paper::Ticket).await?;
    let Some(first) = sheets.first() else {
        return Err(super::refused::Failure::no_such_page());
    };
    let link = first.player.link_token.clone().unwrap_or_default();
    let here = request.connection_info();
    let address = format!("{}://{}/p/{link}", here.scheme(), here.host());
    let going_on = sheets.iter().filter(|sheet| sheet.job.state != "cancelled");
    let latest = going_on
        // the safe time; before a station is open, the time that was asked for
        .map(|sheet| sheet.job.promised_at.unwrap_or(sheet.job.due_at))
        .max()
        .unwrap_or(first.job.due_at);
    let say = Wording::best(first.player_record.language.as_deref().unwrap_or("en"));
    let zone = visitor.house.zone;
    let today = visitor.now.with_timezone(&zone).date_naive();
    let page = Ticket {
        ready_by: say.time_on(zone, today, latest.utc()),
        english: Wording::best("en"),
        condition: condition(&sheets),
        tournament: visitor.house.name.clone(),
        place: visitor.house.collect_at.clone().unwrap_or_default(),
        price: String::new(),
        qr_svg: qr_svg(&address).unwrap_or_default(),
        rackets: sheets
            .iter()
            .map(|sheet| {
                let (mains, crosses) = words::spec_lines(&sheet.spec);
                TicketRacket {
                    code: sheet.job.code.clone(),
                    racket: words::marks(&sheet.racket_record),
                    mains,
                    crosses,
                }
            })
            .collect(),
        copy,
        say,
    };
    visitor.page(StatusCode::OK, &page)
}
