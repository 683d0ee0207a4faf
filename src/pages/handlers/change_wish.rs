//! The wish for a racket that is in becomes another.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::hand_in_steps::{spec_fields, steps};
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, spoken_wish, words};
use crate::craft::job::JobState;
use crate::craft::roles::{Permission, Role};
use crate::desk::amend_job::{AmendJob, IfStarted, amend_job};
use crate::desk::job_sheet::JobSheet;
use crate::desk::spare::note_spare;
use crate::desk::{DeskError, DeskResult, Tx, last_time, overview};
use crate::pages::parts::{Choice, Control, Field, Note};
use crate::pages::views::change_wish::{ChangeForm, ChangeWish};

/// What leaves something as it is.
const NO_CHANGE: &str = "no change";
/// Roles that may change a wish.
const CHANGERS: [Role; 2] = [Role::Desk, Role::Coordinator];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/jobs/{id}/change", web::get().to(show))
        .route("/jobs/{id}/change", web::post().to(change));
}

/// Where this reader changes the wish of a job; empty where they may not or it is too late.
pub fn address(visitor: &Visitor, sheet: &JobSheet) -> String {
    if visitor.caller.must_be(&CHANGERS).is_ok() && is_open(sheet) {
        format!("/jobs/{}/change", sheet.job.id)
    } else {
        String::new()
    }
}

fn is_open(sheet: &JobSheet) -> bool {
    use JobState::{Assigned, Checking, Expected, OnMachine, Waiting};
    let state = sheet.job.state.parse();
    state.is_ok_and(|state| matches!(state, Expected | Waiting | Assigned | OnMachine | Checking))
}

async fn show(visitor: Visitor, id: web::Path<String>, asked: web::Query<Filled>) -> Shown {
    let mut page = screen(&visitor, &id, &Filled::default()).await?;
    let words = match asked.get("changed") {
        "now" => "Changed. A tag that was printed before is wrong now: print it again.",
        "next_time" => "Noted: this one is finished as it was, and the change counts from the next time.",
        _ => "",
    };
    page.changed = asked.get("changed") == "now";
    page.shell.note = (!words.is_empty()).then(|| Note {
        words: words.to_owned(),
        links: vec![
            ("Racket Story".to_owned(), format!("/rackets/{}", page.racket_id)),
            ("Hand In".to_owned(), "/hand-in".to_owned()),
        ],
    });
    visitor.page(StatusCode::OK, &page)
}

async fn screen(visitor: &Visitor, id: &str, form: &Filled) -> Result<ChangeWish, Failure> {
    visitor.caller.must(Permission::SeeSpec)?;
    visitor.caller.must_be(&CHANGERS)?;
    let (tournament, asked, now) = (visitor.tournament(), id.to_owned(), visitor.now);
    let read = visitor.desk.read(move |db| {
        let mut sheet = JobSheet::of(db, &tournament, &asked)?;
        note_spare(db, &tournament, now, std::slice::from_mut(&mut sheet))?;
        Ok::<_, DeskError>((sheet, overview::strings(db, &tournament)?))
    });
    let (sheet, strings) = read.await?;
    let strings: Vec<Choice> = strings
        .into_iter()
        .map(|row| Choice::new(row.id, row.name))
        .collect();
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let marks = words::racket(&sheet.racket_record);
    Ok(ChangeWish {
        shell: visitor.shell("Change the wish", "Hand In", "")?,
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: format!("{marks}, {}", sheet.frame.name)
            .trim_start_matches(", ")
            .to_owned(),
        state: words::state_chip(&sheet, visitor.now),
        now: vec![mains, crosses],
        version: sheet.job.version,
        changed: false,
        form: is_open(&sheet).then(|| change_form(form, &sheet, &strings)),
        racket_id: sheet.racket.id,
        job_id: sheet.job.id,
    })
}

