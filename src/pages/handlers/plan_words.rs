//! Words of The Plan about its job: a pause, a change of the spec, and where the racket is otherwise.
use super::visit::Visitor;
use super::words;
use crate::craft::job::JobPhase;
use crate::craft::spec::{Spec, StringSpec};
use crate::craft::string_plan::Plan;
use crate::desk::bench_sheet::BenchSheet;
use crate::desk::job_sheet::JobSheet;
use crate::pages::views::plan::{ChangeNotice, Elsewhere};

/// A tap may be taken back for this long.
const UNDO_WITHIN_S: i64 = 60;

/// "Paused: break, since 13:40."
pub(super) fn paused_words(visitor: &Visitor, bench: &BenchSheet) -> String {
    if !bench.sheet.job.paused {
        return String::new();
    }
    let why = bench.sheet.record.pause_reason.as_ref();
    let why = why.map_or_else(String::new, |why| format!(": {why}"));
    let since = bench.paused_at.map(|at| format!(", since {}", visitor.time(at)));
    format!("Paused{why}{}.", since.unwrap_or_default())
}

/// "Mains done, 13:43": the tap that may still be taken back; empty when none may.
pub(super) fn undo_words(visitor: &Visitor, sheet: &JobSheet, phase: Option<JobPhase>) -> String {
    let tapped_at = sheet.job.phase_at.map(|at| at.utc());
    let fresh = tapped_at.filter(|at| (visitor.now - *at).num_seconds() <= UNDO_WITHIN_S);
    match (fresh, phase) {
        (Some(at), Some(phase)) => format!("{}, {}", phase.caption(), visitor.time(at)),
        _ => String::new(),
    }
}

/// "grommet, 13:40", for each call for help that is open.
pub(super) fn called_words(visitor: &Visitor, bench: &BenchSheet) -> Vec<String> {
    let calls = bench.called.iter();
    calls
        .map(|(what, at)| format!("{what}, {}", visitor.time(*at)))
        .collect()
}

/// Where a racket is that is on no machine.
pub(super) fn elsewhere(sheet: &JobSheet) -> Elsewhere {
    let next_up = |words: &str| Elsewhere {
        words: words.to_owned(),
        label: "Next Up".into(),
        href: "/next-up".into(),
        is_next: false,
    };
    match sheet.job.state.as_str() {
        "checking" => Elsewhere {
            words: "This racket is strung and waits for its check.".into(),
            label: "Go on with the check".into(),
            href: format!("/check/{}", sheet.job.id),
            is_next: true,
        },
        "ready" => next_up("This racket is strung, checked and on the shelf."),
        "out" => next_up("This racket has gone out."),
        "assigned" => next_up("This racket is not started yet: scan its tag on Next Up."),
        _ => next_up("This racket is on no machine now."),
    }
}

/// Old beside new, part by part; what is the same is left out.
pub(super) fn notice(visitor: &Visitor, bench: &BenchSheet, plan: &Plan) -> Option<ChangeNotice> {
    let sheet = &bench.sheet;
    if !sheet.job.spec_change_unseen {
        return None;
    }
    let line = |part: &StringSpec| format!("{} {}", words::tension(&part.tension), words::string_name(part));
    let lines = |spec: &Spec| (line(&spec.mains), line(&spec.crosses));
    let for_the_rest = bench.if_started.as_deref() == Some("apply_to_rest");
    // a change for the next time leaves this racket's wish as it is
    let next_time = sheet.record.spec_next_time.as_ref().filter(|_| !for_the_rest);
    let (before, after) = match next_time {
        Some(next_time) => (Some(&sheet.spec), next_time),
        None => (sheet.record.spec_before_change.as_ref(), &sheet.spec),
    };
    let (mut mains, mut crosses) = lines(after);
    // the machine is set anew: its own value stands with the wish
    if next_time.is_none() {
        for (line, value) in [
            (&mut mains, &plan.machine.mains),
            (&mut crosses, &plan.machine.crosses),
        ] {
            line.push_str(&format!(", machine {} {}", value.set, value.unit.symbol()));
        }
    }
    let (old_mains, old_crosses) = before.map(lines).unwrap_or_default();
    let same = |old: &str, new: &str| {
        new.strip_prefix(old)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(", machine"))
    };
    let note = |spec: &Spec| spec.note.clone().unwrap_or_default();
    let mut changes = vec![
        ("Mains".to_owned(), old_mains, mains),
        ("Crosses".to_owned(), old_crosses, crosses),
        (
            "Note".to_owned(),
            before.map(note).unwrap_or_default(),
            note(after),
        ),
    ];
    changes.retain(|(_, before, after)| !same(before, after));
    let (who, at) = match &bench.changed {
        Some((who, at)) => (who.clone(), visitor.time(*at)),
        None => ("the desk".to_owned(), String::new()),
    };
    Some(ChangeNotice {
        version: sheet.job.spec_version.to_string(),
        who,
        at,
        changes,
        what_now: what_now(bench).to_owned(),
    })
}

/// What the change says of the strings that are in.
fn what_now(bench: &BenchSheet) -> &'static str {
    match bench.if_started.as_deref() {
        Some("apply_to_rest") if bench.sheet.record.spec_next_time.is_some() => {
            "It holds for what is not strung yet. What is in stays as it is; the whole change is kept for the next time."
        }
        Some("apply_to_rest") => "It holds for what is not strung yet.",
        Some("finish_as_asked") => "Finish this racket as it was asked; the change is for the next time.",
        Some("cut_out_and_restart") => "Cut out and begin again.",
        _ => "",
    }
}
