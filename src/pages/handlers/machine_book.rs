//! Machine Book: how a machine was checked, until when that holds, and where it is checked anew.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::machine_readings;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, words};
use crate::craft::calibration::{Calibration, JudgedPoint, Verdict};
use crate::craft::machine::MachineFacts;
use crate::craft::roles::Permission;
use crate::desk::calibrate::{self, CalibrationRecord};
use crate::desk::reads::{At, from_record, machines};
use crate::desk::{DeskError, DeskResult, Thing, overview};
use crate::pages::parts::{Chip, ChipKind, Note};
use crate::pages::views::machine_book::{Checked, MachineBook};

/// So many checks are shown.
const SHOWN: i64 = 10;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/machines/{id}", web::get().to(show))
        .route("/machines/{id}", web::post().to(calibrate))
        .route("/machines/{id}/adjusted", web::post().to(adjusted))
        .route("/machines/{id}/adjusted", web::get().to(back));
}

/// Where a machine's book is opened.
pub fn address(machine_id: &str) -> String {
    format!("/machines/{machine_id}")
}

/// What the database says of a machine.
struct Seen {
    machine: machines::Machine,
    facts: MachineFacts,
    required: bool,
    /// When, who and what, newest first.
    checks: Vec<(At, String, CalibrationRecord)>,
}

async fn seen(visitor: &Visitor, id: &str) -> DeskResult<Seen> {
    let (tournament, id) = (visitor.tournament(), id.to_owned());
    let read = visitor.desk.read(move |db| {
        let machine = machines::find(db, &tournament, &id)?.ok_or(DeskError::NotFound(Thing::Machine))?;
        let people = overview::all_accounts(db, &tournament)?;
        let who = |account: Option<String>| {
            let found = people.iter().find(|one| Some(&one.id) == account.as_ref());
            found.map_or_else(String::new, |one| one.display_name.clone())
        };
        let rows = calibrate::calibrations(db, &tournament, &id, SHOWN)?;
        Ok(Seen {
            facts: from_record(&machine.record)?,
            required: calibrate::are_required(db, &tournament)?,
            checks: rows
                .into_iter()
                .map(|(row, record)| (row.at, who(row.account_id), record))
                .collect(),
            machine,
        })
    });
    read.await
}

async fn screen(visitor: &Visitor, id: &str, form: &Filled) -> Result<MachineBook, Failure> {
    visitor.caller.must(Permission::SeeMachines)?;
    let seen = seen(visitor, id).await?;
    let last = seen.checks.first().map(|(.., record)| record);
    let may = visitor.caller.must(Permission::Calibrate).is_ok();
    let (state, due) = state(visitor, &seen);
    Ok(MachineBook {
        shell: visitor.shell("Machine Book", "Setup", "")?,
        form: may.then(|| machine_readings::form(form, &seen.facts, last)),
        machine_id: seen.machine.id,
        name: seen.machine.name,
        state,
        due,
        correction: seen
            .facts
            .correction_factor
            .map_or_else(String::new, |factor| format!("{factor}")),
        checks: seen
            .checks
            .iter()
            .map(|(at, who, record)| checked(visitor, *at, who, record))
            .collect(),
    })
}

/// What holds for the machine now, and when it is checked again.
fn state(visitor: &Visitor, seen: &Seen) -> (Chip, String) {
    let cleared = seen.machine.cleared_until.map(At::utc);
    let failed = seen.machine.verdict.as_deref() == Some(Verdict::Outside.as_str());
    match cleared.filter(|until| *until > visitor.now) {
        Some(until) => (
            Chip::new(ChipKind::Plain, "cleared"),
            format!(
                "Its last check holds until {}; check it again before its first racket after that.",
                visitor.time_or_day(until)
            ),
        ),
        None if failed => (
            Chip::new(ChipKind::Late, "out of calibration"),
            "It failed its last check: adjust it and check it again before it strings.".to_owned(),
        ),
        None if seen.required => (
            Chip::new(ChipKind::Risk, "check due"),
            "A check is due now: without one it starts no job.".to_owned(),
        ),
        None => (
            Chip::new(ChipKind::Risk, "check due"),
            "A check is due before its first racket of the day. This tournament does not require it."
                .to_owned(),
        ),
    }
}

fn checked(visitor: &Visitor, at: At, who: &str, record: &CalibrationRecord) -> Checked {
    let unit = record.unit.symbol();
    let readings = record.readings.iter();
    Checked {
        at: words::day_and_time(visitor.house.zone, at.utc()),
        who: who.to_owned(),
        verdict: verdict(&record.judged, unit),
        adjusted: record.adjusted,
        points: record
            .judged
            .points
            .iter()
            .map(|point| point_words(point, unit))
            .collect(),
        readings: readings
            .map(|one| format!("{} at {}", one.measured, one.nominal))
            .collect::<Vec<_>>()
            .join(", "),
        unit,
    }
}

