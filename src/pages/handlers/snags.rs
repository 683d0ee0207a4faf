//! Snags: what waits for a person's decision.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, words};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{DeskResult, Tx, decide_snag, overview};
use crate::pages::parts::{Chip, ChipKind, Choice};
use crate::pages::views::snags::{SnagCard, Snags};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/snags", web::get().to(show))
        .route("/snags/{id}", web::post().to(decide));
}

async fn screen(visitor: &Visitor) -> Result<Snags, Failure> {
    let tournament = visitor.tournament();
    let open = visitor
        .desk
        .read(move |db| overview::open_snags(db, &tournament))
        .await?;
    let snags = open.into_iter().map(|(snag, record, sheet)| SnagCard {
        chip: Chip::new(ChipKind::Risk, snag.kind.replace('_', " ")),
        about: sheet.map_or_else(String::new, |sheet| {
            format!("{}, {}", sheet.job.code, sheet.player.display_name)
        }),
        since: visitor.time(snag.opened_at.utc()),
        words: record.what,
        choices: record
            .choices
            .iter()
            .map(|choice| Choice::new(choice.clone(), words::decision(choice)))
            .collect(),
        id: snag.id,
    });
    Ok(Snags {
        shell: visitor.shell("Snags", "Snags", "snags")?,
        snags: snags.collect(),
    })
}

async fn show(visitor: Visitor) -> Shown {
    let page = screen(&visitor).await?;
    visitor.page(StatusCode::OK, &page)
}

async fn decide(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (snag, choice, note) = (id.clone(), form.get("choice").to_owned(), form.some("note"));
    let done = visitor
        .once(&format!("/snags/{id}"), &form, move |tx| {
            let decided = decide_snag::decide_snag(tx, &snag, &choice, note.as_deref())?;
            where_it_is_done(tx, decided.job_id.as_deref(), &choice)
        })
        .await;
    match done {
        Ok(address) => Ok(visitor.go_to(&address)),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |_pointer| String::new())?;
            let mut page = screen(&visitor).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

/// A decision that takes another screen leads there: whoever decided to give a racket back does it next.
fn where_it_is_done(tx: &mut Tx<'_>, job_id: Option<&str>, choice: &str) -> DeskResult<String> {
    let sheet = match (job_id, choice) {
        (Some(id), "give_back" | "cancel" | "restart") => JobSheet::of(tx.db, tx.tournament(), id)?,
        _ => return Ok("/snags".to_owned()),
    };
    Ok(match choice {
        "restart" => format!("/plan/{}", sheet.job.id),
        _ => format!("/hand-out?q={}", sheet.job.code),
    })
}
