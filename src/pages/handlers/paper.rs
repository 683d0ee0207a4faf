//! What is printed: the tag on the racket and the player's ticket.
use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::visit::Visitor;
use super::{Shown, words};
use crate::desk::DeskResult;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview;
use crate::desk::print_paper::{Paper, print_paper};
use crate::pages::qr::qr_svg;
use crate::pages::views::paper::{Tag, Ticket, TicketRacket};
use crate::pages::wording::Wording;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/jobs/{id}/tag", web::get().to(tag))
        .route("/jobs/{id}/ticket", web::get().to(ticket));
}

/// Counts the print and reads what it says.
async fn printed(visitor: &Visitor, id: &str, paper: Paper) -> DeskResult<(Vec<JobSheet>, String)> {
    let id = id.to_owned();
    let (copy, sheets) = visitor
        .desk
        .write(&visitor.caller, move |tx| {
            let copy = print_paper(tx, &id, paper)?;
            let sheets = match paper {
                Paper::Tag => vec![JobSheet::of(tx.db, tx.caller.tournament(), &id)?],
                Paper::Ticket => overview::drop_off_of(tx.db, tx.caller.tournament(), &id)?,
            };
            Ok((copy, sheets))
        })
        .await?;
    let copy = if copy > 1 {
        format!("copy {copy}")
    } else {
        String::new()
    };
    Ok((sheets, copy))
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
        ready_by: visitor.time(sheet.job.due_at.utc()),
        mains,
        crosses,
        cautions: sheet
            .record
            .insisted
            .iter()
            .map(|one| one.code.replace('_', " "))
            .collect(),
        copy,
    };
    visitor.page(StatusCode::OK, &page)
}

async fn ticket(request: HttpRequest, visitor: Visitor, id: web::Path<String>) -> Shown {
    let (sheets, copy) = printed(&visitor, &id, Paper::Ticket).await?;
    let Some(first) = sheets.first() else {
        return Err(super::refused::Failure::no_such_page());
    };
    let link = first.player.link_token.clone().unwrap_or_default();
    let here = request.connection_info();
    let address = format!("{}://{}/p/{link}", here.scheme(), here.host());
    let latest = sheets
        .iter()
        // the safe time; before a station is open, the time that was asked for
        .map(|sheet| sheet.job.promised_at.unwrap_or(sheet.job.due_at))
        .max()
        .unwrap_or(first.job.due_at);
    let marked = sheets.iter().any(|sheet| !sheet.record.condition_ok);
    let page = Ticket {
        say: Wording::best(first.player_record.language.as_deref().unwrap_or("en")),
        english: Wording::best("en"),
        tournament: visitor.house.name.clone(),
        ready_by: visitor.time(latest.utc()),
        place: String::new(),
        price: String::new(),
        condition: if marked {
            "damage was marked".into()
        } else {
            "all four places fine".into()
        },
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
    };
    visitor.page(StatusCode::OK, &page)
}
