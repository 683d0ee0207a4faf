//! The Check: three things looked at, perhaps a reading, then a slot on the shelf or the queue again.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, words};
use crate::craft::reading::{EXPECTED_PERCENT, is_expected};
use crate::craft::roles::Permission;
use crate::desk::check_racket::{self, Points, ReadingTaken};
use crate::desk::check_sheet::{self, CheckSheet};
use crate::desk::{DeskError, DeskResult, Tx};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::check::CheckScreen;

/// What may be behind a reading far off, the cheapest to rule out first. Common practice, no source.
const CAUSES: [&str; 5] = [
    "Measure again, as the instrument's sheet says.",
    "Is the instrument due for its own check?",
    "Is it the right racket? Compare tag and marks.",
    "Was the right tension set?",
    "Is the machine still right? Check its calibration.",
];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/check/{id}", web::get().to(show))
        .route("/jobs/{id}/do/pass", web::post().to(pass))
        .route("/jobs/{id}/do/fail", web::post().to(fail));
}

async fn show(visitor: Visitor, id: web::Path<String>) -> Shown {
    let mut form = Filled::default();
    form.put("free_slot", "proposed");
    let page = screen(&visitor, &id, &form).await?;
    visitor.page(StatusCode::OK, &page)
}

async fn sheet(visitor: &Visitor, id: &str) -> DeskResult<CheckSheet> {
    let (tournament, job, now) = (visitor.tournament(), id.to_owned(), visitor.now);
    let read = visitor
        .desk
        .read(move |db| check_sheet::check_sheet(db, &tournament, &job, now));
    read.await
}

async fn screen(visitor: &Visitor, id: &str, form: &Filled) -> Result<CheckScreen, Failure> {
    visitor.caller.must(Permission::SeeSpec)?;
    let check = sheet(visitor, id).await?;
    let sheet = &check.sheet;
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let point = |name: &str, label: &str, hint: &str| {
        Choice::new(name, label)
            .hint(hint)
            .chosen(form.get(name) == "yes")
    };
    let text = |name: &str, label: &str| {
        Field::new(name, label, Control::Text)
            .value(form.get(name))
            .free()
    };
    let far = reading(form, &check)
        .ok()
        .flatten()
        .and_then(|taken| far_off(&check, &taken));
    Ok(CheckScreen {
        shell: visitor.shell("Check", "Next Up", "")?,
        job_id: sheet.job.id.clone(),
        strung: sheet.job.state == "checking",
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::racket(&sheet.racket_record),
        asked: vec![mains, crosses],
        points: vec![
            point("weave_ok", "Weave", "Over and under in turn."),
            point("tie_offs_ok", "Tie-offs", "Knots sit, tails are trimmed."),
            point("grommets_ok", "Grommets and frame", "All are whole."),
        ],
        instruments: instruments(&check, form),
        instrument_name: text("instrument_name", "Its name"),
        instrument_unit: unit(form),
        reading: form.get("reading").to_owned(),
        expected: if check.before.is_empty() {
            String::new()
        } else {
            let (low, high) = EXPECTED_PERCENT;
            format!("Expected {low:.0}-{high:.0} % of this racket's last reading at a like age")
        },
        far_off: far.map_or_else(String::new, |percent| format!("now {percent:.0} %")),
        causes: if far.is_some() {
            CAUSES.map(str::to_owned).into()
        } else {
            Vec::new()
        },
        reason: far.map(|_| text("reason", "Measured again; it passes all the same because")),
        fail_reasons: ["weave", "tie-off", "grommet", "wrong string", "wrong tension"]
            .map(|one| Choice::new(one, one))
            .into(),
        slot: text("slot", "Scan or type the slot"),
        take_free_slot: form.some("free_slot").is_some(),
        free_slot: check.free_slot,
    })
}

/// What instruments show, as tiles: nothing is typed with gloves. Scales of their own count as one.
fn unit(form: &Filled) -> Field {
    let chosen = form.get("instrument_unit");
    let tile = |unit: &str| Choice::new(unit, unit).chosen(chosen == unit);
    let units = ["kg", "lb", "DT", "Hz", "own scale"].map(tile).into();
    Field::new("instrument_unit", "The unit it shows", Control::One(units)).free()
}

/// One tile for each instrument; the last used one is chosen until another was.
fn instruments(check: &CheckSheet, form: &Filled) -> Vec<Choice> {
    let chosen = form.get("instrument");
    let tile = |(place, (name, unit)): (usize, &(String, String))| {
        let value = format!("{unit}@{name}");
        let here = if chosen.is_empty() {
            place == 0
        } else {
            chosen == value
        };
        Choice::new(value, format!("{name}, {unit}")).chosen(here)
    };
    check.instruments.iter().take(6).enumerate().map(tile).collect()
}

