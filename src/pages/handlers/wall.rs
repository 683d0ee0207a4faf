//! The Wall and the player's page: states and times for everybody, never a spec.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::filled::Filled;
use super::refused::Failure;
use super::visit::{self, Visitor};
use super::{Shown, words};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{DeskError, find, overview};
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::shell::Surface;
use crate::pages::views::wall::{CounterRow, CounterWall, ROWS_A_PAGE, RoomRow, RoomWall, StationMark};
use crate::pages::views::your_rackets::{PlayerRacket, PlayerState, YourRackets};
use crate::pages::wording::Wording;

/// States the walls show.
const SHOWN: [&str; 5] = ["waiting", "assigned", "on_machine", "checking", "ready"];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/wall", web::get().to(wall))
        .route("/p/{token}", web::get().to(your_rackets));
}

async fn wall(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let tournament = visitor.tournament();
    let (sheets, stations, people) = visitor
        .desk
        .read(move |db| {
            let sheets = overview::sheets_in(db, &tournament, &SHOWN)?;
            Ok((
                sheets,
                overview::stations(db, &tournament)?,
                overview::stringers(db, &tournament)?,
            ))
        })
        .await?;
    let mut shell = visitor.shell("Wall", "Wall", "jobs,rackets,stations,snags")?;
    shell.surface = Surface::Night;
    if asked.get("for") == "counter" {
        let rows = |wanted: &[&str]| -> Vec<CounterRow> {
            let fits = sheets
                .iter()
                .filter(|sheet| wanted.contains(&counter_place(sheet)));
            fits.map(|sheet| counter_row(&visitor, sheet)).collect()
        };
        let page = CounterWall {
            shell,
            ready: rows(&["ready"]),
            in_work: rows(&["work"]),
            ask: rows(&["ask"]),
        };
        return visitor.page(StatusCode::OK, &page);
    }
    let marks = stations.into_iter().map(|station| StationMark {
        words: people
            .iter()
            .find(|one| Some(&one.id) == station.stringer_id.as_ref())
            .map_or_else(|| "closed".to_owned(), |one| one.name.clone()),
        number: station.name,
        state: None,
    });
    let page = room(
        &visitor,
        shell,
        &sheets,
        asked.get("page").parse().unwrap_or(1),
        marks.collect(),
    );
    visitor.page(StatusCode::OK, &page)
}

/// Ready, in work, or ask at the desk.
fn counter_place(sheet: &JobSheet) -> &'static str {
    match sheet.job.state.as_str() {
        "ready" => "ready",
        _ if sheet.job.held_reason.is_some() => "ask",
        _ => "work",
    }
}

fn counter_row(visitor: &Visitor, sheet: &JobSheet) -> CounterRow {
    let about = sheet.job.promised_at.filter(|_| counter_place(sheet) == "work");
    CounterRow {
        code: sheet.job.code.clone(),
        initials: words::initials(&sheet.player.display_name),
        country: sheet.player_record.country.clone().unwrap_or_default(),
        about: about.map_or_else(String::new, |at| format!("about {}", visitor.time(at.utc()))),
    }
}

fn room(
    visitor: &Visitor,
    shell: crate::pages::shell::Shell,
    sheets: &[JobSheet],
    page: usize,
    stations: Vec<StationMark>,
) -> RoomWall {
    let count = |state: &str| sheets.iter().filter(|sheet| sheet.job.state == state).count();
    let mut rows: Vec<RoomRow> = sheets
        .iter()
        .filter(|sheet| sheet.job.state != "ready")
        .map(|sheet| room_row(visitor, sheet))
        .collect();
    rows.sort_by_key(|row| !row.exception);
    let pages = rows.len().div_ceil(ROWS_A_PAGE).max(1);
    let page = page.clamp(1, pages);
    let next = if page < pages { page + 1 } else { 1 };
    RoomWall {
        shell,
        counts: vec![
            ("in".into(), sheets.len()),
            ("waiting".into(), count("waiting")),
            ("on machine".into(), count("on_machine")),
            ("check".into(), count("checking")),
            ("ready".into(), count("ready")),
        ],
        on_time: String::new(),
        rows: rows
            .into_iter()
            .skip((page - 1) * ROWS_A_PAGE)
            .take(ROWS_A_PAGE)
            .collect(),
        gathered: Vec::new(),
        page,
        pages,
        next_page: if pages > 1 {
            format!("/wall?for=room&page={next}")
        } else {
            String::new()
        },
        empty_words: "All done.".into(),
        stations,
    }
}

