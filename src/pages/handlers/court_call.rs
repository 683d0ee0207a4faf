//! Court Call: from the call to the racket in its player's hands, on one screen.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};

use super::court_call_card::caller;
use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, photos, words};
use crate::craft::job::JobState;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::roles::{Permission, Role};
use crate::desk::court_call::{self, CALLERS, Called, RUNNERS};
use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::find::{self, Found, PlayerCard};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::accounts::Account;
use crate::desk::reads::photos::Photo;
use crate::desk::spare::note_spare;
use crate::desk::{DeskError, DeskResult, Tx, overview};
use crate::pages::parts::Note;
use crate::pages::views::court_call::{CourtCall, OnCourt, Run};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/court-call", web::get().to(show))
        .route("/court-call", web::post().to(call))
        .route("/court-call/{job}", web::post().to(run))
        .route("/court-call/{job}", web::get().to(list));
}

/// States of rackets that a court may wait for.
const OPEN: [&str; 5] = ["waiting", "assigned", "on_machine", "checking", "ready"];

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let mut page = screen(&visitor, &asked).await?;
    if let Some(run) = page.runs.iter().find(|run| run.job_id == asked.get("called")) {
        page.shell.note = Some(Note {
            words: read_back(run),
            links: Vec::new(),
        });
    }
    visitor.page(StatusCode::OK, &page)
}

/// What was refused stays at its own address; whoever loads that again reads the screen.
async fn list(visitor: Visitor) -> Shown {
    Ok(visitor.go_to("/court-call"))
}

/// What whoever called hears again.
fn read_back(run: &Run) -> String {
    let parts = [&run.wish, &run.back_by].map(|part| part.as_str());
    let told: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    format!(
        "Read back: {} for {}, {}: {}.",
        run.code,
        run.player,
        run.court,
        told.join("; ")
    )
}

/// The tile of a place that is typed.
pub(super) const ELSEWHERE: &str = "elsewhere";

/// What the database says for the screen.
pub(super) struct Seen {
    pub(super) boards: Vec<DayBoard>,
    names: std::collections::BTreeMap<String, String>,
    pub(super) hits: Found,
    card: Option<PlayerCard>,
    pub(super) people: Vec<Account>,
    open: Vec<JobSheet>,
    /// Photos of the rackets that courts wait for.
    photos: Vec<Photo>,
}

async fn seen(visitor: &Visitor, form: &Filled) -> DeskResult<Seen> {
    let (tournament, now, memory) = (visitor.tournament(), visitor.now, visitor.desk.court_memory());
    let (query, asked) = (
        form.get("q").to_owned(),
        form.some("player").or_else(|| form.some("player_id")),
    );
    let read = visitor.desk.read(move |db| {
        let hits = find::find_beside(db, &tournament, &query, asked.as_deref())?;
        let owner = |hits: &Found| match (&hits.job, &hits.racket, hits.players.as_slice()) {
            (Some(sheet), ..) => Some(sheet.player.id.clone()),
            (None, Some(racket), _) => Some(racket.player_id.clone()),
            (None, None, [only]) => Some(only.id.clone()),
            _ => None,
        };
        let player = owner(&hits).or(asked);
        let mut open = overview::sheets_in(db, &tournament, &OPEN)?;
        note_spare(db, &tournament, now, &mut open)?;
        Ok(Seen {
            boards: board::boards(db, &tournament, now, &memory)?,
            names: board::player_names(db, &tournament)?,
            card: match player {
                Some(id) => Some(find::card(db, &tournament, &id)?),
                None => None,
            },
            hits,
            people: overview::all_accounts(db, &tournament)?,
            open,
            photos: Vec::new(),
        })
    });
    read.await
}