/// The reading as typed, with a point or a comma; none when nothing was typed.
fn reading(form: &Filled, check: &CheckSheet) -> DeskResult<Option<ReadingTaken>> {
    let Some(typed) = form.some("reading") else {
        return Ok(None);
    };
    let value = typed.replace(',', ".").parse::<f64>().map_err(|_fault| {
        let words = "Give the number on the instrument, such as 36.5.";
        DeskError::member("/reading", "invalid_value", words)
    })?;
    let (unit, instrument) = match (
        form.some("instrument_name"),
        form.get("instrument").split_once('@'),
    ) {
        (Some(name), _) => (form.get("instrument_unit").to_owned(), name),
        (None, Some((unit, name))) => (unit.to_owned(), name.to_owned()),
        (None, None) => {
            let words = "Say which instrument shows this number.";
            return Err(DeskError::member("/instrument", "missing_member", words));
        }
    };
    Ok(Some(ReadingTaken {
        value,
        unit,
        instrument,
        minutes_after: Some(check.minutes_after),
    }))
}

/// The reading in per cent, where it is far from what is expected.
fn far_off(check: &CheckSheet, taken: &ReadingTaken) -> Option<f64> {
    let percent = check.percent_of_last(&taken.instrument, taken.value)?;
    (!is_expected(percent)).then_some(percent)
}

fn points(form: &Filled) -> Points {
    Points {
        weave: form.get("weave_ok") == "yes",
        tie_offs: form.get("tie_offs_ok") == "yes",
        grommets: form.get("grommets_ok") == "yes",
    }
}

async fn pass(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    // boxed: a sheet is large, and the future would carry it
    let check = Box::new(sheet(&visitor, &id).await?);
    let (job, filled) = (id.clone(), form.clone());
    let done = visitor
        .once(&format!("/jobs/{id}/do/pass"), &form, move |tx| {
            pass_with(tx, &job, &check, &filled)
        })
        .await;
    checked(&visitor, &id, &form, done).await
}

fn pass_with(tx: &mut Tx<'_>, job: &str, check: &CheckSheet, form: &Filled) -> DeskResult<String> {
    let looked = points(form);
    if !(looked.weave && looked.tie_offs && looked.grommets) {
        let words = "Look at all three things and tick them, or say what does not pass.";
        return Err(DeskError::member("/points", "missing_member", words));
    }
    if let Some(taken) = reading(form, check)? {
        let far = far_off(check, &taken);
        let reason = form.get("reason");
        if let Some(percent) = far.filter(|_| reason.is_empty()) {
            let words = format!(
                "The reading is at {percent:.0} % of the last one. Measure again, or say why it passes."
            );
            return Err(DeskError::member("/reading", "far_from_expected", words));
        }
        check_racket::take_reading(tx, job, &taken)?;
        if far.is_some() {
            check_sheet::accept_far_reading(tx, job, reason)?;
        }
    }
    check_racket::record_check(tx, job, looked)?;
    // "B 7" and "B7" are one slot
    let slot: Option<String> = form
        .some("slot")
        .or_else(|| form.some("free_slot"))
        .map(|slot| slot.split_whitespace().collect());
    Ok(check_racket::pass_job(tx, job, slot.as_deref())?.job.id)
}

async fn fail(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (job, looked, reason) = (id.clone(), points(&form), form.get("fail_reason").to_owned());
    let done = visitor
        .once(&format!("/jobs/{id}/do/fail"), &form, move |tx| {
            check_racket::record_check(tx, &job, looked)?;
            Ok(check_racket::fail_job(tx, &job, &reason)?.job.id)
        })
        .await;
    checked(&visitor, &id, &form, done).await
}

async fn checked(visitor: &Visitor, id: &str, form: &Filled, done: DeskResult<String>) -> Shown {
    match done {
        Ok(job) => Ok(visitor.go_to(&format!("/next-up?checked={}", words::in_address(&job)))),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |pointer| match pointer {
                "/reading" | "/value" => "reading".to_owned(),
                "/instrument" => "reading".to_owned(),
                "/reason" => "reason".to_owned(),
                "/slot" => "slot".to_owned(),
                "/points" => "weave_ok".to_owned(),
                _ => String::new(),
            })?;
            let mut page = screen(visitor, id, form).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}
