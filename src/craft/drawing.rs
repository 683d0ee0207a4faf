//! A drawing of this frame as SVG text, readable in grey print.
//!
//! Mains are solid, crosses dashed. Turning the drawing head down turns it by 180
//! degrees; it is never mirrored, so A and B stay on their own strings.
//! Few texts, all of one size: at the bench the drawing is read from an arm's length.
use std::fmt::Write;

use crate::frame::{FrameRecord, HoleRef, Side};
use crate::spec::Pieces;
use crate::string_plan::Plan;
use crate::string_plan::choices;
use crate::string_plan::plan::Holes;

mod holes;
mod labels;
mod legend;
mod outline;

use outline::Outline;

/// Where the head is on the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HeadAt {
    /// Head up.
    #[default]
    Top,
    /// Head down: turned by 180 degrees.
    Bottom,
}

/// Half the sheet's width in its own units; every frame is drawn as large as it fits.
const HALF_WIDTH: f64 = 216.0;
/// The hoop keeps this far from the centre, so that labels have their place beside it.
const HOOP_WITHIN: f64 = 140.0;
/// The longest half of a hoop.
const HOOP_UP_TO: f64 = 200.0;
/// The size of all text: over 24 px where the bench shows the sheet 460 px wide.
const TEXT: f64 = 23.0;

/// What is said of a frame on its drawing: by a plan, or by its record alone.
struct Said<'a> {
    frame: &'a FrameRecord,
    start_cross: Option<usize>,
    /// The start cross is still to be looked up on the frame.
    check_on_frame: bool,
    holes: Holes,
    short_side: Option<Side>,
    /// Pieces and method; a record has none.
    way: Option<String>,
    /// Which frame it is and what lines and marks mean stands below the racket.
    legend_below: bool,
}

/// The drawing of `frame` with what `plan` says of it; empty for sizes that make no hoop, which have no plan.
#[must_use]
pub fn svg(frame: &FrameRecord, plan: &Plan, head: HeadAt) -> String {
    drawn(&by_plan(frame, plan), head)
}

/// The racket alone, for a sheet that says beside it which frame it is and what its legend tells.
#[must_use]
pub fn racket_alone(frame: &FrameRecord, plan: &Plan, head: HeadAt) -> String {
    let said = Said {
        legend_below: false,
        ..by_plan(frame, plan)
    };
    drawn(&said, head)
}

/// What the lines and marks of a drawing mean.
#[must_use]
pub fn legend(plan: &Plan) -> Vec<&'static str> {
    legend::meanings(&plan.holes).collect()
}

fn by_plan<'a>(frame: &'a FrameRecord, plan: &Plan) -> Said<'a> {
    let pieces = match plan.pieces {
        Pieces::One => "one piece",
        Pieces::Two => "two pieces",
    };
    Said {
        frame,
        start_cross: plan.start_cross.value.map(usize::from),
        check_on_frame: plan.start_cross.check_on_frame,
        holes: plan.holes.clone(),
        short_side: plan.short_side.as_ref().map(|short| short.side),
        way: Some(format!("{pieces} · {}", plan.method.method.words())),
        legend_below: true,
    }
}

/// The drawing of `frame` as it is on record; empty for sizes that make no hoop.
#[must_use]
pub fn of_record(frame: &FrameRecord) -> String {
    let said = Said {
        frame,
        start_cross: frame.pattern.start_cross.map(usize::from),
        check_on_frame: false,
        holes: choices::holes(frame),
        short_side: frame.pattern.short_side.and_then(|rule| rule.side()),
        way: None,
        legend_below: true,
    };
    drawn(&said, HeadAt::Top)
}

fn drawn(said: &Said<'_>, head: HeadAt) -> String {
    let frame = said.frame;
    let Some(outline) = Outline::of(frame) else {
        return String::new();
    };
    let mut sheet = Sheet {
        turn: if head == HeadAt::Top { 1.0 } else { -1.0 },
        body: String::new(),
    };
    hoop(&outline, &mut sheet);
    shoulder_zone(&outline, &mut sheet);
    crosses(&outline, said, &mut sheet);
    mains(&outline, &mut sheet);
    if frame.mains.is_multiple_of(2) {
        labels::marked_holes(&outline, &said.holes, &mut sheet);
    }
    cross_numbers(&outline, said, &mut sheet);
    letters(&outline, said, &mut sheet);
    wrap(&outline, said, head, &sheet.body)
}

