//! A drawing of this frame as SVG text, readable in grey print.
//!
//! Mains are solid, crosses dashed. Turning the drawing head down turns it by 180
//! degrees; it is never mirrored, so A and B stay on their own strings.
use std::fmt::Write;

use crate::frame::{FrameRecord, HoleRef, Side};
use crate::racket_end::RacketEnd;
use crate::spec::Pieces;
use crate::string_plan::Plan;

mod holes;
mod outline;

use holes::HoleRow;
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

/// The drawing of `frame` with what `plan` says of it; empty for sizes that make no hoop, which have no plan.
#[must_use]
pub fn svg(frame: &FrameRecord, plan: &Plan, head: HeadAt) -> String {
    let Some(outline) = Outline::of(frame) else {
        return String::new();
    };
    let mut sheet = Sheet {
        turn: if head == HeadAt::Top { 1.0 } else { -1.0 },
        body: String::new(),
    };
    hoop(&outline, &mut sheet);
    crosses(&outline, plan, &mut sheet);
    mains(&outline, &mut sheet);
    shoulder_zone(&outline, &mut sheet);
    if frame.mains.is_multiple_of(2) {
        hole_marks(&outline, plan, &mut sheet);
    }
    letters(&outline, plan, &mut sheet);
    wrap(&outline, plan, head, &sheet.body)
}

/// SVG under way; turns points by 180 degrees when the head is down.
struct Sheet {
    turn: f64,
    body: String,
}

impl Sheet {
    /// Millimetres of the racket to the sheet's coordinates, whose y runs down.
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

