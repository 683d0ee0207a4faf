//! The bench slip: the job and its plan on an A6 card that is read on both sides.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::visit::Visitor;
use super::{Shown, paper, plan, words};
use crate::craft::drawing::{self, HeadAt};
use crate::craft::string_plan::in_short::{ShortStep, in_short};
use crate::pages::views::slip::{Slip, SlipStep};

/// The routes of this file.
pub(super) fn routes(config: &mut ServiceConfig) {
    config.route("/jobs/{id}/slip", web::get().to(show));
}

async fn show(visitor: Visitor, id: web::Path<String>) -> Shown {
    let (bench, plan) = plan::read(&visitor, &id).await?;
    let sheet = &bench.sheet;
    let version = sheet.job.spec_version;
    let steps = in_short(&plan.steps);
    let (at_steps, general): (Vec<_>, Vec<_>) = plan
        .cautions
        .iter()
        .partition(|caution| steps.iter().any(|step| step.cautions.contains(&caution.code)));
    let at_steps = drawn_together(at_steps.iter().map(|one| (one.code, one.text.as_str())));
    let page = Slip {
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        racket: words::racket(&sheet.racket_record),
        frame: sheet.frame.name.clone(),
        ready_by: paper::due(&visitor, sheet.job.due_at.utc()),
        printed_at: visitor.time(visitor.now),
        changed: if version > 1 {
            format!("wish {version}: older slips no longer hold")
        } else {
            String::new()
        },
        mains: plan::pull(&plan.machine.mains, &sheet.spec.mains),
        crosses: plan::pull(&plan.machine.crosses, &sheet.spec.crosses),
        cuts: plan.cuts.iter().map(plan::cut).collect(),
        // which way it is woven; why is said on The Plan
        method: plan.method.text.split(": ").next().unwrap_or_default().to_owned(),
        facts: plan::facts(&sheet.spec, sheet.job.attempt),
        drawing_svg: drawing::racket_alone(&sheet.frame, &plan, HeadAt::Top),
        legend: drawing::legend(&plan),
        unknowns: words_of(drawn_together(
            plan.unknowns.iter().map(|one| ("", one.text.as_str())),
        )),
        general: words_of(drawn_together(
            general.iter().map(|one| (one.code, one.text.as_str())),
        )),
        steps: steps.iter().map(|step| line(&at_steps, step)).collect(),
        cautions: words_of(at_steps),
    };
    visitor.page(StatusCode::OK, &page)
}

/// What is said of several things in the same words is said once: "Shared hole head 8 A; shared hole head 8 B: …".
fn drawn_together<'a>(all: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<(&'a str, String)> {
    let mut told: Vec<(&str, Vec<&str>, &str)> = Vec::new();
    for (code, text) in all {
        let (what, words) = text.split_once(": ").unwrap_or((text, ""));
        let same = told
            .iter_mut()
            .find(|(known, _, said)| *known == code && !words.is_empty() && *said == words);
        match same {
            Some((_, whats, _)) => whats.push(what),
            None => told.push((code, vec![what], words)),
        }
    }
    let line = |whats: Vec<&str>, words: &str| {
        let whats = whats.join("; ");
        if words.is_empty() {
            whats
        } else {
            format!("{whats}: {words}")
        }
    };
    told.into_iter()
        .map(|(code, whats, words)| (code, line(whats, words)))
        .collect()
}

fn words_of(told: Vec<(&str, String)>) -> Vec<String> {
    told.into_iter().map(|(_, words)| words).collect()
}

fn line(cautions: &[(&str, String)], step: &ShortStep) -> SlipStep {
    let numbers = if step.first == step.last {
        step.first.to_string()
    } else {
        format!("{}–{}", step.first, step.last)
    };
    let bites = cautions.iter().enumerate();
    SlipStep {
        numbers,
        words: step.text.clone(),
        cautions: bites
            .filter(|(_, (code, _))| step.cautions.contains(code))
            .map(|(place, _)| place + 1)
            .collect(),
    }
}