/// SVG under way; turns points by 180 degrees when the head is down.
struct Sheet {
    turn: f64,
    body: String,
}

impl Sheet {
    /// A point of the racket with y up to the sheet's coordinates, whose y runs down.
    fn point(&self, x: f64, y: f64) -> (f64, f64) {
        (self.turn * x, -self.turn * y)
    }

    fn add(&mut self, text: std::fmt::Arguments<'_>) {
        // writing to a String cannot fail
        let _ = self.body.write_fmt(text);
        self.body.push('\n');
    }

    fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let ((x1, y1), (x2, y2)) = (self.point(from.0, from.1), self.point(to.0, to.1));
        self.add(format_args!(
            r#"<line class="{class}" x1="{x1:.1}" y1="{y1:.1}" x2="{x2:.1}" y2="{y2:.1}"/>"#
        ));
    }

    fn ring(&mut self, class: &str, at: (f64, f64), radius: f64) {
        let (x, y) = self.point(at.0, at.1);
        self.add(format_args!(
            r#"<circle class="{class}" cx="{x:.1}" cy="{y:.1}" r="{radius:.1}"/>"#
        ));
    }

    fn text(&mut self, class: &str, at: (f64, f64), text: &str) {
        let (x, y) = self.point(at.0, at.1);
        self.add(format_args!(
            r#"<text class="{class}" x="{x:.1}" y="{y:.1}">{}</text>"#,
            escape(text)
        ));
    }

    /// Text that begins at a point right of the centre, or ends at one left of it.
    fn text_beside(&mut self, class: &str, at: (f64, f64), text: &str) {
        let away = if self.point(at.0, at.1).0 < 0.0 {
            "ends"
        } else {
            "begins"
        };
        self.text(&format!("{class} {away}"), at, text);
    }
}

