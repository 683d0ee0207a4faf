//! Catch Up: lines of paper are checked as a whole, shown with what becomes of each, then entered.
use std::collections::BTreeMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::catch_up_lines::{self, FEWEST, KINDS, Names, Read, STILL_TO_COME};
use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{Shown, refused};
use crate::desk::catch_up::{self, Fate, WrittenLine};
use crate::desk::hand_in::CHECK_IN;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::{Chip, ChipKind, Choice, Note};
use crate::pages::views::catch_up::{CatchUp, Row};

/// Lines that "More lines" adds.
const MORE: usize = 8;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/catch-up", web::get().to(show))
        .route("/catch-up", web::post().to(take));
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must_be(&CHECK_IN)?;
    let mut form = Filled::default();
    form.put("rows", FEWEST.to_string());
    let mut page = screen(&visitor, &form, names(&visitor).await?)?;
    if let Some(entered) = asked.some("entered") {
        page.shell.note = Some(Note {
            words: format!("Entered: {}.", counted(entered.parse().unwrap_or(0), "line")),
            links: vec![("Hand In".to_owned(), "/hand-in".to_owned())],
        });
    }
    visitor.page(StatusCode::OK, &page)
}

async fn names(visitor: &Visitor) -> DeskResult<Names> {
    let tournament = visitor.tournament();
    visitor.desk.read(move |db| Names::read(db, &tournament)).await
}

fn screen(visitor: &Visitor, form: &Filled, names: Names) -> Result<CatchUp, Failure> {
    let rows = (1..=catch_up_lines::rows_of(form)).map(|number| row(form, number));
    let named = names.rackets.into_iter().chain(names.stations);
    Ok(CatchUp {
        shell: visitor.shell("Catch Up", "Hand In", "")?,
        rows: rows.collect(),
        names: named.map(|(name, _)| name).collect(),
        summary: String::new(),
        sound: false,
    })
}

fn row(form: &Filled, number: usize) -> Row {
    let said = |field: &str| form.get(&format!("row_{number}_{field}")).to_owned();
    let what = said("what");
    Row {
        number,
        time: said("time"),
        code: said("code"),
        what: KINDS
            .map(|(value, words)| Choice::new(value, words).chosen(value == what))
            .into(),
        who: said("who"),
        wish: said("wish"),
        ready_by: said("ready_by"),
        frame_sound: said("sound") == "yes",
        yesterday: (said("yesterday") == "yes").then_some(true),
        fate: None,
        reasons: Vec::new(),
    }
}

async fn take(visitor: Visitor, sent: web::Form<Filled>) -> Shown {
    visitor.caller.must_be(&CHECK_IN)?;
    let mut form = sent.into_inner();
    let names = names(&visitor).await?;
    if form.get("do") == "more" {
        let rows = catch_up_lines::rows_of(&form) + MORE;
        form.put("rows", rows.to_string());
        return visitor.page(StatusCode::OK, &screen(&visitor, &form, names)?);
    }
    let read = catch_up_lines::read(&form, &names, visitor.house.zone, visitor.now);
    let lines: Vec<WrittenLine> = read.iter().filter_map(|one| one.line.clone().ok()).collect();
    let unread = read.len() - lines.len();
    let fates = if lines.is_empty() {
        Vec::new()
    } else {
        let asked = lines.clone();
        visitor
            .desk
            .write(&visitor.caller, move |tx| catch_up::preview(tx, &asked))
            .await?
    };
    let wrong = unread
        + fates
            .iter()
            .filter(|fate| matches!(fate, Fate::Faulty(_)))
            .count();
    if form.get("do") == "apply" && wrong == 0 && !lines.is_empty() {
        return apply(&visitor, &form, lines).await;
    }
    let mut page = screen(&visitor, &form, names)?;
    page.sound = wrong == 0 && !fates.is_empty();
    page.summary = summary(&fates, wrong);
    paint(&mut page, &read, fates);
    let status = if wrong == 0 {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    visitor.page(status, &page)
}

async fn apply(visitor: &Visitor, form: &Filled, lines: Vec<WrittenLine>) -> Shown {
    let done = visitor
        .once("/catch-up", form, move |tx| {
            let fates = catch_up::catch_up(tx, &lines)?;
            Ok(entered(&fates).to_string())
        })
        .await;
    match done {
        Ok(count) => Ok(visitor.go_to(&format!("/catch-up?entered={count}"))),
        // somebody changed one of these rackets between the check and now
        Err(error @ DeskError::Invalid(_)) => {
            let (status, problem) = refused::on_page(error, |_pointer| String::new())?;
            let mut page = screen(visitor, form, names(visitor).await?)?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
        Err(other) => Err(other.into()),
    }
}

fn entered(fates: &[Fate]) -> usize {
    let is_entered = |fate: &&Fate| matches!(fate, Fate::Entered { .. });
    fates.iter().filter(is_entered).count()
}

fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

fn summary(fates: &[Fate], wrong: usize) -> String {
    let known = fates
        .iter()
        .filter(|fate| matches!(fate, Fate::Known { .. }))
        .count();
    let mut parts = Vec::new();
    if wrong > 0 {
        parts.push(format!("{} cannot be entered", counted(wrong, "line")));
    }
    parts.push(match entered(fates) {
        0 if fates.is_empty() && wrong == 0 => "No line is filled in".to_owned(),
        count => format!("{} can be entered", counted(count, "line")),
    });
    if known > 0 {
        parts.push(format!("{} entered before", counted(known, "line")));
    }
    parts.join("; ")
}

/// Puts what becomes of each line beside it.
fn paint(page: &mut CatchUp, read: &[Read], fates: Vec<Fate>) {
    let mut fates = fates.into_iter();
    let by_number: BTreeMap<usize, (Chip, Vec<String>)> = read
        .iter()
        .map(|one| {
            let shown = match &one.line {
                Err(faults) => faulty(faults),
                Ok(_) => match fates.next() {
                    Some(Fate::Faulty(faults)) => faulty(&faults),
                    Some(Fate::Known { .. }) => (
                        Chip::new(ChipKind::Info, "entered before"),
                        vec!["It is not entered twice.".to_owned()],
                    ),
                    Some(Fate::Entered { state, .. }) => {
                        let words = format!("then {}", state.replace('_', " "));
                        (Chip::new(ChipKind::Ready, words), Vec::new())
                    }
                    None => (Chip::default(), Vec::new()),
                },
            };
            (one.number, shown)
        })
        .collect();
    for row in &mut page.rows {
        if let Some((chip, reasons)) = by_number.get(&row.number) {
            row.fate = Some(chip.clone());
            row.reasons.clone_from(reasons);
        }
        let own = read.iter().find(|one| one.number == row.number);
        let asks = own.and_then(|one| one.line.as_ref().err());
        if asks.is_some_and(|faults| faults.iter().any(|fault| fault.code == STILL_TO_COME)) {
            row.yesterday = Some(false);
        }
    }
}

fn faulty(faults: &[crate::desk::MemberFault]) -> (Chip, Vec<String>) {
    let words = faults.iter().map(|fault| fault.detail.clone());
    (Chip::new(ChipKind::Late, "not possible"), words.collect())
}
