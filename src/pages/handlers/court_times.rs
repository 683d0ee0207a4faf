//! Court Times: matches in, their effect on the rackets, courts stopped and going on.
use std::collections::BTreeMap;

use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{NaiveDate, NaiveTime};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, court_lanes, uploaded, words};
use crate::craft::match_times::day_drawing;
use crate::craft::match_times::venue_time::minute_of;
use crate::desk::court_times::board;
use crate::desk::court_times::change_order::{Difference, day_written, put_order};
use crate::desk::court_times::follow::Moved;
use crate::desk::court_times::preview::preview_order;
use crate::desk::court_times::take_events::{preview_events, take_events};
use crate::desk::court_times::{JUMP, stop_courts, warm_lengths};
use crate::desk::reads::players;
use crate::desk::{CourtMemory, DeskError, DeskResult, Tx};
use crate::forms::court_events::looks_like_events;
use crate::pages::views::court_times::{CourtTimes, DayLink, EffectLines, MovedLine, WrongRow};

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
        .route("/court-times/courts", web::post().to(steer_courts));
}

/// The day asked for, else today at the venue.
fn day_of(visitor: &Visitor, asked: &str) -> String {
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
fn date(day: &str) -> DeskResult<NaiveDate> {
    day.parse()
        .map_err(|_unread| DeskError::member("/day", "invalid_value", "Write the day as YYYY-MM-DD."))
}

async fn screen(visitor: &Visitor, day: String) -> Result<CourtTimes, Failure> {
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
            let mut names = BTreeMap::new();
            for (name, id) in board::player_names(db, &tournament)? {
                if let Some(player) = players::find(db, &tournament, &id)? {
                    names.insert(name, player.display_name);
                }
            }
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
        day: one,
    });
    Ok(CourtTimes {
        shell: visitor.shell("Court Times", "Court Times", "matches,courts,jobs")?,
        days: days.collect(),
        day,
        text: String::new(),
        effect: None,
        wrong_rows: Vec::new(),
        courts,
        drawing: drawing.unwrap_or_default(),
    })
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
struct Sent {
    day: String,
    text: String,
    events: bool,
}

impl Sent {
    /// A file goes before what was pasted; a day that is left open is the one in the text.
    async fn of(visitor: &Visitor, form: &Filled) -> DeskResult<Self> {
        let text = form.some("file").unwrap_or_else(|| form.get("text").to_owned());
        let events = looks_like_events(&text);
        let (asked, given, tournament) = (form.get("day").to_owned(), text.clone(), visitor.tournament());
        let written = visitor
            .desk
            .read(move |db| {
                if !asked.is_empty() || events {
                    return Ok(asked);
                }
                let day = day_written(db, &tournament, &given)?;
                Ok(day.map_or(asked, |day| day.to_string()))
            })
            .await?;
        Ok(Self {
            day: day_of(visitor, &written),
            text,
            events,
        })
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
    let sent = Sent::of(&visitor, &form).await?;
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

async fn effect_of(visitor: &Visitor, sent: &Sent) -> DeskResult<EffectLines> {
    let (sent, memory, day) = (sent.clone(), visitor.desk.court_memory(), date(&sent.day)?);
    let (what, difference, moved, remarks) = visitor
        .desk
        .write(&visitor.caller, move |tx| {
            if sent.events {
                let taken = preview_events(tx, day, &sent.text, &memory)?;
                let what = format!("{} new on court, {} known already", taken.taken, taken.repeated);
                let remarks = taken
                    .remarks
                    .iter()
                    .map(|(line, _, words)| format!("line {line}: {words}"));
                return Ok((what, None, taken.moved, remarks.collect()));
            }
            let preview = preview_order(tx, day, &sent.text, &memory)?;
            let remarks: Vec<String> = preview.remarks.iter().map(ToString::to_string).collect();
            Ok((String::new(), Some(preview.difference), preview.moved, remarks))
        })
        .await?;
    let late = moved.iter().filter(|moved| moved.becomes_late).count();
    Ok(EffectLines {
        summary: difference.as_ref().map_or(what, counted),
        matches: difference.as_ref().map(named).unwrap_or_default(),
        jobs: format!("affects {}, {late} become late", how_many(moved.len(), "job")),
        moved: moved.iter().map(|moved| moved_job(visitor, day, moved)).collect(),
        remarks,
        ask: late >= JUMP,
    })
}

fn how_many(count: usize, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}

/// "3 matches moved, 1 new".
fn counted(difference: &Difference) -> String {
    let told: Vec<String> = parts(difference)
        .into_iter()
        .filter(|(_, ids)| !ids.is_empty())
        .map(|(what, ids)| format!("{} {what}", ids.len()))
        .collect();
    if told.is_empty() {
        "No match changes.".to_owned()
    } else {
        format!("Matches: {}", told.join(", "))
    }
}

/// "moved: M12, M17".
fn named(difference: &Difference) -> Vec<String> {
    /// More would not be read.
    const SHOWN: usize = 12;
    let some = parts(difference).into_iter().filter(|(_, ids)| !ids.is_empty());
    some.map(|(what, ids)| {
        let more = ids.len().saturating_sub(SHOWN);
        let first = ids.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
        if more > 0 {
            format!("{what}: {first} and {more} more")
        } else {
            format!("{what}: {first}")
        }
    })
    .collect()
}

fn parts(difference: &Difference) -> [(&'static str, &Vec<String>); 4] {
    [
        ("moved", &difference.moved),
        ("new", &difference.new),
        ("gone", &difference.gone),
        ("with other players or rules", &difference.changed),
    ]
}

fn moved_job(visitor: &Visitor, day: NaiveDate, moved: &Moved) -> MovedLine {
    let at = |moment| words::time_on(visitor.house.zone, day, moment);
    MovedLine {
        code: moved.code.clone(),
        played: moved.match_id.clone(),
        before: at(moved.before),
        after: at(moved.after),
        late: moved.becomes_late,
    }
}

async fn shown_with(visitor: &Visitor, sent: Sent, effect: Option<EffectLines>) -> Shown {
    let mut page = screen(visitor, sent.day).await?;
    page.text = sent.text;
    page.effect = effect;
    visitor.page(StatusCode::OK, &page)
}

/// The same page with what was sent, and every wrong row with its reason.
async fn refused_text(visitor: &Visitor, sent: Sent, error: DeskError) -> Shown {
    let rows = match &error {
        DeskError::Invalid(faults) => faults
            .iter()
            .filter_map(|fault| wrong_row(&fault.detail))
            .collect(),
        _ => Vec::new(),
    };
    let guarded = matches!(&error, DeskError::Rule { insist: Some(_), .. });
    let (status, problem) = refused::on_page(error, |pointer| {
        if pointer == "/day" { "day" } else { "text" }.to_owned()
    })?;
    // a text whose effect somebody must agree to is shown with its effect
    let effect = if guarded {
        Some(effect_of(visitor, &sent).await?)
    } else {
        None
    };
    let mut page = screen(visitor, sent.day).await?;
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
