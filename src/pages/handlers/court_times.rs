//! Court Times: matches in, their effect on the rackets, courts stopped and going on.
use std::collections::BTreeMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{NaiveDate, NaiveTime};

use super::Shown;
use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use crate::craft::match_times::day_drawing;
use crate::craft::match_times::day_sheet::DayRow;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::match_times::order::Entrant;
use crate::craft::match_times::venue_time::{at_minute, minute_of};
use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::court_times::change_order::put_order;
use crate::desk::court_times::preview::{Preview, preview_order};
use crate::desk::court_times::{JUMP, stop_courts};
use crate::desk::reads::players;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::views::court_times::{CourtLane, CourtTimes, EffectLines, MatchLine};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/court-times", web::get().to(show))
        .route("/court-times", web::post().to(take_order))
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
    let (tournament, asked, now, lengths) = (
        visitor.tournament(),
        day.clone(),
        visitor.now,
        visitor.desk.lengths(),
    );
    let (found, names) = visitor
        .desk
        .read(move |db| {
            let found = board::board(db, &tournament, &asked, now, &lengths)?;
            let mut names = BTreeMap::new();
            for (name, id) in board::player_names(db, &tournament)? {
                if let Some(player) = players::find(db, &tournament, &id)? {
                    names.insert(name, player.display_name);
                }
            }
            Ok((found, names))
        })
        .await?;
    let courts = found
        .as_ref()
        .map(|board| lanes(visitor, board, &names))
        .unwrap_or_default();
    let drawing =
        found.map(|board| day_drawing::svg(&board.plan, &board.rows, &board.times, Some(minute_of(now))));
    Ok(CourtTimes {
        shell: visitor.shell("Court Times", "Court Times", "matches,courts,jobs")?,
        day,
        text: String::new(),
        effect: None,
        courts,
        drawing: drawing.unwrap_or_default(),
    })
}

fn lanes(visitor: &Visitor, board: &DayBoard, names: &BTreeMap<String, String>) -> Vec<CourtLane> {
    let order = &board.plan.order;
    let of_court = |id: &str| -> Vec<MatchLine> {
        let rows = board
            .rows
            .iter()
            .filter(|row| order.matches[row.place].court == id);
        rows.map(|row| line(visitor, board, row, names)).collect()
    };
    let courts = order.courts.iter().map(|court| CourtLane {
        id: court.id.clone(),
        label: court.label.clone(),
        stopped: board.state.stop(&court.id, visitor.now).is_some(),
        matches: of_court(&court.id),
    });
    courts.collect()
}

fn line(visitor: &Visitor, board: &DayBoard, row: &DayRow, names: &BTreeMap<String, String>) -> MatchLine {
    let played = &board.plan.order.matches[row.place];
    let at = |minute: i64| visitor.time(at_minute(minute));
    let start = if row.walk_on.p95 - row.walk_on.p05 < 2 {
        at(row.walk_on.p50)
    } else {
        format!(
            "{} to {}, about {}",
            at(row.walk_on.p05),
            at(row.walk_on.p95),
            at(row.walk_on.p50)
        )
    };
    let side = |side: &[Entrant]| -> String {
        let who = side.iter().map(|entrant| match entrant {
            Entrant::Player(id) => names.get(id).cloned().unwrap_or_else(|| id.clone()),
            Entrant::WinnerOf(id) => format!("winner of {id}"),
            Entrant::LoserOf(id) => format!("loser of {id}"),
            Entrant::ToBeDecided => "to be decided".to_owned(),
            Entrant::Bye => "bye".to_owned(),
        });
        who.collect::<Vec<_>>().join(" and ")
    };
    let waits = matches!(row.phase, MatchPhase::Planned | MatchPhase::Called);
    MatchLine {
        id: played.id.clone(),
        who: format!("{} v {}", side(&played.sides[0]), side(&played.sides[1])),
        state: state(row),
        start,
        ready_by: if waits { at(row.ready_by) } else { String::new() },
    }
}

fn state(row: &DayRow) -> Chip {
    let kind = match row.phase {
        MatchPhase::Stopped => ChipKind::Held,
        MatchPhase::Walkover | MatchPhase::Retired | MatchPhase::Cancelled => ChipKind::Info,
        _ if row.may_be_moved() => ChipKind::Risk,
        _ => ChipKind::Plain,
    };
    let more = if row.may_be_moved() { ", may be moved" } else { "" };
    Chip::new(kind, format!("{}{more}", row.phase.as_str().replace('_', " ")))
}

async fn show(visitor: Visitor, query: web::Query<Filled>) -> Shown {
    let page = screen(&visitor, day_of(&visitor, query.get("day"))).await?;
    visitor.page(StatusCode::OK, &page)
}

async fn take_order(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let (day, text) = (day_of(&visitor, form.get("day")), form.get("text").to_owned());
    let (apply, confirmed) = (form.get("do") == "apply", form.get("confirm") == "yes");
    let (asked, given, lengths) = (day.clone(), text.clone(), visitor.desk.lengths());
    let outcome = if apply {
        let done = visitor.once("/court-times", &form, move |tx| {
            put_order(tx, date(&asked)?, &given, None, confirmed, &lengths)?;
            Ok(asked)
        });
        done.await.map(|_| None)
    } else {
        let compared = visitor.desk.write(&visitor.caller, move |tx| {
            preview_order(tx, date(&asked)?, &given, &lengths)
        });
        compared.await.map(Some)
    };
    let mut page = screen(&visitor, day.clone()).await?;
    page.text = text;
    match outcome {
        Ok(None) => Ok(visitor.go_to(&format!("/court-times?day={day}"))),
        Ok(Some(preview)) => {
            page.effect = Some(effect(&visitor, &preview));
            visitor.page(StatusCode::OK, &page)
        }
        Err(error) => {
            let (status, problem) = refused::on_page(error, |pointer| {
                if pointer == "/day" {
                    "day".to_owned()
                } else {
                    "text".to_owned()
                }
            })?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

fn effect(visitor: &Visitor, preview: &Preview) -> EffectLines {
    let difference = &preview.difference;
    let counted = [
        (difference.moved.len(), "moved"),
        (difference.new.len(), "new"),
        (difference.gone.len(), "gone"),
        (difference.changed.len(), "with other players or rules"),
    ];
    let told: Vec<String> = counted
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let late = preview.moved.iter().filter(|moved| moved.becomes_late).count();
    EffectLines {
        summary: if told.is_empty() {
            "No match changes.".to_owned()
        } else {
            told.join(", ")
        },
        jobs: format!("affects {} jobs, {late} become late", preview.moved.len()),
        moved: preview
            .moved
            .iter()
            .map(|moved| {
                let late = if moved.becomes_late { ", becomes late" } else { "" };
                let (before, after) = (visitor.time(moved.before), visitor.time(moved.after));
                format!(
                    "{}: ready by {before}, now {after} (match {}){late}",
                    moved.code, moved.match_id
                )
            })
            .collect(),
        remarks: preview.remarks.iter().map(ToString::to_string).collect(),
        ask: late >= JUMP,
    }
}

async fn steer_courts(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let courts: Vec<String> = form.all("court").map(str::to_owned).collect();
    let (stop, reason, from) = (
        form.get("do") == "stop",
        form.get("reason").to_owned(),
        form.get("from").to_owned(),
    );
    let (zone, lengths) = (visitor.house.zone, visitor.desk.lengths());
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
            stop_courts::stop_courts(tx, courts, &reason, expected, &lengths)?;
        } else {
            stop_courts::restart_courts(tx, courts, at, &lengths)?;
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
