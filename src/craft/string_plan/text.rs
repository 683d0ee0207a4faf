//! The plan as a stringer would want it printed.
use crate::frame::HoleRef;
use crate::spec::{CutMeasured, Pieces, PreStretch};
use crate::string_plan::plan::{Cut, LengthCheck, Plan, PlanString, ShortSide, ValueSource};
use crate::string_plan::request::{StockKind, StockUse};
use crate::string_plan::sentences::{hole_label, metres};
use crate::string_plan::steps::{Action, Phase};
use crate::string_plan::string_stretch::material_label;

mod bed;
mod ways;

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
        2,
        plan.cautions.iter().map(|caution| format!("! {}", caution.text)),
    );
    section(
        &mut page,
        "NOT KNOWN",
        2,
        plan.unknowns.iter().map(|unknown| format!("? {}", unknown.text)),
    );
    section(&mut page, "WAYS OF WEAVING", 20, ways::lines(plan));
    section(&mut page, "WHERE IT COMES FROM", 2, ways::sources(plan));
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
    let strings = &plan.strings;
    page.line(0, "");
    for (name, string, value) in [
        ("MAINS   ", &strings.mains, &plan.machine.mains),
        ("CROSSES ", &strings.crosses, &plan.machine.crosses),
    ] {
        page.line(9, &format!("{name} {}{}", string_label(string), value.text));
        if let Some(stretch) = pre_stretch_label(string.pre_stretch) {
            page.line(9, &format!("         {stretch}"));
        }
    }
    for cut in &plan.cuts {
        page.line(9, &format!("CUT      {}", cut_text(cut)));
        if let Some(how) = cut_how(cut) {
            page.line(11, &format!("         {how}"));
        }
    }
    if let Some(short) = &plan.short_side {
        page.line(9, &format!("SHORT    {}", short_side(short)));
    }
    if let Some(tail) = plan.short_tail_mm {
        page.line(
            9,
            &format!(
                "TAIL     short tail at least {}, from the hole where the long end leaves the start cross",
                metres(tail)
            ),
        );
    }
    for check in &plan.length_checks {
        page.line(9, &format!("STRING   {}{}", stock_label(check), check.text));
    }
    time(plan, page);
}

fn time(plan: &Plan, page: &mut Page) {
    let total = plan.estimate.total;
    let widened = match plan.estimate.unknown_facts {
        0 => String::new(),
        1 => "; 1 fact not known widens it".to_owned(),
        facts => format!("; {facts} facts not known widen it"),
    };
    page.line(
        9,
        &format!(
            "TIME     about {} min, 8 in 10 within {}, 9 in 10 within {} min ({}{widened})",
            minutes(total.p50_s),
            minutes(total.p80_s),
            minutes(total.p90_s),
            plan.estimate.source
        ),
    );
}

fn short_side(short: &ShortSide) -> String {
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
    format!(
        "side {}: {length} ({})",
        short.side.letter(),
        short.source.label()
    )
}

/// "String A, polyester 1.25 mm: " of what is known of a string.
fn string_label(string: &PlanString) -> String {
    let material = string.material.map(material_label);
    let gauge = string.gauge_mm.as_ref().map(|gauge| format!("{gauge} mm"));
    let kind: Vec<&str> = material.into_iter().chain(gauge.as_deref()).collect();
    let known: Vec<String> = string
        .name
        .clone()
        .into_iter()
        .chain((!kind.is_empty()).then(|| kind.join(" ")))
        .collect();
    if known.is_empty() {
        "string not known: ".to_owned()
    } else {
        format!("{}: ", known.join(", "))
    }
}

fn pre_stretch_label(stretch: PreStretch) -> Option<String> {
    match stretch {
        PreStretch::None => None,
        PreStretch::ByMachine { percent } => {
            Some(format!("pre-stretch by the machine, {percent} % at each pull"))
        }
        PreStretch::ByHand {
            percent,
            cut_measured,
        } => {
            let when = match cut_measured {
                CutMeasured::Before => "cut first, then stretched",
                CutMeasured::After => "stretched first, then cut",
            };
            Some(format!(
                "pre-stretch by hand before stringing, {percent} %: {when}"
            ))
        }
    }
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

/// What the computed length is made of.
fn cut_how(cut: &Cut) -> Option<String> {
    let computed = cut.computed_at_least_mm?;
    let tails: Vec<String> = cut
        .tails_mm
        .iter()
        .map(|tail| format!("{:.2}", tail / 1000.0))
        .collect();
    let percent = cut.stretch_percent?;
    let stretch = match cut.stretch_source? {
        ValueSource::Measured => format!("{percent:.1} % stretch, measured here"),
        ValueSource::Computed => format!("{percent:.1} % stretch, the least of its material"),
        ValueSource::Assumed => format!("{percent:.1} % stretch, of an assumed material"),
        _ => "no stretch counted".to_owned(),
    };
    let safe = if cut.at_least_mm == Some(computed) {
        String::new()
    } else {
        format!("safe computed length {}, ", metres(computed))
    };
    Some(format!("{safe}tails {} m in it, {stretch}", tails.join(" + ")))
}

/// "Half set for the mains: "; nothing for the ordinary set, which says so itself.
fn stock_label(check: &LengthCheck) -> String {
    let kind = match check.kind {
        None => return String::new(),
        Some(StockKind::Set) => "a set",
        Some(StockKind::HalfSet) => "a half set",
        Some(StockKind::Offcut) => "an offcut",
        Some(StockKind::ReelRemainder) => "the rest of a reel",
    };
    let used_for = match check.used_for {
        StockUse::Mains => "mains",
        StockUse::Crosses => "crosses",
        StockUse::Both => "whole job",
    };
    format!("{used_for} from {kind}: ")
}

fn minutes(seconds: f64) -> String {
    format!("{:.0}", (seconds / 60.0).ceil())
}

fn bed(plan: &Plan, page: &mut Page) {
    page.line(0, "");
    page.line(9, &format!("START    {}", bed::start_cross(&plan.start_cross)));
    for line in bed::outer_mains(plan) {
        page.line(9, &format!("OUTER    {line}"));
    }
    if let Some(drag) = bed::drag(plan) {
        page.line(9, &format!("DRAG     {drag}"));
    }
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
    let mut told: Vec<&str> = Vec::new();
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
        let piece = match &step.action {
            Action::CutString { piece, .. } => Some(*piece),
            _ => None,
        };
        // each is told where it bites first; the list below holds them all
        for caution in plan.cautions.iter().filter(|caution| {
            step.cautions.contains(&caution.code) && (caution.piece.is_none() || caution.piece == piece)
        }) {
            if !told.contains(&caution.text.as_str()) {
                told.push(&caution.text);
                page.line(7, &format!("     ! {}", caution.text));
            }
        }
    }
}

fn section(page: &mut Page, title: &str, indent: usize, lines: impl Iterator<Item = String>) {
    let mut lines = lines.peekable();
    if lines.peek().is_none() {
        return;
    }
    page.line(0, &format!("\n{title}"));
    for line in lines {
        page.line(indent, &line);
    }
}