    fn text(&mut self, class: &str, at: (f64, f64), text: &str) {
        let (x, y) = self.point(at.0, at.1);
        self.add(format_args!(
            r#"<text class="{class}" x="{x:.1}" y="{y:.1}">{}</text>"#,
            escape(text)
        ));
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

fn crosses(outline: &Outline, plan: &Plan, sheet: &mut Sheet) {
    let start = plan.start_cross.value.map(usize::from);
    for (index, y) in outline.crosses_y.iter().enumerate() {
        let number = index + 1;
        let half = outline.half_width(*y);
        let is_start = start == Some(number);
        let class = if is_start { "cross start" } else { "cross" };
        sheet.line(class, (-half, *y), (half, *y));
        let margin = outline.width / 2.0 + outline.wall + 6.0;
        if number == 1 || number == outline.crosses_y.len() || number.is_multiple_of(5) {
            sheet.text("number", (margin, *y), &number.to_string());
        }
        if is_start {
            let asked = if plan.start_cross.check_on_frame { "?" } else { "" };
            sheet.text(
                "start-label",
                (-margin - 8.0, *y),
                &format!("start {number}{asked}"),
            );
        }
    }
}

/// Where outer mains and top crosses meet: strings burn here.
fn shoulder_zone(outline: &Outline, sheet: &mut Sheet) {
    let Some(outer) = outline.mains_x.last().copied() else {
        return;
    };
    let radius = outline.width * 0.085;
    for x in [-outer, outer] {
        let (cx, cy) = sheet.point(x, outline.head_y(x));
        sheet.add(format_args!(
            r#"<circle class="shoulder" cx="{cx:.1}" cy="{cy:.1}" r="{radius:.1}"/>"#
        ));
    }
}

fn hole_marks(outline: &Outline, plan: &Plan, sheet: &mut Sheet) {
    for end in [RacketEnd::Head, RacketEnd::Throat] {
        for side in [Side::A, Side::B] {
            row_marks(
                &HoleRow::new(outline, end, side, &plan.holes.mains_skip),
                outline,
                plan,
                sheet,
            );
        }
    }
}

/// Numbers and marks of the holes of one end and side; of the mains where holes are not on record.
fn row_marks(row: &HoleRow<'_>, outline: &Outline, plan: &Plan, sheet: &mut Sheet) {
    let holes = &plan.holes;
    let outwards = if row.end() == RacketEnd::Head { 1.0 } else { -1.0 };
    let beside = |(x, y): (f64, f64), by: f64| (x * (1.0 + by / 300.0), y + outwards * by);
    let marks = [
        (&holes.mains_skip, "skip", "×"),
        (&holes.crosses_skip, "skip", "×"),
        (&holes.shared_holes, "shared", "◇"),
        (&holes.tie_off_mains, "tie-off", "⊗"),
        (&holes.tie_off_crosses, "tie-off", "⊕"),
    ];
    let marked: Vec<(u16, &str, &str)> = marks
        .into_iter()
        .flat_map(|(list, class, mark)| row.here(list).map(move |number| (number, class, mark)))
        .collect();
    let mut numbers: Vec<u16> = row.numbers().collect();
    let last = numbers.last().copied().unwrap_or(0);
    numbers.extend(
        marked
            .iter()
            .map(|(number, ..)| *number)
            .filter(|number| *number > last),
    );
    numbers.dedup();
    for number in numbers {
        let place = beside(row.place(number), outline.wall + 5.0);
        sheet.text("number", place, &number.to_string());
    }
    for (number, class, mark) in marked {
        sheet.text(class, beside(row.place(number), outline.wall / 2.0), mark);
    }
}

fn letters(outline: &Outline, plan: &Plan, sheet: &mut Sheet) {
    let out = outline.width / 2.0 + outline.wall + 18.0;
    for (side, x) in [(Side::A, -out), (Side::B, out)] {
        sheet.text("side", (x, -outline.length / 4.0), side.letter());
        if let Some(short) = &plan.short_side {
            let which = if short.side == side {
                "short side"
            } else {
                "long side"
            };
            sheet.text("which", (x, -outline.length / 4.0 - 17.0 * sheet.turn), which);
        }
    }
    for (end, y) in [
        ("head", outline.length / 2.0 + outline.wall + 20.0),
        ("throat", -outline.length / 2.0 - outline.wall - 20.0),
    ] {
        sheet.text("end", (0.0, y), end);
    }
}

/// The style sheet inside every drawing. A page that holds a drawing allows this text and no other.
pub const STYLE: &str = "text{font:9px sans-serif;text-anchor:middle;dominant-baseline:central;fill:#000}\
.hoop{fill:none;stroke:#000;stroke-width:4}.main{stroke:#000;stroke-width:1}.outer{stroke-width:2.4}\
.cross{stroke:#000;stroke-width:.9;stroke-dasharray:5 3}.start{stroke-width:2.4}\
.shoulder{fill:none;stroke:#000;stroke-width:.8;stroke-dasharray:1 2}.number{font-size:10px}\
.start-label{font-weight:bold}.side{font-size:20px;font-weight:bold}.heading{font-size:11px;font-weight:bold}\
.skip,.shared,.tie-off{font-size:13px;font-weight:bold;paint-order:stroke;stroke:#fff;stroke-width:2}";

/// What lines and marks mean, in lines that fit below the narrowest frame.
const LINES: [&str; 2] = [
    "solid: mains · dashed: crosses · dotted ring: shoulder zone",
    "thick: outer mains and start cross",
];
const MARKS: [&str; 2] = [
    "numbers: holes · × skip · ◇ shared hole",
    "⊗ tie-off of the mains · ⊕ tie-off of the crosses",
];
const NO_HOLES: [&str; 2] = [
    "numbers: mains from the centre",
    "skips, shared holes and tie-offs are not on record",
];

fn wrap(outline: &Outline, plan: &Plan, head: HeadAt, body: &str) -> String {
    let half_width = (outline.width / 2.0 + outline.wall + 50.0).max(180.0);
    let half_height = outline.length / 2.0 + outline.wall + 32.0;
    let (width, height) = (2.0 * half_width, 2.0 * half_height + 84.0);
    let marks = if plan.holes.known { MARKS } else { NO_HOLES };
    let mut legend = String::new();
    let mut y = half_height + 6.0;
    for line in LINES.iter().chain(&marks) {
        let _ = writeln!(legend, r#"<text class="legend" x="0" y="{y:.1}">{line}</text>"#);
        y += 13.0;
    }
    for (line, y) in [title(plan), way(plan)]
        .iter()
        .zip([-half_height - 20.0, -half_height - 6.0])
    {
        let line = escape(line);
        let _ = writeln!(legend, r#"<text class="heading" x="0" y="{y:.1}">{line}</text>"#);
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"drawing-title drawing-desc\" \
         viewBox=\"{:.1} {:.1} {width:.1} {height:.1}\">\n<title id=\"drawing-title\">{}</title>\n\
         <desc id=\"drawing-desc\">{}</desc>\n<style>{STYLE}</style>\n{body}{legend}</svg>\n",
        -half_width,
        -half_height - 32.0,
        escape(&title(plan)),
        escape(&description(plan, head)),
    )
}

fn title(plan: &Plan) -> String {
    format!(
        "{}: {} mains x {} crosses",
        plan.frame.name, plan.frame.mains, plan.frame.crosses
    )
}

/// Pieces and method.
fn way(plan: &Plan) -> String {
    let pieces = match plan.pieces {
        Pieces::One => "one piece",
        Pieces::Two => "two pieces",
    };
    format!("{pieces} · {}", plan.method.method.words())
}

fn description(plan: &Plan, head: HeadAt) -> String {
    let (where_head, where_a) = match head {
        HeadAt::Top => ("up", "left"),
        HeadAt::Bottom => ("down", "right"),
    };
    let start = plan
        .start_cross
        .value
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
        listed(&plan.holes.mains_skip),
        listed(&plan.holes.tie_off_mains),
        listed(&plan.holes.tie_off_crosses),
        listed(&plan.holes.shared_holes)
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
