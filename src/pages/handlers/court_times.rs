//! Court Times: matches in, their effect on the rackets, courts stopped and going on.
use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{NaiveDate, NaiveTime};

use super::court_effect::effect_of;
use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, court_lanes, court_told, uploaded};
use crate::craft::match_times::day_drawing;
use crate::craft::match_times::format::known_names;
use crate::craft::match_times::venue_time::minute_of;
use crate::craft::roles::{Permission, Reach};
use crate::desk::court_times::board;
use crate::desk::court_times::change_order::put_order;
use crate::desk::court_times::take_events::take_events;
use crate::desk::court_times::{stop_courts, warm_lengths};
use crate::desk::{CourtMemory, DeskError, DeskResult, Tx};
use crate::forms::court_events::looks_like_events;
use crate::forms::order_of_play::day_in;
use crate::pages::parts::Fault;
use crate::pages::views::court_times::{CourtTimes, DayLink, EffectLines, WrongRow};

/// Files of more bytes are refused: the largest days of play take a tenth of it.
const LARGEST_FILE: usize = 2 << 20;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    let page = web::resource("/court-times")
        .app_data(web::PayloadConfig::new(LARGEST_FILE))
        .route(web::get().to(show))
        .route(web::post().to(take));
    config
        .service(page)
        .route("/court-times/courts", web::post().to(steer_courts))
        .route("/court-times/matches", web::post().to(court_told::tell));
    // a refusal stands at the address of its form; who loads it again comes to the day
    for form in ["/court-times/courts", "/court-times/matches"] {
        let day = |visitor: Visitor| async move { Shown::Ok(visitor.go_to("/court-times")) };
        config.route(form, web::get().to(day));
    }
}

/// The day asked for, else today at the venue.
pub(super) fn day_of(visitor: &Visitor, asked: &str) -> String {
    if asked.is_empty() {
        visitor
            .now
            .with_timezone(&visitor.house.zone)
            .date_naive()
            .to_string()
    } else {
        asked.to_owned()
    }
}

/// The day as a date.
pub(super) fn date(day: &str) -> DeskResult<NaiveDate> {
    day.parse()
        .map_err(|_unread| DeskError::member("/day", "invalid_value", "Write the day as YYYY-MM-DD."))
}

pub(super) async fn screen(visitor: &Visitor, day: String) -> Result<CourtTimes, Failure> {
    let (tournament, asked, now, memory) = (
        visitor.tournament(),
        day.clone(),
        visitor.now,
        visitor.desk.court_memory(),
    );
    let (found, names, days) = visitor
        .desk
        .read(move |db| {
            let found = board::board(db, &tournament, &asked, now, &memory)?;
            let names = court_lanes::names(db, &tournament)?;
            Ok((found, names, board::days(db, &tournament)?))
        })
        .await?;
    let courts = found
        .as_ref()
        .map(|board| court_lanes::lanes(visitor, board, &names))
        .unwrap_or_default();
    let drawing = found.map(|board| {
        unstyled(&day_drawing::svg(
            &board.plan,
            &board.rows,
            &board.times,
            Some(minute_of(now)),
        ))
    });
    let days = days.into_iter().map(|one| DayLink {
        here: one == day,
        label: day_words(&one),
        day: one,
    });
    Ok(CourtTimes {
        shell: visitor.shell("Court Times", "Court Times", "matches,courts,jobs")?,
        may_change: visitor.caller.role.reach(Permission::ChangeMatches) == Reach::All,
        days: days.collect(),
        day_words: day_words(&day),
        day,
        asked_day: String::new(),
        formats: known_names(),
        text: String::new(),
        effect: None,
        wrong_rows: Vec::new(),
        courts,
        drawing: drawing.unwrap_or_default(),
    })
}

/// "Sat 2 May"; what is no day as it was typed.
pub(super) fn day_words(day: &str) -> String {
    day.parse().map_or_else(
        |_unread| day.to_owned(),
        |day: NaiveDate| day.format("%a %-d %b").to_string(),
    )
}

/// A drawing without its own style sheet: the page's holds the same, and its policy allows no others.
fn unstyled(svg: &str) -> String {
    match (svg.split_once("<style>"), svg.split_once("</style>")) {
        (Some((before, _)), Some((_, after))) => format!("{before}{after}"),
        _ => svg.to_owned(),
    }
}

async fn show(visitor: Visitor, query: web::Query<Filled>) -> Shown {
    let page = screen(&visitor, day_of(&visitor, query.get("day"))).await?;
    visitor.page(StatusCode::OK, &page)
}

/// What was sent: an order of play or events, and for which day.
#[derive(Clone)]
pub(super) struct Sent {
    pub day: String,
    /// The day as it was asked for; empty where that of the text is meant.
    asked: String,
    pub text: String,
    pub events: bool,
}

impl Sent {
    /// A file goes before what was pasted; a day that is left open is the one in the text.
    fn of(visitor: &Visitor, form: &Filled) -> Self {
        let text = form.some("file").unwrap_or_else(|| form.get("text").to_owned());
        let events = looks_like_events(&text);
        let asked = form.get("day").to_owned();
        let written = day_in(&text).filter(|_| asked.is_empty() && !events);
        Self {
            day: written.map_or_else(|| day_of(visitor, &asked), |day| day.to_string()),
            asked,
            text,
            events,
        }
    }