fn room_row(visitor: &Visitor, sheet: &JobSheet) -> RoomRow {
    let state: Chip = words::state_chip(sheet, visitor.now);
    RoomRow {
        exception: state.kind != ChipKind::Plain,
        code: sheet.job.code.clone(),
        initials: words::initials(&sheet.player.display_name),
        wanted: visitor.time(sheet.job.due_at.utc()),
        station: sheet.station_name.clone().unwrap_or_default(),
        words: sheet
            .job
            .held_reason
            .clone()
            .unwrap_or_else(|| sheet.job.state.replace('_', " ")),
        who: if sheet.job.held_reason.is_some() {
            "desk".into()
        } else {
            String::new()
        },
        state,
    }
}

/// The player's page: their own states by their own link, and nothing else.
async fn your_rackets(request: HttpRequest, token: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let desk = visit::desk_of(&request)?;
    let wanted = asked.some("lang").or_else(|| {
        let line = request.headers().get(header::ACCEPT_LANGUAGE)?;
        line.to_str().ok().map(str::to_owned)
    });
    let link = token.clone();
    let read = desk.read(move |db| {
        let (player, sheets) = find::by_link(db, &link)?;
        let house = overview::house(db, &player.tournament_id)?;
        Ok((sheets, house))
    });
    let found = match read.await {
        Ok(found) => Some(found),
        Err(DeskError::NotFound(_)) => None,
        Err(error) => return Err(error.into()),
    };
    let now = desk.clock().desk();
    let status = if found.is_some() {
        StatusCode::OK
    } else {
        StatusCode::NOT_FOUND
    };
    let ended = found.is_none();
    let (sheets, zone, place) = match found {
        Some((sheets, house)) => (sheets, house.zone, house.name),
        None => (Vec::new(), chrono_tz::Tz::UTC, String::new()),
    };
    let page = YourRackets {
        say: Wording::best(wanted.as_deref().unwrap_or("en")),
        address: format!("/p/{}", words::in_address(&token)),
        place,
        rackets: sheets
            .iter()
            .filter(|sheet| {
                sheet
                    .job
                    .out_at
                    .is_none_or(|at| now - at.utc() < chrono::TimeDelta::hours(12))
            })
            .map(|sheet| player_racket(sheet, zone))
            .collect(),
        data_at: words::time(zone, now),
        pickup_code: String::new(),
        ended,
    };
    Ok(HttpResponse::build(status)
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .body(page.render().map_err(Failure::from)?))
}

fn player_racket(sheet: &JobSheet, zone: chrono_tz::Tz) -> PlayerRacket {
    let state = match sheet.job.state.as_str() {
        "ready" => PlayerState::Ready,
        "out" => PlayerState::Out,
        "cancelled" => PlayerState::Ask,
        _ if sheet.job.held_reason.is_some() => PlayerState::Ask,
        "on_machine" => PlayerState::Working,
        "checking" => PlayerState::Checking,
        _ => PlayerState::Waiting,
    };
    let waits = matches!(
        state,
        PlayerState::Waiting | PlayerState::Working | PlayerState::Checking
    );
    let due = words::time(zone, sheet.job.due_at.utc());
    let about = sheet
        .job
        .promised_at
        .map_or(due.clone(), |at| words::time(zone, at.utc()));
    let marks = words::marks(&sheet.racket_record);
    PlayerRacket {
        marks: if marks.is_empty() {
            sheet.job.code.clone()
        } else {
            marks
        },
        state,
        about: if waits { about } else { String::new() },
        safe: if waits { due } else { String::new() },
    }
}
