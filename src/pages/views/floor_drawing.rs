//! The lanes of the Floor as a drawing on a time axis. The page has the same numbers in a table, so readers skip this.
use std::fmt::Write;

/// Pixels of a minute where the screen is narrow; the drawing fills a wider one, so places along the axis are
/// hundredths of its width. Texts and marks keep their size.
const LEAST_PER_MINUTE: i64 = 5;
/// Pixels of a lane, as in `floor.css`.
const LANE: i64 = 76;
/// Pixels of the axis above the lanes, as in `floor.css`.
const AXIS: i64 = 32;
const BLOCK_TOP: i64 = 8;
const BLOCK: i64 = 40;
/// Wedges nearer than this would lie on each other; each takes so many pixels.
const SAME_PLACE_MIN: i64 = 3;
const WEDGE: i64 = 15;

/// How a block is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// At the station now.
    Present,
    /// To come, in time.
    InTime,
    /// To come, probably late.
    AtRisk,
    /// To come, late.
    Late,
}

/// One job on its lane; times in minutes since the epoch.
#[derive(Clone, Debug)]
pub struct Block {
    pub code: String,
    /// The glyph before the code; empty for the ordinary.
    pub glyph: &'static str,
    pub fill: Fill,
    pub begins: i64,
    /// Minutes of set-up at its beginning.
    pub set_up: i64,
    pub ends: i64,
    /// By when it must be ready.
    pub due: i64,
    /// When its match may start, where one is known.
    pub plays: Option<i64>,
    /// What the pointer reads.
    pub title: String,
    pub href: String,
    /// The job's id where it may go to another station.
    pub moves: Option<String>,
}

/// A station's lane.
#[derive(Clone, Debug)]
pub struct Lane {
    /// The station's id where it is open.
    pub open: Option<String>,
    pub blocks: Vec<Block>,
}

/// Everything that is drawn.
#[derive(Clone, Debug)]
pub struct Drawing {
    pub now: i64,
    /// Minutes of full and half hours with what the venue's clock says.
    pub marks: Vec<(i64, String)>,
    pub lanes: Vec<Lane>,
    /// First and last minute of the axis.
    pub from: i64,
    pub to: i64,
}

impl Drawing {
    /// Where a minute is, such as "12.5%".
    fn x(&self, minute: i64) -> String {
        self.wide(minute.clamp(self.from, self.to) - self.from)
    }

    /// How wide so many minutes are.
    fn wide(&self, minutes: i64) -> String {
        // thousandths of a hundredth, cut off: no pixel is wrong on any screen
        let parts = minutes * 100_000 / (self.to - self.from).max(1);
        format!("{}.{:03}%", parts / 1000, parts % 1000)
    }

    fn shows(&self, minute: i64) -> bool {
        (self.from..=self.to).contains(&minute)
    }

    /// As SVG text.
    #[must_use]
    pub fn svg(&self) -> String {
        let lanes = i64::try_from(self.lanes.len()).unwrap_or(0);
        let (least, height) = ((self.to - self.from) * LEAST_PER_MINUTE, AXIS + LANE * lanes);
        // the empty one keeps the narrowest width open; pages have no styles of their own
        let mut out = format!(
            "<svg width=\"{least}\" height=\"0\" aria-hidden=\"true\"></svg>\
             <svg xmlns=\"http://www.w3.org/2000/svg\" class=\"floor\" width=\"100%\" height=\"{height}\" \
             aria-hidden=\"true\">"
        );
        for (minute, label) in &self.marks {
            let x = self.x(*minute);
            put(
                &mut out,
                format_args!(
                    "<line class=\"hour\" x1=\"{x}\" y1=\"{AXIS}\" x2=\"{x}\" y2=\"{height}\"/>\
                     <text class=\"mark\" x=\"{x}\" y=\"22\">{}</text>",
                    escaped(label)
                ),
            );
        }
        for (index, lane) in self.lanes.iter().enumerate() {
            let top = AXIS + LANE * i64::try_from(index).unwrap_or(0);
            let class = match &lane.open {
                Some(id) => format!("class=\"lane\" data-station=\"{}\"", escaped(id)),
                None => "class=\"lane lane-closed\"".to_owned(),
            };
            put(
                &mut out,
                format_args!("<rect {class} x=\"0\" y=\"{top}\" width=\"100%\" height=\"{LANE}\"/>"),
            );
        }
        // under the blocks: a code is never crossed out by it
        let x = self.x(self.now);
        put(
            &mut out,
            format_args!("<line class=\"now\" x1=\"{x}\" y1=\"{AXIS}\" x2=\"{x}\" y2=\"{height}\"/>"),
        );
        for (index, lane) in self.lanes.iter().enumerate() {
            let top = AXIS + LANE * i64::try_from(index).unwrap_or(0);
            for (place, block) in lane.blocks.iter().enumerate() {
                let near = |other: &&Block| (other.due - block.due).abs() < SAME_PLACE_MIN;
                let shared = lane.blocks[..place].iter().filter(near).count();
                self.block(&mut out, block, top, shared);
            }
        }
        let x = self.x(self.now);
        put(
            &mut out,
            format_args!(
                "<svg x=\"{x}\"><path class=\"now-mark\" d=\"M0 {AXIS} l-7 -10 h14 z\"/></svg></svg>"
            ),
        );
        out
    }

