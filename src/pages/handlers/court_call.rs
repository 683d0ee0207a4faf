//! Court Call: from the call to the racket in its player's hands, on one screen.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, Utc};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, photos, words};
use crate::craft::job::JobState;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::roles::Role;
use crate::desk::court_call::{self, CALLERS, Called, RUNNERS};
use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::find::{self, Found, PlayerCard, RacketOnCard};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::accounts::Account;
use crate::desk::reads::photos::Photo;
use crate::desk::spare::note_spare;
use crate::desk::{DeskError, DeskResult, Tx, overview};
use crate::pages::parts::Choice;
use crate::pages::views::court_call::{Caller, CourtCall, OnCourt, Run};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/court-call", web::get().to(show))
        .route("/court-call", web::post().to(call))
        .route("/court-call/{job}", web::post().to(run));
}

/// States of rackets that a court may wait for.
const OPEN: [&str; 5] = ["waiting", "assigned", "on_machine", "checking", "ready"];

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let page = screen(&visitor, &asked).await?;
    visitor.page(StatusCode::OK, &page)
}

/// What the database says for the screen.
struct Seen {
    boards: Vec<DayBoard>,
    names: std::collections::BTreeMap<String, String>,
    hits: Found,
    card: Option<PlayerCard>,
    people: Vec<Account>,
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

/// What is asked about a player's call; `plays_on` is the court they are on now, if that is known.
fn caller(seen: &Seen, card: &PlayerCard, form: &Filled, plays_on: &str) -> Caller {
    let scanned = match (&seen.hits.job, &seen.hits.racket) {
        (Some(sheet), _) => Some(&sheet.racket.id),
        (None, racket) => racket.as_ref().map(|racket| &racket.id),
    };
    let chosen = scanned.map_or_else(|| form.get("racket_id"), String::as_str);
    let (known, never): (Vec<_>, Vec<_>) = card.rackets.iter().partition(|one| one.last.is_some());
    let mut rackets: Vec<Choice> = known
        .iter()
        .map(|one| {
            Choice::new(one.racket.id.clone(), named(one))
                .hint(where_it_is(one))
                .chosen(one.racket.id == chosen)
        })
        .collect();
    if let ([only], true) = (rackets.as_mut_slice(), chosen.is_empty()) {
        only.chosen = true;
    }
    let runner = form.get("runner_id");
    let mut runners = vec![Choice::new("", "whoever is free").chosen(runner.is_empty())];
    let people = seen
        .people
        .iter()
        .filter(|one| one.active && one.role == Role::Runner.as_str());
    runners.extend(
        people.map(|one| Choice::new(one.id.clone(), one.display_name.clone()).chosen(one.id == runner)),
    );
    Caller {
        player: card.player.display_name.clone(),
        player_id: card.player.id.clone(),
        may_change: known.iter().any(|one| !is_here(one)) || form.some("change").is_some(),
        rackets,
        never_strung: never.into_iter().map(named).collect(),
        courts: courts(seen, form, plays_on),
        other_court: form.get("other_court").to_owned(),
        change: form.get("change").to_owned(),
        runners,
    }
}

/// The courts of the day; the one that was chosen or that the player is on is taken already.
fn courts(seen: &Seen, form: &Filled, plays_on: &str) -> Vec<Choice> {
    let court = form.some("court").unwrap_or_else(|| plays_on.to_owned());
    let today = seen.boards.first().into_iter();
    let mut courts: Vec<Choice> = today
        .flat_map(|board| &board.plan.order.courts)
        .map(|one| Choice::new(one.label.clone(), one.label.clone()).chosen(one.label == court))
        .collect();
    if !court.is_empty() && !courts.iter().any(|one| one.chosen) {
        courts.push(Choice::new(court.clone(), court).chosen(true));
    }
    courts
}

/// "racket 3, Frame One 16x19".
fn named(one: &RacketOnCard) -> String {
    let label = format!("{}, {}", words::racket(&one.record), one.frame.name);
    label.trim_start_matches(", ").to_owned()
}

fn is_here(one: &RacketOnCard) -> bool {
    one.last.as_ref().is_some_and(|sheet| sheet.job.state != "out")
}

fn where_it_is(one: &RacketOnCard) -> String {
    let Some(sheet) = &one.last else {
        return String::new();
    };
    match sheet.job.state.parse() {
        _ if !is_here(one) => {
            let pulls = [&sheet.spec.mains.tension, &sheet.spec.crosses.tension].map(words::tension);
            format!("not here: taken in, {} / {} again", pulls[0], pulls[1])
        }
        Ok(JobState::Ready) => format!("here as {}, ready: only a runner is missing", sheet.job.code),
        Ok(state) => format!("here as {}, {}", sheet.job.code, state.words()),
        Err(_) => format!("here as {}", sheet.job.code),
    }
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

fn runs(visitor: &Visitor, seen: &Seen) -> Vec<Run> {
    let own = visitor.caller.account_id.as_ref();
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

async fn call(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let called = Called {
        racket_id: form.get("racket_id").to_owned(),
        court: form
            .some("other_court")
            .unwrap_or_else(|| form.get("court").to_owned()),
        change: form.some("change"),
        runner_id: form.some("runner_id"),
    };
    let done = visitor
        .once("/court-call", &form, move |tx| {
            Ok(court_call::call(tx, &called)?.job.id)
        })
        .await;
    went(&visitor, &form, done).await
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
        _ => String::new(),
    }
}
