//! Racket Story: what has happened to one racket, with the photos of its marks.
use std::collections::HashMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, change_wish, photos, words};
use crate::craft::custody::Custody;
use crate::craft::roles::Permission;
use crate::desk::job_sheet::JobSheet;
use crate::desk::keep_photo::{KEEPERS, REMOVERS};
use crate::desk::log::{self, LogEntry};
use crate::desk::reads::photos::Photo;
use crate::desk::sign_in::token_hash;
use crate::desk::{DeskError, find, overview};
use crate::pages::parts::{Control, Field};
use crate::pages::views::photos::Photos;
use crate::pages::views::story::{Story, StoryEntry, StoryJob};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/rackets", web::get().to(another))
        .route("/rackets/{id}", web::get().to(show));
}

/// The story of what was scanned or typed; `beside` is the racket whose story is open, and a bare number is a
/// sister's. Where it is no one racket, Hand In's search says so and offers what is like it.
async fn another(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let (tournament, text, beside) = (
        visitor.tournament(),
        asked.get("q").to_owned(),
        asked.get("beside").to_owned(),
    );
    let read = visitor.desk.read(move |db| {
        let open = find::racket_with_jobs(db, &tournament, &beside).ok();
        let player = open.map(|(racket, ..)| racket.player_id);
        find::find_beside(db, &tournament, &text, player.as_deref())
    });
    let hits = read.await?;
    let racket = match (&hits.job, &hits.racket, hits.numbered.as_slice()) {
        (Some(sheet), ..) | (None, None, [sheet]) => Some(&sheet.racket.id),
        (None, Some(racket), _) => Some(&racket.id),
        _ => None,
    };
    Ok(visitor.go_to(&match racket {
        Some(id) => format!("/rackets/{id}"),
        None => format!("/hand-in?q={}", words::in_address(asked.get("q"))),
    }))
}

async fn show(visitor: Visitor, id: web::Path<String>) -> Shown {
    let page = screen(&visitor, &id).await?;
    visitor.page(StatusCode::OK, &page)
}

/// The same page with what is wrong with a photo.
///
/// # Errors
/// A page of its own where the racket is not there.
pub async fn again(visitor: &Visitor, id: &str, error: DeskError) -> Shown {
    let (status, problem) = refused::on_page(error, |pointer| pointer.trim_start_matches('/').to_owned())?;
    let mut page = screen(visitor, id).await?;
    if let Some(field) = &mut page.add_photo {
        let own = problem.faults.iter().find(|fault| fault.field == field.name);
        field.fault = own.map(|fault| fault.words.clone());
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

async fn screen(visitor: &Visitor, id: &str) -> Result<Story, Failure> {
    visitor.caller.must(Permission::SeeSpec)?;
    let (tournament, asked) = (visitor.tournament(), id.to_owned());
    let (racket, record, jobs, player, entries, people) = visitor
        .desk
        .read(move |db| {
            let (racket, record, jobs) = find::racket_with_jobs(db, &tournament, &asked)?;
            let mut subjects: Vec<String> = jobs.iter().map(|sheet| sheet.job.id.clone()).collect();
            subjects.push(racket.id.clone());
            let entries = log::entries_about(db, &tournament, &subjects)?;
            let player = find::card(db, &tournament, &racket.player_id)?.player;
            let people = overview::all_accounts(db, &tournament)?;
            Ok((racket, record, jobs, player, entries, people))
        })
        .await?;
    let kept = photos::of_rackets(visitor, vec![racket.id.clone()]).await?;
    let names: HashMap<String, String> = people
        .into_iter()
        .map(|account| (account.id, account.display_name))
        .collect();
    let whose = [player.display_name, words::racket(&record)].join(", ");
    let place = racket.custody.parse::<Custody>();
    let may = |roles| visitor.caller.must_be(roles).is_ok();
    Ok(Story {
        shell: visitor.shell("Racket Story", "Hand In", "")?,
        place: place.map_or(racket.custody, |place| place.words()),
        jobs: jobs.iter().map(|sheet| job(visitor, sheet)).collect(),
        record_hash: record_hash(&entries),
        printed_by: format!(
            "{}, {}",
            visitor.name(),
            words::day_and_time(visitor.house.zone, visitor.now)
        ),
        photos: photos::of_racket(visitor, &kept, &racket.id, &whose),
        add_photo: may(&KEEPERS).then(add_photo),
        may_remove: may(&REMOVERS),
        entries: entries
            .iter()
            .rev()
            .map(|entry| told(visitor, entry, &names, &kept, &whose))
            .collect(),
        racket_id: racket.id,
        racket: whose,
    })
}

fn add_photo() -> Field {
    Field::new("photo", "Add a photo of a mark", Control::Photo)
        .hint("JPEG, PNG or WebP, at most 8 MiB. Place and camera in the file are not kept.")
}

/// Over number, time, kind, subject and data of every entry, in their order.
fn record_hash(entries: &[LogEntry]) -> String {
    let mut text = String::new();
    for entry in entries {
        let at = entry.at.timestamp_millis();
        text.push_str(&format!(
            "{} {at} {} {} {}\n",
            entry.sequence, entry.kind, entry.subject, entry.data
        ));
    }
    token_hash(&text)
}

fn job(visitor: &Visitor, sheet: &JobSheet) -> StoryJob {
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let open = !matches!(sheet.job.state.as_str(), "out" | "cancelled");
    StoryJob {
        change_href: change_wish::address(visitor, sheet),
        id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        state: words::state_chip(sheet, visitor.now),
        mains,
        crosses,
        plan_href: if open {
            format!("/plan/{}", sheet.job.id)
        } else {
            String::new()
        },
    }
}

fn told(
    visitor: &Visitor,
    entry: &LogEntry,
    names: &HashMap<String, String>,
    kept: &[Photo],
    whose: &str,
) -> StoryEntry {
    let text = |name: &str| entry.data.get(name).and_then(|value| value.as_str());
    let reason = text("reason").or_else(|| text("why"));
    let phase = text("phase");
    let place = text("place").filter(|_| entry.kind.starts_with("racket.photo_"));
    let said = [text("state"), phase, place, reason, text("to")];
    let shown = |at| words::day_and_time(visitor.house.zone, at);
    // a line from paper: the time it was written stands first, when it was entered behind
    let written = text("on_paper").and(entry.device_at);
    let entered = written.map(|_| format!("from paper, entered {}", shown(entry.at)));
    let taken = entry.kind == "racket.photo_kept";
    let photo = text("photo_id").filter(|_| taken);
    let there = photo.and_then(|id| kept.iter().find(|one| one.id == id));
    StoryEntry {
        at: shown(written.unwrap_or(entry.at)),
        what: entry.kind.replace(['.', '_'], " "),
        photos: there.map(|photo| Photos {
            thumbs: vec![photos::thumb(visitor, photo, whose)],
        }),
        who: entry
            .account_id
            .as_ref()
            .and_then(|id| names.get(id))
            .cloned()
            .unwrap_or_default(),
        detail: said
            .into_iter()
            .flatten()
            .map(|one| one.replace('_', " "))
            .chain(
                photo
                    .filter(|_| there.is_none())
                    .map(|_| "not kept any more".to_owned()),
            )
            .chain(entered)
            .collect::<Vec<_>>()
            .join(", "),
    }
}
