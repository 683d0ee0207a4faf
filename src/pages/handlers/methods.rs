//! The weave methods of one racket side by side: what each takes and what it spares the shoulder.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::visit::Visitor;
use super::{Shown, plan};
use crate::craft::job::JobPhase;
use crate::craft::spec::Spec;
use crate::craft::string_plan::Plan;
use crate::craft::string_plan::methods::still_open;
use crate::craft::string_plan::plan::MethodComparison;
use crate::craft::string_plan::sentences::metres;
use crate::desk::bench_sheet::BenchSheet;
use crate::pages::views::methods::{MethodRow, MethodsScreen};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/plan/{id}/methods", web::get().to(show));
}

/// The methods that can be taken for this job now, with the one that is taken; none off the bench,
/// once they have parted, or while a change is unread.
pub fn can_take<'a>(bench: &BenchSheet, plan: &'a Plan) -> Vec<&'a MethodComparison> {
    let job = &bench.sheet.job;
    let phase: Option<JobPhase> = job.phase.as_ref().and_then(|phase| phase.parse().ok());
    let at_bench = job.state == "assigned" || job.state == "on_machine";
    let open = at_bench && !job.spec_change_unseen && still_open(bench.sheet.spec.pieces, phase);
    let lines = plan.comparison.iter();
    lines
        .filter(|line| open && may_take(&bench.sheet.spec, line))
        .collect()
}

/// An owner's wish is not set aside at the bench.
fn may_take(spec: &Spec, line: &MethodComparison) -> bool {
    line.allowed && spec.method.is_none_or(|wish| wish == line.method)
}

/// "about 27 min", rounded up.
pub fn about(seconds: f64) -> String {
    format!("about {:.0} min", (seconds / 60.0).ceil())
}

async fn show(visitor: Visitor, id: web::Path<String>) -> Shown {
    let (bench, plan) = plan::read(&visitor, &id).await?;
    let can_take = can_take(&bench, &plan);
    let takes = |line: &MethodComparison| can_take.iter().any(|one| one.method == line.method);
    let sheet = &bench.sheet;
    let page = MethodsScreen {
        shell: visitor.shell("Ways of weaving", "Next Up", "jobs")?,
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        frame: sheet.frame.name.clone(),
        open: !can_take.is_empty(),
        rows: plan
            .comparison
            .iter()
            .map(|line| row(line, takes(line)))
            .collect(),
    };
    visitor.page(StatusCode::OK, &page)
}

fn row(line: &MethodComparison, can_take: bool) -> MethodRow {
    let unknown = || "not known".to_owned();
    let reasons: Vec<&str> = line.reasons.iter().map(|reason| reason.text.as_str()).collect();
    MethodRow {
        value: line.method.name().to_owned(),
        label: line.method.words().to_owned(),
        allowed: line.allowed,
        chosen: line.chosen,
        can_take,
        time: line.time_s.map_or_else(unknown, about),
        longest_pull: line
            .worst_pull_mm
            .map_or_else(unknown, |mm| format!("{:.1} m", mm / 1000.0)),
        drag: line
            .crossing_metres
            .map_or_else(unknown, |metres| format!("{metres:.0} m")),
        wear: line
            .wear_index
            .map_or_else(unknown, |index| format!("{index:.0}")),
        string: line.string_mm.map_or_else(unknown, metres),
        reasons: reasons.join("; "),
    }
}
