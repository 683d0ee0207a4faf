//! Racket Story: what has happened to one racket, with the photos of its marks.
use std::collections::HashMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use super::filled::Filled;
use super::refused::{self, Failure};
use super::story_words::{self, Names};
use super::visit::Visitor;
use super::{Shown, change_wish, frame_record, photos, words};
use crate::craft::roles::Permission;
use crate::desk::job_sheet::JobSheet;
use crate::desk::keep_photo::{KEEPERS, REMOVERS};
use crate::desk::log::{self, LogEntry};
use crate::desk::reads::photos::Photo;
use crate::desk::reads::players::Player;
use crate::desk::reads::rackets::Racket;
use crate::desk::reads::{Db, stations};
use crate::desk::records::RacketRecord;
use crate::desk::sign_in::token_hash;
use crate::desk::spare::note_spare;
use crate::desk::{DeskError, DeskResult, find, gone_out, overview};
use crate::pages::parts::{Chip, ChipKind, Control, Field};
use crate::pages::views::photos::Photos;
use crate::pages::views::story::{Story, StoryEntry, StoryJob};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/rackets", web::get().to(another))
        .route("/rackets/{id}", web::get().to(show))
        .route("/rackets/{id}/photos", web::get().to(back));
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

/// A refused photo stays at its own address; whoever loads that again reads the story.
async fn back(visitor: Visitor, id: web::Path<String>) -> Shown {
    Ok(visitor.go_to(&format!("/rackets/{id}")))
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

/// What the database says for the screen.
struct Seen {
    racket: Racket,
    /// The name of its frame model.
    frame: String,
    record: RacketRecord,
    jobs: Vec<JobSheet>,
    player: Player,
    entries: Vec<LogEntry>,
    names: Names,
}

fn seen(db: &mut Db, tournament: &str, asked: &str, now: DateTime<Utc>, zone: Tz) -> DeskResult<Seen> {
    let (racket, record, mut jobs) = find::racket_with_jobs(db, tournament, asked)?;
    note_spare(db, tournament, now, &mut jobs)?;
    let mut subjects: Vec<String> = jobs.iter().map(|sheet| sheet.job.id.clone()).collect();
    subjects.push(racket.id.clone());
    let entries = log::entries_about(db, tournament, &subjects)?;
    let mut pickups = HashMap::new();
    for id in entries.iter().filter_map(|one| one.data["pickup_id"].as_str()) {
        if let Some(record) = gone_out::pickup(db, tournament, id)? {
            pickups.insert(id.to_owned(), record);
        }
    }
    let people = overview::all_accounts(db, tournament)?.into_iter();
    let stations = stations::all(db, tournament)?.into_iter();
    let machines = overview::machines(db, tournament)?.into_iter();
    let names = Names {
        people: people.map(|one| (one.id, one.display_name)).collect(),
        stations: stations.map(|one| (one.id, one.name)).collect(),
        machines: machines.map(|one| (one.id, one.name)).collect(),
        pickups,
        zone,
    };
    let frame = overview::frame(db, tournament, &racket.frame_id)?;
    let player = find::card(db, tournament, &racket.player_id)?.player;
    Ok(Seen {
        frame: frame.map_or_else(String::new, |(frame, _)| frame.name),
        racket,
        record,
        jobs,
        player,
        entries,
        names,
    })
}

async fn screen(visitor: &Visitor, id: &str) -> Result<Story, Failure> {
    visitor.caller.must(Permission::SeeSpec)?;
    let (tournament, asked) = (visitor.tournament(), id.to_owned());
    let (now, zone) = (visitor.now, visitor.house.zone);
    let read = visitor
        .desk
        .read(move |db| seen(db, &tournament, &asked, now, zone));
    let seen = read.await?;
    let kept = photos::of_rackets(visitor, vec![seen.racket.id.clone()]).await?;
    let whose = [seen.player.display_name.clone(), words::racket(&seen.record)].join(", ");
    let may = |roles| visitor.caller.must_be(roles).is_ok();
    let entries = seen.entries.iter().rev();
    Ok(Story {
        shell: visitor.shell("Racket Story", "Hand In", "")?,
        place: story_words::place(&seen.names, &seen.racket.custody),
        jobs: seen.jobs.iter().map(|sheet| job(visitor, sheet)).collect(),
        record_hash: record_hash(&seen.entries),
        printed_by: format!("{}, {}", visitor.name(), words::day_and_time(zone, now)),
        photos: photos::of_racket(visitor, &kept, &seen.racket.id, &whose),
        frame: visitor
            .caller
            .must(Permission::SeeFrames)
            .is_ok()
            .then(|| (frame_record::address(&seen.racket.frame_id), seen.frame.clone())),
        add_photo: may(&KEEPERS).then(add_photo),
        may_remove: may(&REMOVERS),
        entries: entries
            .map(|entry| told(visitor, entry, &seen, &kept, &whose))
            .collect(),
        racket_id: seen.racket.id.clone(),
        racket: whose.clone(),
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
        state: minutes_said(words::state_chip(sheet, visitor.now)),
        due: if open && sheet.job.state != "ready" {
            format!("ready by {}", visitor.time(sheet.job.due_at.utc()))
        } else {
            String::new()
        },
        mains,
        crosses,
        plan_href: if open {
            format!("/plan/{}", sheet.job.id)
        } else {
            String::new()
        },
    }
}

/// "waiting +28 min to spare", "late 5 min": what is bare on a busy screen is said here.
fn minutes_said(chip: Chip) -> Chip {
    let counts = chip.word.ends_with(|one: char| one.is_ascii_digit());
    let unit = match chip.kind {
        _ if !counts => "",
        ChipKind::Late => " min",
        _ => " min to spare",
    };
    Chip::new(chip.kind, format!("{}{unit}", chip.word))
}

fn told(visitor: &Visitor, entry: &LogEntry, seen: &Seen, kept: &[Photo], whose: &str) -> StoryEntry {
    let shown = |at| words::day_and_time(visitor.house.zone, at);
    let text = |name: &str| entry.data.get(name).and_then(|value| value.as_str());
    let (what, detail) = story_words::sentence(entry, &seen.names);
    // a line from paper: the time it was written stands first, when it was entered behind
    let written = text("on_paper").and(entry.device_at);
    let entered = written.map(|_| format!("from paper, entered {}", shown(entry.at)));
    let photo = text("photo_id").filter(|_| entry.kind == "racket.photo_kept");
    let there = photo.and_then(|id| kept.iter().find(|one| one.id == id));
    let lost = photo.filter(|_| there.is_none());
    let job = seen.jobs.iter().find(|sheet| sheet.job.id == entry.subject);
    let who = entry.account_id.as_ref().and_then(|id| seen.names.people.get(id));
    let more = lost.map(|_| "not kept any more".to_owned());
    StoryEntry {
        at: shown(written.unwrap_or(entry.at)),
        code: job.map_or_else(String::new, |sheet| sheet.job.code.clone()),
        what,
        photos: there.map(|photo| Photos {
            thumbs: vec![photos::thumb(visitor, photo, whose)],
        }),
        who: who.cloned().unwrap_or_default(),
        detail: detail
            .into_iter()
            .chain(more)
            .chain(entered)
            .collect::<Vec<_>>()
            .join(", "),
    }
}
