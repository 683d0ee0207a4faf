//! Taps at the bench, and the Check that ends them.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, plan, words};
use crate::craft::job::JobPhase;
use crate::desk::bench_stops::{self, GiveUp};
use crate::desk::check_racket::{self, Points};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{DeskError, DeskResult, Tx, amend_job, tap_phase};
use crate::pages::parts::Choice;
use crate::pages::views::check::CheckScreen;

/// The routes of this file; every tap has its own address.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/check/{id}", web::get().to(show_check))
        .route("/jobs/{id}/do/pass", web::post().to(pass))
        .route("/jobs/{id}/do/fail", web::post().to(fail));
    for action in [
        "phase",
        "finish",
        "undo_phase",
        "pause",
        "resume",
        "snapped",
        "problem",
        "acknowledge",
    ] {
        let tapped = move |visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>| {
            tap(visitor, action, id.into_inner(), form.into_inner())
        };
        config.route(&format!("/jobs/{{id}}/do/{action}"), web::post().to(tapped));
    }
}

async fn tap(visitor: Visitor, action: &'static str, id: String, form: Filled) -> Shown {
    let (job, filled) = (id.clone(), form.clone());
    let done = visitor
        .once(&format!("/jobs/{id}/do/{action}"), &form, move |tx| {
            act(tx, action, &job, &filled)
        })
        .await;
    match done {
        Ok(address) => Ok(visitor.go_to(&address)),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |_pointer| String::new())?;
            let mut page = plan::screen(&visitor, &id, false).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

/// Does one tap; answers where the bench goes on.
fn act(tx: &mut Tx<'_>, action: &str, id: &str, form: &Filled) -> DeskResult<String> {
    match action {
        "phase" => {
            let phase: JobPhase = form
                .get("phase")
                .parse()
                .map_err(|fault| DeskError::member("/phase", "invalid_value", format!("{fault}")))?;
            tap_phase::tap_phase(tx, id, phase)?;
        }
        "undo_phase" => {
            tap_phase::undo_phase(tx, id)?;
        }
        "pause" => {
            bench_stops::pause_job(tx, id, form.get("reason"))?;
        }
        "resume" => {
            bench_stops::resume_job(tx, id)?;
        }
        "snapped" => {
            let give_up = GiveUp {
                why: form.get("place").to_owned(),
                wasted_mm: None,
                stay: true,
            };
            bench_stops::snapped(tx, id, &give_up)?;
        }
        "problem" => {
            bench_stops::call_help(tx, id, form.get("kind"))?;
        }
        "acknowledge" => {
            amend_job::acknowledge_change(tx, id)?;
        }
        _ => {
            check_racket::strung(tx, id)?;
            return Ok(format!("/check/{id}"));
        }
    }
    Ok(format!("/plan/{id}"))
}

async fn check_screen(visitor: &Visitor, id: &str, form: &Filled) -> Result<CheckScreen, Failure> {
    let (tournament, job) = (visitor.tournament(), id.to_owned());
    let sheet = visitor
        .desk
        .read(move |db| JobSheet::of(db, &tournament, &job))
        .await?;
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let point = |name: &str, label: &str, hint: &str| {
        Choice::new(name, label)
            .hint(hint)
            .chosen(form.get(name) == "yes")
    };
    Ok(CheckScreen {
        shell: visitor.shell("Check", "Next Up", "")?,
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::marks(&sheet.racket_record),
        asked: vec![mains, crosses],
        points: vec![
            point("weave_ok", "Weave", "Over and under alternate everywhere."),
            point("tie_offs_ok", "Tie-offs", "Knots sit, tails are trimmed."),
            point("grommets_ok", "Grommets and frame", "All are whole."),
        ],
        instruments: Vec::new(),
        reading_unit: String::new(),
        reading: String::new(),
        expected: String::new(),
        far_off: String::new(),
        causes: Vec::new(),
        reason: None,
        fail_reasons: ["weave", "tie-off", "grommet", "wrong string", "wrong tension"]
            .map(|one| Choice::new(one, one))
            .into(),
    })
}

async fn show_check(visitor: Visitor, id: web::Path<String>) -> Shown {
    let page = check_screen(&visitor, &id, &Filled::default()).await?;
    visitor.page(StatusCode::OK, &page)
}

fn points(form: &Filled) -> Points {
    Points {
        weave: form.get("weave_ok") == "yes",
        tie_offs: form.get("tie_offs_ok") == "yes",
        grommets: form.get("grommets_ok") == "yes",
    }
}

async fn pass(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (job, looked) = (id.clone(), points(&form));
    let done = visitor
        .once(&format!("/jobs/{id}/do/pass"), &form, move |tx| {
            if !(looked.weave && looked.tie_offs && looked.grommets) {
                let words = "Look at all three things and tick them, or say what does not pass.";
                return Err(DeskError::member("/points", "missing_member", words));
            }
            check_racket::record_check(tx, &job, looked)?;
            Ok(check_racket::pass_job(tx, &job, None)?.job.id)
        })
        .await;
    checked(&visitor, &id, &form, done).await
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
        Ok(_) => Ok(visitor.go_to("/next-up")),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |_pointer| String::new())?;
            let mut page = check_screen(visitor, id, form).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}
