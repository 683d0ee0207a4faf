//! Snags: what waits for a person's decision.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, change_wish, frame_record, words};
use crate::craft::job::JobState;
use crate::craft::roles::Permission;
use crate::desk::decide_snag::{Decided, SnagRecord};
use crate::desk::frame_in_use::{PATTERN_UNKNOWN, RECORDED};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::snags::Snag;
use crate::desk::spare::note_spare;
use crate::desk::to_be_given_back::TAKE_OFF;
use crate::desk::{DeskError, DeskResult, Reason, Tx, decide_snag, overview};
use crate::pages::parts::{Chip, ChipKind, Choice};
use crate::pages::views::snags::{SnagCard, SnagGroup, Snags};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/snags", web::get().to(show))
        .route("/snags/{id}", web::post().to(decide))
        .route("/snags/{id}", web::get().to(list));
}

/// Who can decide a snag of this kind: their place in the list, and what stands above it.
fn for_whom(kind: &str) -> (usize, &'static str) {
    match kind {
        "no_stock" | "player_asks" => (0, "For the desk"),
        PATTERN_UNKNOWN | TAKE_OFF => (1, "For the bench"),
        _ => (2, "For the coordinator"),
    }
}

async fn screen(visitor: &Visitor) -> Result<Snags, Failure> {
    let (tournament, now) = (visitor.tournament(), visitor.now);
    let read = visitor.desk.read(move |db| {
        let mut open = overview::open_snags(db, &tournament)?;
        for (.., sheet) in &mut open {
            note_spare(db, &tournament, now, sheet.as_mut_slice())?;
        }
        Ok((open, decide_snag::lately(db, &tournament)?))
    });
    let (mut open, decided) = read.await?;
    // by when: what is due first is decided first; what is about no racket has no hurry of its own
    open.sort_by_key(|(snag, _, sheet)| {
        let due = sheet.as_ref().map(|one| one.job.due_at.utc());
        (for_whom(&snag.kind).0, due.is_none(), due, snag.opened_at.utc())
    });
    let mut groups: Vec<SnagGroup> = Vec::new();
    for (snag, record, sheet) in open {
        let (_, title) = for_whom(&snag.kind);
        let card = card(visitor, snag, record, sheet);
        match groups.last_mut().filter(|group| group.title == title) {
            Some(group) => group.snags.push(card),
            None => groups.push(SnagGroup {
                title,
                snags: vec![card],
            }),
        }
    }
    Ok(Snags {
        shell: visitor.shell("Snags", "Snags", "snags,jobs")?,
        groups,
        decided: decided.iter().map(|one| told_decision(visitor, one)).collect(),
    })
}

fn card(visitor: &Visitor, snag: Snag, record: SnagRecord, sheet: Option<JobSheet>) -> SnagCard {
    // a match that is not played moves it to another day: then the hour alone would mislead
    let zone = visitor.house.zone;
    let today = visitor.now.with_timezone(&zone).date_naive();
    let at = |sheet: &JobSheet| words::time_on(zone, today, sheet.job.due_at.utc());
    let due = |sheet: &JobSheet| format!("ready by {}", at(sheet));
    SnagCard {
        chip: Chip::new(ChipKind::Risk, snag.kind.replace('_', " ")),
        due: sheet.as_ref().map_or_else(String::new, due),
        spare: sheet.as_ref().map(|one| words::state_chip(one, visitor.now)),
        change_href: sheet
            .as_ref()
            .map_or_else(String::new, |one| change_wish::address(visitor, one)),
        holes_href: sheet
            .as_ref()
            .filter(|one| snag.kind == PATTERN_UNKNOWN && !one.frame.pattern.known)
            .map_or_else(String::new, |one| frame_record::address(&one.frame_id)),
        href: sheet
            .as_ref()
            .map_or_else(String::new, |one| format!("/rackets/{}", one.racket.id)),
        about: sheet.map_or_else(String::new, |sheet| {
            format!("{}, {}", sheet.job.code, sheet.player.display_name)
        }),
        since: visitor.time(snag.opened_at.utc()),
        words: record.what,
        // recording the holes decides it by itself
        choices: record
            .choices
            .iter()
            .filter(|choice| *choice != RECORDED)
            .map(|choice| Choice::new(choice.clone(), words::decision(choice)).hint(leads_to(choice)))
            .collect(),
        id: snag.id,
    }
}

fn told_decision(visitor: &Visitor, one: &Decided) -> String {
    let about = one
        .code
        .iter()
        .map(|code| format!(", {code}"))
        .collect::<String>();
    let who = one.who.as_deref().unwrap_or("the desk itself");
    format!(
        "{}{about}, {}: {} ({who})",
        visitor.time(one.at),
        one.kind.replace('_', " "),
        words::decision(&one.choice)
    )
}

async fn show(visitor: Visitor) -> Shown {
    visitor.caller.must(Permission::SeeSpec)?;
    let page = screen(&visitor).await?;
    visitor.page(StatusCode::OK, &page)
}

/// A refused decision stays at its own address; whoever loads that again reads the list.
async fn list(visitor: Visitor) -> Shown {
    Ok(visitor.go_to("/snags"))
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
            let late = matches!(
                &error,
                DeskError::Conflict {
                    reason: Reason::AlreadyDecided,
                    ..
                }
            );
            let (status, mut problem) = refused::on_page(error, |_pointer| String::new())?;
            let mut page = screen(&visitor).await?;
            // who was first, and with what
            if let (true, Some(first)) = (late, problem.faults.first_mut()) {
                let (tournament, id) = (visitor.tournament(), id.into_inner());
                let read = visitor
                    .desk
                    .read(move |db| decide_snag::decision_of(db, &tournament, &id));
                if let Some(one) = read.await? {
                    first.words = format!("{} {}.", first.words, told_decision(&visitor, &one));
                }
            }
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

/// A decision that takes another screen leads there: whoever decided to give a racket back does it next, and
/// what is on a machine is paused and begun again at The Plan.
fn where_it_is_done(tx: &mut Tx<'_>, job_id: Option<&str>, choice: &str) -> DeskResult<String> {
    let sheet = match (job_id, choice) {
        (Some(id), "give_back" | "cancel" | "restart" | "hold") => JobSheet::of(tx.db, tx.tournament(), id)?,
        _ => return Ok("/snags".to_owned()),
    };
    Ok(match choice {
        "restart" | "hold" => format!("/plan/{}", sheet.job.id),
        // the bench takes it off first, and finds that here
        _ if sheet.job.state == JobState::OnMachine.as_str() => "/snags".to_owned(),
        _ => format!("/hand-out?q={}", sheet.job.code),
    })
}

/// What follows from a decision, said on its button where the words do not.
fn leads_to(choice: &str) -> &'static str {
    match choice {
        "give_back" | "cancel" => "then Hand Out",
        "keep" | "solved" => "closes this snag, nothing else",
        _ => "",
    }
}