fn verdict(judged: &Calibration, unit: &str) -> Chip {
    let tolerance = number(judged.tolerance);
    match judged.verdict {
        Verdict::Inside => Chip::new(ChipKind::Plain, format!("within {tolerance} {unit}")),
        Verdict::Outside => Chip::new(ChipKind::Late, format!("off by more than {tolerance} {unit}")),
        Verdict::Recheck => Chip::new(ChipKind::Risk, "more readings needed"),
    }
}

/// "At 24 kg it pulls 0.2 kg too much, 0.1 to 0.3 with 95 % certainty. Set it to 23.8 kg to get 24 kg."
fn point_words(point: &JudgedPoint, unit: &str) -> String {
    let way = match number(point.bias.abs()).as_str() {
        "0" => "what it is set to".to_owned(),
        off if point.bias > 0.0 => format!("{off} {unit} too much"),
        off => format!("{off} {unit} too little"),
    };
    let mut words = format!(
        "At {} {unit} it pulls {way}; with 95 % certainty it is off by {} to {}.",
        number(point.nominal),
        signed(point.low),
        signed(point.high),
    );
    if let (Some(dial), false) = (point.dial, number(point.bias.abs()) == "0") {
        words += &format!(
            " Set it to {} {unit} to get {} {unit}.",
            number(dial),
            number(point.nominal)
        );
    }
    match point.readings_to_decide {
        Some(many) => words += &format!(" About {many} readings would decide."),
        None if point.verdict == Verdict::Recheck => words += " It lies at the limit itself: adjust it.",
        None => {}
    }
    words
}

/// At most two places behind the point, none that say nothing.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn signed(value: f64) -> String {
    let text = number(value.abs());
    match text.as_str() {
        "0" => text,
        _ if value < 0.0 => format!("−{text}"),
        _ => format!("+{text}"),
    }
}

async fn show(visitor: Visitor, id: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let mut page = screen(&visitor, &id, &Filled::default()).await?;
    let told = match asked.get("done") {
        "checked" => page
            .checks
            .first()
            .map(|last| format!("Kept: {}.", last.verdict.word)),
        "adjusted" => Some("Kept: it was adjusted. What held of it before holds no more.".to_owned()),
        _ => None,
    };
    page.shell.note = told.map(|words| Note {
        words: format!("{words} {}", page.due),
        links: Vec::new(),
    });
    visitor.page(StatusCode::OK, &page)
}

/// A refused form stays at its own address; whoever loads that again reads the book.
async fn back(visitor: Visitor, id: web::Path<String>) -> Shown {
    Ok(visitor.go_to(&address(&id)))
}

async fn calibrate(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    visitor.caller.must(Permission::Calibrate)?;
    let (machine, filled) = (id.clone(), form.0.clone());
    let done = visitor
        .once(&address(&id), &form, move |tx| {
            let asked = machine_readings::read(&filled)?;
            Ok(calibrate::calibrate_machine(tx, &machine, asked)?.row.id)
        })
        .await;
    match done {
        Ok(_) => Ok(visitor.go_to(&format!("{}?done=checked", address(&id)))),
        Err(error) => again(&visitor, &id, &form, error).await,
    }
}

async fn again(visitor: &Visitor, id: &str, form: &Filled, error: DeskError) -> Shown {
    let (status, problem) = refused::on_page(error, |pointer| machine_readings::field_of(form, pointer))?;
    let mut page = screen(visitor, id, form).await?;
    if let Some(readings) = &mut page.form {
        readings.say(&problem);
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

async fn adjusted(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    visitor.caller.must(Permission::Calibrate)?;
    let machine = id.clone();
    let done = visitor
        .once(&format!("{}/adjusted", address(&id)), &form, move |tx| {
            Ok(calibrate::adjust_machine(tx, &machine)?.id)
        })
        .await;
    done?;
    Ok(visitor.go_to(&format!("{}?done=adjusted", address(&id))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_machine_pulls_is_said_in_words_with_its_sign() {
        let point = |bias: f64, dial| JudgedPoint {
            nominal: 24.0,
            bias,
            low: bias - 0.1,
            high: bias + 0.1,
            dial,
            verdict: Verdict::Inside,
            readings_to_decide: None,
        };
        assert_eq!(
            point_words(&point(0.25, Some(23.75)), "kg"),
            "At 24 kg it pulls 0.25 kg too much; with 95 % certainty it is off by +0.15 to +0.35. \
             Set it to 23.75 kg to get 24 kg."
        );
        assert_eq!(
            point_words(&point(-0.05, None), "lb"),
            "At 24 lb it pulls 0.05 lb too little; with 95 % certainty it is off by −0.15 to +0.05."
        );
        assert!(
            point_words(&point(0.001, Some(24.0)), "kg").starts_with("At 24 kg it pulls what it is set to;")
        );
    }
}