fn hoop(outline: &Outline, sheet: &mut Sheet) {
    const STEPS: u32 = 144;
    let mut path = String::new();
    for index in 0..=STEPS {
        let angle = std::f64::consts::TAU * f64::from(index) / f64::from(STEPS);
        let x = outline.width / 2.0 * angle.sin();
        let y = if angle.cos() >= 0.0 {
            outline.head_y(x)
        } else {
            outline.throat_y(x)
        };
        let (x, y) = sheet.point(x, y);
        let _ = write!(path, "{}{x:.1} {y:.1}", if index == 0 { "M" } else { " L" });
    }
    sheet.add(format_args!(r#"<path class="hoop" d="{path} Z"/>"#));
}

fn mains(outline: &Outline, sheet: &mut Sheet) {
    let last = outline.mains_x.len();
    if outline.centre_main {
        sheet.line("main", (0.0, outline.head_y(0.0)), (0.0, outline.throat_y(0.0)));
    }
    for (index, x) in outline.mains_x.iter().enumerate() {
        let class = if index + 1 == last { "main outer" } else { "main" };
        for x in [-x, *x] {
            sheet.line(class, (x, outline.head_y(x)), (x, outline.throat_y(x)));
        }
    }
}

fn crosses(outline: &Outline, said: &Said<'_>, sheet: &mut Sheet) {
    let start = said.start_cross;
    for (index, y) in outline.crosses_y.iter().enumerate() {
        let half = outline.half_width(*y);
        let class = if start == Some(index + 1) {
            "cross start"
        } else {
            "cross"
        };
        sheet.line(class, (-half, *y), (half, *y));
    }
}

/// The first cross, every fifth and the last, over the strings; the start cross beside them.
fn cross_numbers(outline: &Outline, said: &Said<'_>, sheet: &mut Sheet) {
    let start = said.start_cross;
    let last = outline.crosses_y.len();
    for (index, y) in outline.crosses_y.iter().enumerate() {
        let number = index + 1;
        // one that stands close to the last would run into it
        let shown = number == 1 || number == last || (number.is_multiple_of(5) && number + 2 < last);
        if shown && start != Some(number) {
            sheet.text("number", (0.0, *y), &number.to_string());
        }
        if start == Some(number) {
            let asked = if said.check_on_frame { "?" } else { "" };
            let at = (-outline.width * 0.23, *y);
            sheet.text("start-label", at, &format!("start {number}{asked}"));
        }
    }
}

/// Where outer mains and top crosses meet: strings burn here.
fn shoulder_zone(outline: &Outline, sheet: &mut Sheet) {
    let Some(outer) = outline.mains_x.last().copied() else {
        return;
    };
    for x in [-outer, outer] {
        sheet.ring("shoulder", (x, outline.head_y(x)), outline.width * 0.085);
    }
}

fn letters(outline: &Outline, said: &Said<'_>, sheet: &mut Sheet) {
    let out = HALF_WIDTH - TEXT * 1.5;
    for (side, x) in [(Side::A, -out), (Side::B, out)] {
        sheet.text("side", (x, 0.0), side.letter());
        if let Some(short) = said.short_side {
            let which = if short == side { "short" } else { "long" };
            for (line, text) in [(1.3, which), (2.3, "side")] {
                sheet.text("which", (x, -line * labels::LINE * sheet.turn), text);
            }
        }
    }
    let out = outline.length / 2.0 + outline.wall + TEXT * 0.8;
    for (end, y) in [("head", out), ("throat", -out)] {
        sheet.text("end", (0.0, y), end);
    }
}

/// The style sheet inside every drawing. A page that holds a drawing allows this text and no other.
pub const STYLE: &str = "text{font:23px sans-serif;text-anchor:middle;dominant-baseline:central;fill:#000}\
.hoop{fill:none;stroke:#000;stroke-width:4}.main{stroke:#000;stroke-width:1}.outer{stroke-width:2.4}\
.cross{stroke:#000;stroke-width:.9;stroke-dasharray:5 3}.start{stroke-width:2.4}\
.shoulder{fill:none;stroke:#000;stroke-width:.8;stroke-dasharray:1 2}\
.leader{stroke:#000;stroke-width:1}.hole{fill:#fff;stroke:#000;stroke-width:2}\
.begins{text-anchor:start}.ends{text-anchor:end}\
.side,.heading,.start-label,.hole-label{font-weight:bold}.side{font-size:32px}\
.number,.start-label{paint-order:stroke;stroke:#fff;stroke-width:6}";

fn wrap(outline: &Outline, said: &Said<'_>, head: HeadAt, body: &str) -> String {
    let half_height = outline.length / 2.0 + outline.wall + TEXT * 1.5;
    let (legend, legend_height) = if said.legend_below {
        legend::below(said, half_height)
    } else {
        Default::default()
    };
    let (width, height) = (2.0 * HALF_WIDTH, 2.0 * half_height + legend_height);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"drawing-title drawing-desc\" \
         viewBox=\"{:.1} {:.1} {width:.1} {height:.1}\">\n<title id=\"drawing-title\">{}</title>\n\
         <desc id=\"drawing-desc\">{}</desc>\n<style>{STYLE}</style>\n{body}{legend}</svg>\n",
        -HALF_WIDTH,
        -half_height,
        escape(&legend::title(said)),
        escape(&description(said, head)),
    )
}

fn description(said: &Said<'_>, head: HeadAt) -> String {
    let (where_head, where_a) = match head {
        HeadAt::Top => ("up", "left"),
        HeadAt::Bottom => ("down", "right"),
    };
    let start = said
        .start_cross
        .map_or_else(|| "not known".to_owned(), |start| format!("cross {start}"));
    let listed = |holes: &[HoleRef]| {
        if holes.is_empty() {
            return "none on record".to_owned();
        }
        let labels: Vec<String> = holes
            .iter()
            .map(|hole| crate::string_plan::sentences::hole_label(*hole))
            .collect();
        labels.join(", ")
    };
    format!(
        "Head {where_head}, side A on the {where_a}. Mains solid, crosses dashed. Start cross: {start}. \
         Mains skip: {}. Tie off mains: {}. Tie off crosses: {}. Shared holes: {}.",
        listed(&said.holes.mains_skip),
        listed(&said.holes.tie_off_mains),
        listed(&said.holes.tie_off_crosses),
        listed(&said.holes.shared_holes)
    )
}

fn escape(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).fold(
        String::with_capacity(text.len()),
        |mut escaped, letter| {
            match letter {
                '&' => escaped.push_str("&amp;"),
                '<' => escaped.push_str("&lt;"),
                '>' => escaped.push_str("&gt;"),
                '"' => escaped.push_str("&quot;"),
                other => escaped.push(other),
            }
            escaped
        },
    )
}
