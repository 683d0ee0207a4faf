//! Snags and Racket Story: what waits for a decision, and what has happened.
use std::collections::HashMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, words};
use crate::craft::custody::Custody;
use crate::desk::job_sheet::JobSheet;
use crate::desk::log::{self, LogEntry};
use crate::desk::sign_in::token_hash;
use crate::desk::{DeskResult, Tx, decide_snag, find, overview};
use crate::pages::parts::{Chip, ChipKind, Choice};
use crate::pages::views::snags::{SnagCard, Snags};
use crate::pages::views::story::{Story, StoryEntry, StoryJob};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/snags", web::get().to(show))
        .route("/snags/{id}", web::post().to(decide))
        .route("/rackets/{id}", web::get().to(story));
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

async fn story(visitor: Visitor, id: web::Path<String>) -> Shown {
    let (tournament, asked) = (visitor.tournament(), id.into_inner());
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
    let names: HashMap<String, String> = people
        .into_iter()
        .map(|account| (account.id, account.display_name))
        .collect();
    let marks = words::marks(&record);
    let place = racket.custody.parse::<Custody>();
    let page = Story {
        shell: visitor.shell("Racket Story", "Hand In", "")?,
        racket: [player.display_name, marks].join(" "),
        place: place.map_or(racket.custody, |place| place.words()),
        jobs: jobs.iter().map(|sheet| job(&visitor, sheet)).collect(),
        record_hash: record_hash(&entries),
        printed_by: format!(
            "{}, {}",
            visitor.name(),
            visitor
                .now
                .with_timezone(&visitor.house.zone)
                .format("%-d %b %H:%M")
        ),
        entries: entries
            .iter()
            .rev()
            .map(|entry| told(&visitor, entry, &names))
            .collect(),
    };
    visitor.page(StatusCode::OK, &page)
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

fn told(visitor: &Visitor, entry: &LogEntry, names: &HashMap<String, String>) -> StoryEntry {
    let text = |name: &str| entry.data.get(name).and_then(|value| value.as_str());
    let reason = text("reason").or_else(|| text("why"));
    let phase = text("phase");
    let said = [text("state"), phase, reason, text("to")];
    let shown = |at: DateTime<Utc>| {
        at.with_timezone(&visitor.house.zone)
            .format("%-d %b %H:%M")
            .to_string()
    };
    // a line from paper: the time it was written stands first, when it was entered behind
    let written = text("on_paper").and(entry.device_at);
    let entered = written.map(|_| format!("from paper, entered {}", shown(entry.at)));
    StoryEntry {
        at: shown(written.unwrap_or(entry.at)),
        what: entry.kind.replace(['.', '_'], " "),
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
            .chain(entered)
            .collect::<Vec<_>>()
            .join(", "),
    }
}