    fn block(&self, out: &mut String, block: &Block, top: i64, shared: usize) {
        let [begins, ends] = [block.begins, block.ends].map(|minute| minute.clamp(self.from, self.to));
        let set_up = block.set_up.min(ends - begins).max(0);
        let (left, width) = (self.x(begins), self.wide((ends - begins).max(1)));
        let (y, floor) = (top + BLOCK_TOP, top + BLOCK_TOP + BLOCK);
        let class = match block.fill {
            Fill::Present => "block block-present",
            Fill::InTime => "block",
            Fill::AtRisk => "block block-risk",
            Fill::Late => "block block-late",
        };
        let moves = block.moves.as_ref();
        let moves = moves.map_or_else(String::new, |job| format!(" data-job=\"{}\"", escaped(job)));
        put(
            out,
            format_args!(
                "<a href=\"{}\" tabindex=\"-1\"{moves}><title>{}</title><rect class=\"{class}\" x=\"{left}\" y=\"{y}\" \
                 width=\"{width}\" height=\"{BLOCK}\" rx=\"3\"/>",
                escaped(&block.href),
                escaped(&block.title)
            ),
        );
        if block.set_up > 0 {
            put(
                out,
                format_args!(
                    "<rect class=\"set-up\" x=\"{left}\" y=\"{y}\" width=\"{}\" height=\"{BLOCK}\"/>",
                    self.wide(set_up)
                ),
            );
        }
        put(
            out,
            format_args!(
                "<text class=\"code\" x=\"{}\" dx=\"5\" y=\"{}\">{}{}</text></a>",
                self.x(begins + set_up),
                y + 26,
                block.glyph,
                escaped(&block.code)
            ),
        );
        self.due_mark(out, block, &self.x(ends), (floor, shared));
        if let Some(plays) = block.plays.filter(|plays| self.shows(*plays)) {
            let x = self.x(plays);
            put(
                out,
                format_args!(
                    "<svg x=\"{x}\"><path class=\"plays\" d=\"M0 {} l6 7 l-6 7 l-6 -7 z\"/></svg>",
                    floor + 6
                ),
            );
        }
    }

    /// A wedge at the due time, tied to the end of its block; beside those that are there already.
    fn due_mark(&self, out: &mut String, block: &Block, end: &str, (floor, shared): (i64, usize)) {
        if !self.shows(block.due) {
            return;
        }
        let (x, line) = (self.x(block.due), floor + 13);
        let class = if block.fill == Fill::Late {
            "due due-late"
        } else {
            "due"
        };
        put(
            out,
            format_args!(
                "<line class=\"{class}-tie\" x1=\"{end}\" y1=\"{floor}\" x2=\"{end}\" y2=\"{line}\"/>\
                 <line class=\"{class}-tie\" x1=\"{end}\" y1=\"{line}\" x2=\"{x}\" y2=\"{line}\"/>\
                 <svg x=\"{x}\"><path class=\"{class}\" d=\"M{} {} h14 l-7 12 z\"/></svg>",
                -7 + WEDGE * i64::try_from(shared).unwrap_or(0),
                line - 6
            ),
        );
    }
}

fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    // writing to a String does not fail
    let _ = out.write_fmt(text);
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block() -> Block {
        Block {
            code: "K7M4G".into(),
            glyph: "",
            fill: Fill::InTime,
            begins: 70,
            set_up: 2,
            ends: 97,
            due: 120,
            plays: Some(150),
            title: "K7M4G <Example>".into(),
            href: "/floor?job=j1".into(),
            moves: Some("j1".into()),
        }
    }

    fn drawing() -> Drawing {
        Drawing {
            now: 66,
            marks: vec![(90, "13:30".into())],
            lanes: vec![
                Lane {
                    open: Some("s1".into()),
                    blocks: vec![block()],
                },
                Lane {
                    open: None,
                    blocks: Vec::new(),
                },
            ],
            from: 60,
            to: 240,
        }
    }

    #[test]
    fn the_axis_takes_the_whole_width_and_a_minute_is_never_less_than_five_pixels() {
        let svg = drawing().svg();
        assert!(
            svg.contains("width=\"100%\" height=\"184\"") && svg.contains("width=\"900\" height=\"0\""),
            "{svg}"
        );
        // begins ten minutes after the axis of 180 and takes twenty-seven
        assert!(svg.contains("x=\"5.555%\" y=\"40\" width=\"15.000%\""), "{svg}");
        assert!(svg.contains("&lt;Example&gt;") && !svg.contains("<Example>"));
    }

    #[test]
    fn marks_beyond_the_axis_are_left_to_the_table() {
        let mut far = drawing();
        far.lanes[0].blocks[0].due = 900;
        far.lanes[0].blocks[0].plays = Some(930);
        let svg = far.svg();
        assert!(!svg.contains("class=\"due\"") && !svg.contains("class=\"plays\""));
        assert!(drawing().svg().contains("class=\"due\"") && drawing().svg().contains("class=\"plays\""));
    }

    #[test]
    fn readers_skip_the_drawing_and_no_block_takes_the_focus_from_the_table() {
        let svg = drawing().svg();
        assert!(svg.contains("aria-hidden=\"true\""));
        assert_eq!(svg.matches("<a ").count(), svg.matches("tabindex=\"-1\"").count());
    }
}
