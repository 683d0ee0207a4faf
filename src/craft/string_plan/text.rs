//! The plan as a stringer would want it printed.
use crate::craft::frame::HoleRef;
use crate::craft::spec::Pieces;
use crate::craft::string_plan::plan::{Cut, Plan};
use crate::craft::string_plan::sentences::{hole_label, metres};
use crate::craft::string_plan::steps::Phase;

/// Plain text, at most about 100 characters a line, sections apart.
#[must_use]
pub fn text(plan: &Plan) -> String {
    let mut page = Page(String::new());
    head(plan, &mut page);
    setting(plan, &mut page);
    bed(plan, &mut page);
    steps(plan, &mut page);
    section(
        &mut page,
        "CAUTIONS",
        plan.cautions.iter().map(|caution| format!("! {}", caution.text)),
    );
    section(
        &mut page,
        "NOT KNOWN",
        plan.unknowns.iter().map(|unknown| format!("? {}", unknown.text)),
    );
    page.0
}

const WIDTH: usize = 100;

struct Page(String);

impl Page {
    /// A line, wrapped under its own indent.
    fn line(&mut self, indent: usize, text: &str) {
        let mut width = 0;
        for (index, word) in text.split(' ').enumerate() {
            let letters = word.chars().count();
            if index > 0 && width + 1 + letters > WIDTH {
                self.0.push('\n');
                self.0.push_str(&" ".repeat(indent));
                width = indent;
            } else if index > 0 {
                self.0.push(' ');
                width += 1;
            }
            self.0.push_str(word);
            width += letters;
        }
        self.0.push('\n');
    }
}

fn head(plan: &Plan, page: &mut Page) {
    let frame = &plan.frame;
    page.line(
        0,
        &format!(
            "STRING PLAN  {}  ({}, {} mains x {} crosses)",
            frame.name,
            frame.sport.name(),
            frame.mains,
            frame.crosses
        ),
    );
    let pieces = match plan.pieces {
        Pieces::One => "one piece",
        Pieces::Two => "two pieces",
    };
    page.line(2, &format!("{pieces}, {}", plan.method.text));
    if let Some(reason) = &plan.override_reason {
        page.line(2, &format!("OUT OF RANGE BY WISH: {reason}"));
    }
}

fn setting(plan: &Plan, page: &mut Page) {
    page.line(0, &format!("\nMAINS    {}", plan.machine.mains.text));
    page.line(0, &format!("CROSSES  {}", plan.machine.crosses.text));
    for cut in &plan.cuts {
        page.line(9, &format!("CUT      {}", cut_text(cut)));
    }
    if let Some(short) = &plan.short_side {
        let length = short.at_least_mm.map_or_else(
            || "length not known".to_owned(),
            |length| {
                let rackets = short
                    .racket_lengths
                    .map(|rackets| format!(", {rackets:.1} racket lengths"))
                    .unwrap_or_default();
                format!("at least {}{rackets}", metres(length))
            },
        );
        page.line(
            9,
            &format!(
                "SHORT    side {}: {length} ({})",
                short.side.letter(),
                short.source.label()
            ),
        );
    }
    if let Some(tail) = plan.short_tail_mm {
        page.line(
            9,
            &format!(
                "TAIL     short tail at least {} beyond the first hole",
                metres(tail)
            ),
        );
    }
    for check in &plan.length_checks {
        page.line(9, &format!("STRING   {}", check.text));
    }
    page.line(
        9,
        &format!(
            "TIME     about {} min, 9 in 10 within {} min ({})",
            minutes(plan.estimate.total.p50_s),
            minutes(plan.estimate.total.p90_s),
            plan.estimate.source
        ),
    );
}

fn cut_text(cut: &Cut) -> String {
    match cut.at_least_mm {
        Some(length) => format!(
            "{}: at least {} ({})",
            cut.piece.label(),
            metres(length),
            cut.source.label()
        ),
        None => format!("{}: length not known", cut.piece.label()),
    }
}

fn minutes(seconds: f64) -> String {
    format!("{:.0}", (seconds / 60.0).ceil())
}

fn bed(plan: &Plan, page: &mut Page) {
    let start = plan.start_cross.value.map_or_else(
        || "not known".to_owned(),
        |start| format!("{start} ({})", plan.start_cross.source.label()),
    );
    page.line(9, &format!("\nSTART    cross {start}"));
    page.line(
        9,
        &format!(
            "LOOP     centre loop at the {}, mains finish at the {} ({})",
            plan.ends.loop_end.name(),
            plan.ends.mains_finish.name(),
            plan.ends.source.label()
        ),
    );
    let holes = &plan.holes;
    if holes.known {
        hole_line(page, "SKIP     mains", &holes.mains_skip);
        hole_line(page, "SKIP     crosses", &holes.crosses_skip);
        hole_line(page, "SHARED   holes", &holes.shared_holes);
        hole_line(page, "TIE OFF  mains", &holes.tie_off_mains);
        hole_line(page, "TIE OFF  crosses", &holes.tie_off_crosses);
    } else {
        page.line(9, "HOLES    pattern not on record");
    }
    let even = if plan.weave.over_when_even { "even" } else { "odd" };
    page.line(
        9,
        &format!(
            "WEAVE    cross over main where their numbers add up to {even}; mains counted from the outermost on side A"
        ),
    );
}

fn hole_line(page: &mut Page, name: &str, holes: &[HoleRef]) {
    if !holes.is_empty() {
        let labels: Vec<String> = holes.iter().map(|hole| hole_label(*hole)).collect();
        page.line(9, &format!("{name} {}", labels.join(", ")));
    }
}

fn steps(plan: &Plan, page: &mut Page) {
    let mut phase = None;
    for step in &plan.steps {
        if phase != Some(step.phase) {
            phase = Some(step.phase);
            let name = match step.phase {
                Phase::Prep => "PREPARE",
                Phase::Mains => "MAINS",
                Phase::Crosses => "CROSSES",
                Phase::Finish => "FINISH",
            };
            let about = minutes(plan.estimate.phase(step.phase).p50_s);
            page.line(0, &format!("\n{name}  (about {about} min)"));
        }
        page.line(5, &format!("{:>3}  {}", step.number, step.text));
        for code in &step.cautions {
            if let Some(caution) = plan.cautions.iter().find(|caution| caution.code == *code) {
                page.line(7, &format!("     ! {}", caution.text));
            }
        }
    }
}

fn section(page: &mut Page, title: &str, lines: impl Iterator<Item = String>) {
    let mut lines = lines.peekable();
    if lines.peek().is_none() {
        return;
    }
    page.line(0, &format!("\n{title}"));
    for line in lines {
        page.line(2, &line);
    }
}
