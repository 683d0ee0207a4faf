//! The player's page: their own states by their own link, and what they may ask for.
use std::collections::BTreeMap;

use actix_web::cookie::{Cookie, SameSite, time::Duration};
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;
use chrono::{DateTime, TimeDelta, Utc};

use super::filled::Filled;
use super::refused::Failure;
use super::{Shown, door, visit, words, your_match};
use crate::access::refused::Refused;
use crate::desk::find;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview::{self, House};
use crate::desk::reads::{from_record, players::Player};
use crate::desk::records::PlayerRecord;
use crate::desk::spare::note_spare;
use crate::desk::{
    Answer, Caller, Desk, DeskError, DeskResult, Once, Thing, Tx, ask_by_link, pickup_code, sign_in,
    text_member,
};
use crate::pages::views::your_rackets::{PlayerRacket, PlayerState, View, YourRackets};
use crate::pages::wording::Wording;

/// What went out longer ago is not shown any more.
const SHOWN_AFTER_OUT: TimeDelta = TimeDelta::hours(12);
/// The status loads itself again; browsers do this without any script.
const LOADS_AGAIN_S: u32 = 60;
/// The cookie that remembers the language that was chosen.
const LANGUAGE: &str = "weftdesk-language";

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/p", web::get().to(no_link))
        .route("/p/", web::get().to(no_link))
        .route("/p/{token}", web::get().to(show))
        .route("/p/{token}", web::post().to(ask));
}

/// The language: chosen, remembered, or what the browser asks for.
pub(super) fn wording(request: &HttpRequest, chosen: &str) -> Wording {
    if !chosen.is_empty() {
        return Wording::best(chosen);
    }
    if let Some(kept) = request.cookie(LANGUAGE) {
        return Wording::best(kept.value());
    }
    let line = request.headers().get(header::ACCEPT_LANGUAGE);
    Wording::best(line.and_then(|line| line.to_str().ok()).unwrap_or("en"))
}

/// The address without its link, as after a half-copied one: the same as a link that ended.
async fn no_link(request: HttpRequest, asked: web::Query<Filled>) -> Shown {
    ended(&request, "", wording(&request, asked.get("lang"))).await
}

/// The page of a link that leads nowhere, in its reader's language.
pub(super) async fn ended(request: &HttpRequest, token: &str, say: Wording) -> Shown {
    let desk = visit::desk_of(request)?;
    let page = page(&desk, token, say, String::new()).await?;
    answer(request, StatusCode::NOT_FOUND, &page, false)
}

async fn show(request: HttpRequest, token: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let say = wording(&request, asked.get("lang"));
    let desk = visit::desk_of(&request)?;
    let mut page = page(&desk, &token, say, String::new()).await?;
    page.done = match asked.get("asked") {
        "change" => page.change_words(asked.get("racket")),
        "withdrawn" => page.say.say("withdraw-done"),
        _ => String::new(),
    };
    // WCAG 2.2.1: whoever reads slowly switches the loading off
    page.still = asked.get("still") == "yes";
    if asked.get("asked") == "delegate" && !page.delegates.is_empty() {
        page.done = page.delegate_words();
    }
    page.view = view(asked.get("ask"));
    let status = if page.ended {
        StatusCode::NOT_FOUND
    } else {
        StatusCode::OK
    };
    answer(&request, status, &page, asked.get("keep") == "yes")
}

fn view(asked: &str) -> View {
    match asked {
        "code" => View::Code,
        "delegate" => View::Delegate,
        "change" => View::Change,
        _ => View::Status,
    }
}

fn answer(request: &HttpRequest, status: StatusCode, page: &YourRackets, remember: bool) -> Shown {
    let mut answer = HttpResponse::build(status);
    if remember {
        let secure = door::access_of(request)?.secure_cookies();
        let kept = Cookie::build(LANGUAGE, page.say.tag())
            .path("/p")
            .max_age(Duration::days(30))
            .secure(secure)
            .http_only(true)
            .same_site(SameSite::Lax);
        answer.cookie(kept.finish());
    }
    let loads = matches!(page.view, View::Status | View::Code);
    if loads && !page.ended && !page.still {
        answer.insert_header((header::REFRESH, LOADS_AGAIN_S.to_string()));
    }
    Ok(answer
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .body(page.render().map_err(Failure::from)?))
}

