//! Taps at the bench.
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused;
use super::visit::Visitor;
use super::{Shown, plan};
use crate::craft::job::JobPhase;
use crate::craft::string_plan::methods::ALL;
use crate::desk::bench_stops::{self, GiveUp};
use crate::desk::check_racket;
use crate::desk::{DeskError, DeskResult, Tx, amend_job, choose_method, tap_phase};

/// What is tapped on The Plan.
const TAPS: [&str; 9] = [
    "phase",
    "finish",
    "undo_phase",
    "pause",
    "resume",
    "snapped",
    "problem",
    "acknowledge",
    "method",
];

/// The routes of this file; every tap has its own address.
pub fn routes(config: &mut ServiceConfig) {
    for action in TAPS {
        let tapped = move |visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>| {
            tap(visitor, action, id.into_inner(), form.into_inner())
        };
        config.route(&format!("/jobs/{{id}}/do/{action}"), web::post().to(tapped));
    }
    // a refusal stands at the address of the tap; who loads it again comes to the screen it belongs to
    for (action, screen) in [("start", "/next-up"), ("pass", "/check/"), ("fail", "/check/")] {
        came_back(config, action, screen);
    }
    for action in TAPS {
        came_back(config, action, "/plan/");
    }
    for action in ["refuse", "off", "on"] {
        let next_up = |visitor: Visitor| async move { Shown::Ok(visitor.go_to("/next-up")) };
        config.route(&format!("/next-up/{action}"), web::get().to(next_up));
    }
}

fn came_back(config: &mut ServiceConfig, action: &str, screen: &'static str) {
    let shown = move |visitor: Visitor, id: web::Path<String>| async move {
        let whose = if screen.ends_with('/') { id.as_str() } else { "" };
        Shown::Ok(visitor.go_to(&format!("{screen}{whose}")))
    };
    config.route(&format!("/jobs/{{id}}/do/{action}"), web::get().to(shown));
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
        "method" => {
            let method = form.get("weave_method");
            let known = ALL.iter().find(|one| one.name() == method);
            let method = known.ok_or_else(|| {
                DeskError::member(
                    "/weave_method",
                    "invalid_value",
                    "Choose one of the weave methods.",
                )
            })?;
            choose_method::choose_method(tx, id, *method)?;
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