    fn apply(&self, tx: &mut Tx<'_>, confirmed: bool, memory: &CourtMemory) -> DeskResult<()> {
        let day = date(&self.day)?;
        if self.events {
            take_events(tx, day, &self.text, confirmed, memory).map(drop)
        } else {
            put_order(tx, day, &self.text, None, confirmed, memory).map(drop)
        }
    }
}

async fn take(request: HttpRequest, visitor: Visitor, body: web::Bytes) -> Shown {
    let form = uploaded::fields(&request, body).await?;
    let sent = Sent::of(&visitor, &form);
    if sent.text.trim().is_empty() {
        let nothing = DeskError::member("/text", "missing", "Paste the order of play or choose a file.");
        return refused_text(&visitor, sent, nothing).await;
    }
    warm(&visitor, &sent).await?;
    if form.get("do") != "apply" {
        return match effect_of(&visitor, &sent).await {
            Ok(effect) => shown_with(&visitor, sent, Some(effect)).await,
            Err(error) => refused_text(&visitor, sent, error).await,
        };
    }
    let (asked, memory) = (sent.clone(), visitor.desk.court_memory());
    let confirmed = form.get("confirm") == "yes";
    let done = visitor
        .once("/court-times", &form, move |tx| {
            asked.apply(tx, confirmed, &memory)?;
            Ok(asked.day)
        })
        .await;
    match done {
        Ok(day) => Ok(visitor.go_to(&format!("/court-times?day={day}"))),
        Err(error) => refused_text(&visitor, sent, error).await,
    }
}

/// Lengths of matches that this text brings in are computed before anybody waits for them.
async fn warm(visitor: &Visitor, sent: &Sent) -> DeskResult<()> {
    let (tournament, text, memory) = (
        visitor.tournament(),
        sent.text.clone(),
        visitor.desk.court_memory(),
    );
    visitor
        .desk
        .read(move |db| warm_lengths::of_text(db, &tournament, &text, &memory))
        .await
}

async fn shown_with(visitor: &Visitor, sent: Sent, effect: Option<EffectLines>) -> Shown {
    let mut page = screen(visitor, sent.day).await?;
    page.asked_day = sent.asked;
    page.text = sent.text;
    page.effect = effect;
    visitor.page(StatusCode::OK, &page)
}

/// The same page with what was sent, and every wrong row with its reason.
async fn refused_text(visitor: &Visitor, sent: Sent, error: DeskError) -> Shown {
    let rows: Vec<WrongRow> = match &error {
        DeskError::Invalid(faults) => faults
            .iter()
            .filter_map(|fault| wrong_row(&fault.detail))
            .collect(),
        _ => Vec::new(),
    };
    let guarded = matches!(&error, DeskError::Rule { insist: Some(_), .. });
    let (status, mut problem) = refused::on_page(error, |pointer| {
        if pointer == "/day" { "day" } else { "text" }.to_owned()
    })?;
    if !rows.is_empty() {
        // the table below says each of them
        problem.faults.retain(|fault| wrong_row(&fault.words).is_none());
        let words = match rows.len() {
            1 => "One row is wrong. Nothing was changed.".to_owned(),
            many => format!("{many} things are wrong in the rows. Nothing was changed."),
        };
        problem.faults.insert(
            0,
            Fault {
                field: "wrong-title".to_owned(),
                words,
            },
        );
    }
    // a text whose effect somebody must agree to is shown with its effect
    let effect = if guarded {
        Some(effect_of(visitor, &sent).await?)
    } else {
        None
    };
    let mut page = screen(visitor, sent.day).await?;
    page.asked_day = sent.asked;
    page.text = sent.text;
    page.effect = effect;
    page.wrong_rows = rows;
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

/// "line 4, column 7: reason" apart.
fn wrong_row(detail: &str) -> Option<WrongRow> {
    let (place, reason) = detail.split_once(": ")?;
    let line = place.strip_prefix("line ")?.split(',').next()?;
    Some(WrongRow {
        line: line.to_owned(),
        reason: reason.to_owned(),
    })
}

async fn steer_courts(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let courts: Vec<String> = form.all("court").map(str::to_owned).collect();
    let (stop, reason, from) = (
        form.get("do") == "stop",
        form.get("reason").to_owned(),
        form.get("from").to_owned(),
    );
    let (zone, memory) = (visitor.house.zone, visitor.desk.court_memory());
    let done = visitor.once("/court-times/courts", &form, move |tx| {
        let at = if from.is_empty() {
            tx.now
        } else {
            let time = NaiveTime::parse_from_str(&from, "%H:%M")
                .map_err(|_unread| DeskError::member("/from", "invalid_value", "Write the time as hh:mm."))?;
            let today = tx.now.with_timezone(&zone).date_naive();
            crate::craft::match_times::venue_time::instant(zone, today.and_time(time))
                .map_or(tx.now, |(at, _)| at)
        };
        if stop {
            let expected = (at > tx.now).then_some(at);
            stop_courts::stop_courts(tx, courts, &reason, expected, &memory)?;
        } else {
            stop_courts::restart_courts(tx, courts, at, &memory)?;
        }
        Ok(String::new())
    });
    match done.await {
        Ok(_) => Ok(visitor.go_to("/court-times")),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |_pointer| "from".to_owned())?;
            let mut page = screen(&visitor, day_of(&visitor, "")).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}
