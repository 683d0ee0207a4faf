//! What is known of a frame model: read by who strings it, corrected by who has looked at it.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, frame_form, frame_reads};
use crate::craft::drawing;
use crate::craft::frame::FrameRecord;
use crate::craft::roles::Permission;
use crate::desk::frame_in_use::{self, Awaiting};
use crate::desk::{DeskError, Thing, keep_frame, overview};
use crate::pages::parts::Note;
use crate::pages::views::frame_record::FrameRecordScreen;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/frames/{id}", web::get().to(show))
        .route("/frames/{id}", web::post().to(correct));
}

/// Where a frame's record is looked at.
pub fn address(frame_id: &str) -> String {
    format!("/frames/{frame_id}")
}

async fn show(visitor: Visitor, id: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let mut page = screen(&visitor, &id, None).await?;
    if asked.has("done", "yes") {
        page.shell.note = Some(Note {
            words: format!("The record of {} is kept.", page.name),
            links: Vec::new(),
        });
    }
    visitor.page(StatusCode::OK, &page)
}

async fn screen(visitor: &Visitor, id: &str, form: Option<&Filled>) -> Result<FrameRecordScreen, Failure> {
    visitor.caller.must(Permission::SeeFrames)?;
    let (tournament, frame_id) = (visitor.tournament(), id.to_owned());
    let read = visitor.desk.read(move |db| {
        let frame = overview::frame(db, &tournament, &frame_id)?.ok_or(DeskError::NotFound(Thing::Frame))?;
        Ok::<_, DeskError>((frame, frame_in_use::awaiting(db, &tournament, &frame_id)?))
    });
    let ((frame, record), awaiting): ((_, FrameRecord), Vec<Awaiting>) = read.await?;
    let on_record = frame_form::filled(&record);
    let keeps = visitor.caller.must_be(&keep_frame::KEEPERS).is_ok();
    let form = form.unwrap_or(&on_record);
    Ok(FrameRecordScreen {
        shell: visitor.shell("Frame Record", "", "")?,
        name: frame.name,
        sport: record.sport.name().to_owned(),
        known: record.pattern.known,
        drawing: if record.pattern.known {
            drawing::of_record(&record)
        } else {
            String::new()
        },
        version: frame.version,
        waiting: awaiting
            .into_iter()
            .map(|one| (one.code, one.player, format!("/rackets/{}", one.racket_id)))
            .collect(),
        groups: frame_form::groups(form),
        insist: None,
        source: keeps.then(|| frame_form::source(form)),
        frame_id: frame.id,
    })
}

async fn correct(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    visitor.caller.must_be(&keep_frame::KEEPERS)?;
    let (frame_id, filled) = (id.clone(), form.0.clone());
    let done = visitor
        .once(&address(&id), &form, move |tx| {
            let found = overview::frame(tx.db, tx.caller.tournament(), &frame_id)?;
            let (_, before) = found.ok_or(DeskError::NotFound(Thing::Frame))?;
            // what no page filled in is stale
            let version = filled.get("version").parse().unwrap_or(0);
            let record = frame_reads::corrected(&filled, &before)?;
            let insist = filled.some("override");
            keep_frame::correct_frame(tx, &frame_id, version, &record, insist.as_deref())?;
            Ok(format!("{}?done=yes", address(&frame_id)))
        })
        .await;
    match done {
        Ok(address) => Ok(visitor.go_to(&address)),
        Err(error) => again(&visitor, &id, &form, error).await,
    }
}

/// The same page with what was typed and what is wrong with it.
async fn again(visitor: &Visitor, id: &str, form: &Filled, error: DeskError) -> Shown {
    let may_insist = refused::may_insist(&error).is_some() || form.has_field("override");
    let (status, mut problem) = refused::on_page(error, frame_reads::field_of)?;
    let mut page = screen(visitor, id, Some(form)).await?;
    page.insist = may_insist.then(|| frame_form::insist(form));
    let fields = page.groups.iter_mut().flat_map(|group| &mut group.fields);
    for field in fields.chain(&mut page.source).chain(&mut page.insist) {
        for fault in problem
            .faults
            .iter_mut()
            .filter(|fault| fault.field == field.name)
        {
            field.fault = Some(fault.words.clone());
            fault.words = format!("{}: {}", field.label, fault.words);
        }
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}