fn change_form(form: &Filled, sheet: &JobSheet, strings: &[Choice]) -> ChangeForm {
    let unit = sheet.spec.mains.tension.unit();
    let units = ["kg", "lb"].map(|one| Choice::new(one, one).chosen(form.get("unit") == one));
    let tiles = steps(Some(unit), form.get("step"), NO_CHANGE);
    let started = matches!(sheet.job.state.as_str(), "on_machine" | "checking");
    ChangeForm {
        tension: vec![
            Field::new("step", "Tension", Control::One(tiles)).free(),
            Field::new("as_said", "Tension as spoken", Control::Text)
                .hint("24/23, one kilo down, one kilo down on last time")
                .value(form.get("as_said"))
                .free(),
            Field::new("unit", "Unit", Control::One(units.into())).free(),
        ],
        rest: spec_fields(form, strings, Some(NO_CHANGE)),
        if_started: started.then(|| if_started(form.get("if_started"))),
        insist: None,
    }
}

fn if_started(chosen: &str) -> Field {
    let ways = [
        ("apply_to_rest", "Change what is not strung yet"),
        (
            "finish_as_asked",
            "Finish this one as it was; change it the next time",
        ),
        ("cut_out_and_restart", "Cut out and begin again"),
    ];
    let ways = ways.map(|(value, label)| Choice::new(value, label).chosen(value == chosen));
    Field::new("if_started", "Strings are in already", Control::One(ways.into()))
}

async fn change(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    visitor.caller.must(Permission::SeeSpec)?;
    let (job, filled) = (id.clone(), form.0.clone());
    let done = visitor
        .once(&format!("/jobs/{id}/change"), &form, move |tx| {
            changed(tx, &job, &filled)
        })
        .await;
    match done {
        Ok(address) => Ok(visitor.go_to(&address)),
        Err(error) => again(&visitor, &id, &form, error).await,
    }
}

fn changed(tx: &mut Tx<'_>, job_id: &str, form: &Filled) -> DeskResult<String> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let last = last_time::spec_before(tx.db, &sheet.racket, job_id)?;
    let change = AmendJob {
        // what no page filled in is stale
        version: form.get("version").parse().unwrap_or(0),
        spec: spoken_wish::changed(form, &sheet.spec, last.as_ref(), sheet.frame.sport)?,
        if_started: match form.get("if_started") {
            "apply_to_rest" => Some(IfStarted::ApplyToRest),
            "finish_as_asked" => Some(IfStarted::FinishAsAsked),
            "cut_out_and_restart" => Some(IfStarted::CutOutAndRestart),
            _ => None,
        },
        insist: form.some("insist").and_then(|_| form.some("insist_reason")),
    };
    amend_job(tx, job_id, &change)?;
    let when = match change.if_started {
        Some(IfStarted::FinishAsAsked) => "next_time",
        _ => "now",
    };
    Ok(format!("/jobs/{job_id}/change?changed={when}"))
}

/// The same page with what was typed, what is wrong, and how to insist where one may.
async fn again(visitor: &Visitor, id: &str, form: &Filled, error: DeskError) -> Shown {
    let may_insist = refused::may_insist(&error);
    let (status, problem) = refused::on_page(error, field_of)?;
    let mut page = screen(visitor, id, form).await?;
    if let Some(shown) = &mut page.form {
        let fields = shown
            .tension
            .iter_mut()
            .chain(&mut shown.rest)
            .chain(&mut shown.if_started);
        for field in fields {
            let own = problem.faults.iter().find(|fault| fault.field == field.name);
            field.fault = own.map(|fault| fault.words.clone());
        }
        shown.insist = may_insist.map(|insist| (insist.words, insist.reasons));
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

/// The control that a pointer of the desk is about.
fn field_of(pointer: &str) -> String {
    let part = if pointer.contains("/crosses") {
        "crosses"
    } else {
        "mains"
    };
    if pointer.contains("tension") {
        "as_said".to_owned()
    } else if pointer.contains("/string") {
        format!("{part}_string_id")
    } else {
        pointer.trim_start_matches('/').to_owned()
    }
}