async fn screen(visitor: &Visitor, form: &Filled) -> Result<CourtCall, Failure> {
    visitor.caller.must_be(&RUNNERS)?;
    let may_call = visitor.caller.must_be(&CALLERS).is_ok();
    let mut seen = seen(visitor, form).await?;
    let called = seen.open.iter().filter(|sheet| sheet.record.court_call.is_some());
    let ids = called.map(|sheet| sheet.racket.id.clone()).collect();
    seen.photos = photos::of_rackets(visitor, ids).await?;
    let court = form.get("court");
    let playing = on_court(visitor, &seen).await?;
    let plays_on = |id: &str| playing.iter().find(|one| one.player_id == id);
    let calling = seen.card.as_ref().filter(|_| may_call);
    let calling = calling.map(|card| {
        let known = plays_on(&card.player.id).map(|one| one.court.as_str());
        caller(&seen, card, form, known.unwrap_or_default())
    });
    let mut players = playing;
    // whoever is shown below is not asked for again
    let others = seen.hits.players.iter().filter(|one| {
        let shown = calling.as_ref().map(|whose| whose.player_id.as_str());
        shown != Some(one.id.as_str())
    });
    players.extend(others.map(|player| OnCourt {
        player_id: player.id.clone(),
        court: String::new(),
        player: player.display_name.clone(),
        href: address(court, &player.id),
    }));
    players.extend(seen.hits.numbered.iter().map(|sheet| OnCourt {
        player_id: sheet.player.id.clone(),
        court: String::new(),
        player: format!(
            "{}, {}",
            sheet.player.display_name,
            words::racket(&sheet.racket_record)
        ),
        href: format!(
            "{}&racket_id={}",
            address(court, &sheet.player.id),
            sheet.racket.id
        ),
    }));
    Ok(CourtCall {
        nothing_found: !form.get("q").is_empty() && seen.hits.is_empty(),
        shell: visitor.shell("Court Call", "Court Call", "jobs,rackets,pickups,matches,courts")?,
        may_call,
        court: court.to_owned(),
        query: form.get("q").to_owned(),
        calling,
        players: if may_call { players } else { Vec::new() },
        runs: runs(visitor, &seen),
    })
}

fn address(court: &str, player: &str) -> String {
    format!("/court-call?court={}&player={player}", words::in_address(court))
}

/// Everybody of the desk who is on court now.
async fn on_court(visitor: &Visitor, seen: &Seen) -> DeskResult<Vec<OnCourt>> {
    let mut found = Vec::new();
    for board in &seen.boards {
        let chances = board.chances(&seen.names);
        for row in &board.rows {
            if !matches!(row.phase, MatchPhase::OnCourt | MatchPhase::Stopped) {
                continue;
            }
            let played = &board.plan.order.matches[row.place];
            let court = board.plan.order.court(&played.court);
            let court = court.map_or_else(|| played.court.clone(), |court| court.label.clone());
            let sure = chances[row.place].iter().filter(|(_, chance)| **chance > 0.99);
            found.extend(sure.map(|(id, _)| (court.clone(), id.clone())));
        }
    }
    let tournament = visitor.tournament();
    let named = visitor.desk.read(move |db| {
        let mut named = Vec::new();
        for (court, id) in found {
            let card = find::card(db, &tournament, &id)?;
            named.push(OnCourt {
                href: address(&court, &id),
                player_id: id,
                player: card.player.display_name,
                court,
            });
        }
        Ok(named)
    });
    named.await
}

/// Where a called racket is meanwhile, and by when it can be fetched: "on the machine, Station 2, about 14:20".
fn meanwhile(visitor: &Visitor, sheet: &JobSheet, on_its_way: bool) -> String {
    let state = match sheet.job.state.parse() {
        _ if on_its_way => return "on its way".to_owned(),
        Ok(JobState::Ready) | Err(_) => return String::new(),
        Ok(state) => state.words().to_owned(),
    };
    let at = sheet.station_name.iter().map(|name| format!(", {name}"));
    let about = sheet.spare.iter();
    let about = about.map(|spare| format!(", ready about {}", visitor.time(spare.ready_at)));
    std::iter::once(state).chain(at).chain(about).collect()
}

/// "M 24 kg (52.9 lb) String A 1.25 / C …".
fn wish(sheet: &JobSheet) -> String {
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    format!("{mains} / {crosses}")
}