/// What the link leads to; nothing where it ended.
pub(super) async fn behind(
    desk: &Desk,
    token: &str,
) -> Result<Option<(Player, Vec<JobSheet>, House)>, Failure> {
    let (link, now) = (token.to_owned(), desk.clock().desk());
    let read = desk.read(move |db| {
        let (player, mut sheets) = find::by_link(db, &link)?;
        note_spare(db, &player.tournament_id, now, &mut sheets)?;
        let house = overview::house(db, &player.tournament_id)?;
        Ok((player, sheets, house))
    });
    match read.await {
        Ok(found) => Ok(Some(found)),
        Err(DeskError::NotFound(_)) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

async fn page(desk: &Desk, token: &str, say: Wording, done: String) -> Result<YourRackets, Failure> {
    let now = desk.clock().desk();
    let mut page = YourRackets {
        view: View::Status,
        say,
        address: format!("/p/{}", words::in_address(token)),
        place: String::new(),
        rackets: Vec::new(),
        stops: Vec::new(),
        data_at: words::time(chrono_tz::Tz::UTC, now),
        pickup_code: String::new(),
        pickup_until: String::new(),
        delegates: Vec::new(),
        done,
        problem: String::new(),
        typed: String::new(),
        chosen: String::new(),
        key: visit::fresh_key()?,
        ended: true,
        still: false,
    };
    let Some((player, sheets, house)) = behind(desk, token).await? else {
        return Ok(page);
    };
    let record: PlayerRecord = from_record(&player.record).map_err(|cause| Failure::ours(&cause))?;
    page.ended = false;
    page.data_at = words::time(house.zone, now);
    page.pickup_until = words::time(house.zone, pickup_code::taken_until(now));
    page.place = house.collect_at.unwrap_or_default();
    page.delegates = [record.delegates, record.delegates_once].concat();
    page.pickup_code = spaced(&pickup_code::shown(token, now));
    let fresh = |sheet: &&JobSheet| sheet.job.out_at.is_none_or(|at| now - at.utc() < SHOWN_AFTER_OUT);
    let newest = newest_of_each(sheets);
    page.rackets = newest
        .iter()
        .filter(fresh)
        .map(|sheet| player_racket(sheet, &page.say, house.zone, now))
        .collect();
    your_match::note_stops(desk, &mut page, (&player.tournament_id, house.zone), newest).await?;
    // what is waited for first; what has left last
    page.rackets.sort_by_key(|racket| racket.state.rank());
    Ok(page)
}

/// Each racket once, by its newest job, in the order of their times; what was called off before it came is not shown.
pub(super) fn newest_of_each(sheets: Vec<JobSheet>) -> Vec<JobSheet> {
    let mut newest: BTreeMap<String, JobSheet> = BTreeMap::new();
    // they come by receipt
    for sheet in sheets {
        newest.insert(sheet.racket.id.clone(), sheet);
    }
    let mut newest: Vec<JobSheet> = newest.into_values().collect();
    newest.sort_by_key(|sheet| (safe_at(sheet), sheet.job.batch_place));
    newest
}

/// "482 917": read aloud in two halves.
fn spaced(code: &str) -> String {
    let (first, second) = code.split_at(code.len() / 2);
    format!("{first} {second}")
}

/// A delegate is named or withdrawn, or a change asked for; a link may do that only so often.
async fn ask(request: HttpRequest, token: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let desk = visit::desk_of(&request)?;
    let say = wording(&request, form.get("lang"));
    let Some((player, ..)) = behind(&desk, &token).await? else {
        return ended(&request, &token, say).await;
    };
    let access = door::access_of(&request)?;
    let tries = &access.tries.pickup_code;
    if let Err(Refused::TooManyTries { wait_s }) = tries.take(&sign_in::token_hash(&token), access.now()) {
        let words = say.count("wrong-often", usize::try_from(wait_s).unwrap_or(usize::MAX));
        let mut page = again(&desk, &token, &form, say).await?;
        page.problem = words;
        return answer(&request, StatusCode::TOO_MANY_REQUESTS, &page, false);
    }
    let once = Once {
        key: form.get("once").to_owned(),
        route: format!("POST /p/{}", player.id),
        fingerprint: form.fingerprint(),
    };
    let (link, filled) = (token.clone(), form.clone());
    let asked = desk
        .write_once(&Caller::system(&player.tournament_id), once, move |tx| {
            Ok(Answer {
                status: 303,
                headers: Vec::new(),
                body: wish(tx, &link, &filled)?.to_owned(),
                replayed: false,
            })
        })
        .await;
    match asked {
        Ok(answer) => Ok(done(&token, &form, &say, &answer.body)),
        Err(error @ (DeskError::Invalid(_) | DeskError::NotFound(Thing::Job))) => {
            let mut page = again(&desk, &token, &form, say).await?;
            page.problem = page.say.say(reason(&form, &error));
            answer(&request, StatusCode::UNPROCESSABLE_ENTITY, &page, false)
        }
        Err(error) => Err(error.into()),
    }
}

/// Does what the form asks for; answers its name.
fn wish(tx: &mut Tx<'_>, link: &str, form: &Filled) -> DeskResult<&'static str> {
    if let Some(name) = form.some("withdraw") {
        ask_by_link::withdraw_delegate(tx, link, &name)?;
        return Ok("withdrawn");
    }
    if form.has_field("delegate") {
        ask_by_link::name_delegate(tx, link, form.get("delegate"))?;
        return Ok("delegate");
    }
    ask_by_link::ask_for_change(tx, link, form.get("job_id"), form.get("change"))?;
    Ok("change")
}

/// The name of the text that says why a form was not taken.
fn reason(form: &Filled, error: &DeskError) -> &'static str {
    let typed = form.get("delegate").trim();
    let no_racket = match error {
        DeskError::Invalid(faults) => faults.iter().any(|fault| fault.pointer == "/job_id"),
        _ => true,
    };
    if no_racket {
        "wrong-which"
    } else if !form.has_field("delegate") {
        "wrong-change"
    } else if typed.is_empty() || typed.chars().count() > text_member::LONGEST {
        "wrong-name"
    } else {
        "wrong-many"
    }
}

/// The page of the same question, with what was typed.
async fn again(desk: &Desk, token: &str, form: &Filled, say: Wording) -> Result<YourRackets, Failure> {
    let mut page = page(desk, token, say, String::new()).await?;
    page.still = form.get("still") == "yes";
    page.chosen = form.get("job_id").to_owned();
    let field = if form.has_field("change") {
        "change"
    } else {
        "delegate"
    };
    page.view = view(field);
    form.get(field).clone_into(&mut page.typed);
    Ok(page)
}

fn done(token: &str, form: &Filled, say: &Wording, asked: &str) -> HttpResponse {
    let still = if form.get("still") == "yes" {
        "&still=yes"
    } else {
        ""
    };
    let racket = match form.get("job_id") {
        "" => String::new(),
        id => format!("&racket={}", words::in_address(id)),
    };
    let next = format!(
        "/p/{}?lang={}&asked={asked}{racket}{still}",
        words::in_address(token),
        say.tag()
    );
    HttpResponse::SeeOther()
        .content_type("text/html; charset=utf-8")
        .insert_header((header::LOCATION, next))
        .finish()
}

/// The time that holds: the promise, or what the plan expects where that is later by now;
/// before a station is open, the time that was asked for.
pub(super) fn safe_at(sheet: &JobSheet) -> DateTime<Utc> {
    let told = sheet.job.promised_at.unwrap_or(sheet.job.due_at).utc();
    let expected = sheet.spare.as_ref().map(|spare| spare.ready_at);
    expected.map_or(told, |at| at.max(told))
}

fn player_racket(sheet: &JobSheet, say: &Wording, zone: chrono_tz::Tz, now: DateTime<Utc>) -> PlayerRacket {
    let state = match sheet.job.state.as_str() {
        "ready" => PlayerState::Ready,
        "out" => PlayerState::Out,
        "cancelled" => PlayerState::Cancelled,
        _ if sheet.held(now).is_some() => PlayerState::Held,
        "on_machine" => PlayerState::Working,
        "checking" => PlayerState::Checking,
        _ => PlayerState::Waiting,
    };
    let waits = matches!(
        state,
        PlayerState::Waiting | PlayerState::Working | PlayerState::Checking
    );
    let today = now.with_timezone(&zone).date_naive();
    let told = |at: DateTime<Utc>| say.time_on(zone, today, at);
    // the safe time is the promise; the likely one is what the plan expects
    let safe = told(safe_at(sheet));
    let about = sheet
        .spare
        .as_ref()
        .map_or_else(|| safe.clone(), |spare| told(spare.ready_at));
    PlayerRacket {
        job_id: sheet.job.id.clone(),
        marks: shown_marks(sheet),
        state,
        about: if waits { about } else { String::new() },
        safe: if waits { safe } else { String::new() },
        stopped: None,
    }
}

/// What the player knows a racket by.
pub(super) fn shown_marks(sheet: &JobSheet) -> String {
    let marks = words::marks(&sheet.racket_record);
    if marks.is_empty() {
        sheet.job.code.clone()
    } else {
        marks
    }
}