fn runs(visitor: &Visitor, seen: &Seen) -> Vec<Run> {
    let own = visitor.caller.account_id.as_ref();
    let may_see = visitor.caller.role.may(Permission::SeeSpec);
    let may_call = visitor.caller.must_be(&CALLERS).is_ok();
    let called = seen.open.iter().filter_map(|sheet| {
        let run = sheet.record.court_call.as_ref()?;
        let theirs = run.runner_id.is_none() || run.runner_id.as_ref() == own;
        (theirs || visitor.caller.role != Role::Runner).then_some((sheet, run))
    });
    let mut all: Vec<(DateTime<Utc>, Run)> = called
        .map(|(sheet, run)| {
            let runner = seen
                .people
                .iter()
                .find(|one| Some(&one.id) == run.runner_id.as_ref());
            let who = runner.map_or("whoever is free", |one| one.display_name.as_str());
            let minutes = (visitor.now - run.called_at).num_minutes();
            let ready = sheet.job.state == "ready";
            let shown = Run {
                job_id: sheet.job.id.clone(),
                court: run.court.clone(),
                code: sheet.job.code.clone(),
                player: sheet.player.display_name.clone(),
                racket: words::racket(&sheet.racket_record),
                slot: overview::slot_of(sheet).unwrap_or_default(),
                state: words::state_chip(sheet, visitor.now),
                meanwhile: meanwhile(visitor, sheet, run.picked_up_at.is_some()),
                photos: photos::of_job(visitor, &seen.photos, sheet),
                wish: if may_see { wish(sheet) } else { String::new() },
                back_by: if ready {
                    String::new()
                } else {
                    format!("back by {}", visitor.time(sheet.job.due_at.utc()))
                },
                may_print: may_call && !ready,
                told: format!("called {minutes} min ago, runs: {who}"),
                may_pick_up: ready && run.picked_up_at.is_none(),
                may_deliver: ready && run.picked_up_at.is_some(),
            };
            (run.called_at, shown)
        })
        .collect();
    all.sort_by_key(|(called_at, _)| *called_at);
    all.into_iter().map(|(_, run)| run).collect()
}

/// The tile that was tapped or the place that was typed; both at once is asked about.
fn place(form: &Filled) -> DeskResult<String> {
    let tile = form.some("court").filter(|tile| tile != ELSEWHERE);
    match (tile, form.some("other_court")) {
        (Some(tile), Some(typed)) if tile != typed => {
            let words = format!(
                "{tile} is chosen and “{typed}” is written. Choose “another place” for what is written, or clear it."
            );
            Err(DeskError::member("/court", "not_together", words))
        }
        (tile, typed) => Ok(tile.or(typed).unwrap_or_default()),
    }
}

/// Until when the racket is wanted back, where somebody said so.
fn wanted_by(visitor: &Visitor, form: &Filled) -> DeskResult<Option<DateTime<Utc>>> {
    let Some(typed) = form.some("wanted_by") else {
        return Ok(None);
    };
    let at = words::moment(visitor.house.zone, visitor.now, &typed);
    at.map(Some).ok_or_else(|| {
        let words = "Write the time as 14:30, or leave it out.";
        DeskError::member("/wanted_by", "invalid_value", words)
    })
}

async fn call(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let heard = place(&form).and_then(|court| Ok((court, wanted_by(&visitor, &form)?)));
    let (court, wanted_by) = match heard {
        Ok(heard) => heard,
        Err(error) => return went(&visitor, &form, Err(error)).await,
    };
    let called = Called {
        racket_id: form.get("racket_id").to_owned(),
        court,
        change: form.some("change"),
        runner_id: form.some("runner_id"),
        wanted_by,
    };
    let done = visitor
        .once("/court-call", &form, move |tx| {
            Ok(court_call::call(tx, &called)?.job.id)
        })
        .await;
    match done {
        Ok(job) => Ok(visitor.go_to(&format!("/court-call?called={job}"))),
        refused => went(&visitor, &form, refused).await,
    }
}

async fn run(visitor: Visitor, job: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (id, to, what) = (job.into_inner(), form.some("to"), form.get("do").to_owned());
    let route = format!("/court-call/{id}");
    let done = visitor
        .once(&route, &form, move |tx| {
            ran(tx, &id, &what, to.as_deref()).map(|()| id)
        })
        .await;
    went(&visitor, &Filled::default(), done).await
}

fn ran(tx: &mut Tx<'_>, id: &str, what: &str, to: Option<&str>) -> DeskResult<()> {
    match (what, to) {
        (_, Some(to)) => court_call::deliver(tx, id, to),
        ("pick_up", None) => court_call::pick_up(tx, id).map(drop),
        ("bring_back", None) => court_call::bring_back(tx, id),
        _ => Err(DeskError::member("/do", "invalid_value", "Choose what was done.")),
    }
}

async fn went(visitor: &Visitor, form: &Filled, done: DeskResult<String>) -> Shown {
    match done {
        Ok(_) => Ok(visitor.go_to("/court-call")),
        Err(error @ (DeskError::NotAllowed | DeskError::NotFound(_))) => Err(error.into()),
        Err(error) => {
            let (status, problem) = refused::on_page(error, field_of)?;
            let mut page = screen(visitor, form).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

fn field_of(pointer: &str) -> String {
    match pointer {
        "/court" => "other_court".to_owned(),
        "/change" | "/wish" => "change".to_owned(),
        "/wanted_by" => "wanted_by".to_owned(),
        _ => String::new(),
    }
}
