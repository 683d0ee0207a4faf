//! What stands below the racket: which frame this is, how it is woven, what lines and marks mean.
use std::fmt::Write;

use crate::drawing::labels::LINE;
use crate::drawing::{Said, TEXT, escape};
use crate::string_plan::plan::Holes;

/// Characters that fit into a line of the sheet, bold and plain.
const HEADING_CHARACTERS: usize = 28;
const CHARACTERS: usize = 34;

const LINES: [&str; 4] = [
    "solid: mains · dashed: crosses",
    "thick: outer mains, start cross",
    "dotted ring: shoulder zone",
    "numbers in the bed: crosses",
];
const MARKS: [&str; 2] = ["× skip · ◇ shared hole", "tie-off: ⊗ mains · ⊕ crosses"];
const NO_HOLES: [&str; 1] = ["skips, shared holes and tie-offs are not on record"];

/// What lines and marks mean.
pub(super) fn meanings(holes: &Holes) -> impl Iterator<Item = &'static str> {
    let marks: &[&str] = if holes.known { &MARKS } else { &NO_HOLES };
    LINES.iter().chain(marks).copied()
}

/// The lines and their height on the sheet.
pub(super) fn below(said: &Said<'_>, top: f64) -> (String, f64) {
    let headings = [Some(said.frame.name.clone()), Some(bed(said)), said.way.clone()];
    let headings = headings
        .iter()
        .flatten()
        .flat_map(|line| lines_of(line, HEADING_CHARACTERS));
    let meanings = meanings(&said.holes).flat_map(|line| lines_of(line, CHARACTERS));
    let mut svg = String::new();
    let mut y = top + TEXT;
    let classed = headings
        .map(|line| ("heading", line))
        .chain(meanings.map(|line| ("legend", line)));
    for (class, line) in classed {
        // writing to a String cannot fail
        let _ = writeln!(
            svg,
            r#"<text class="{class}" x="0" y="{y:.1}">{}</text>"#,
            escape(&line)
        );
        y += LINE;
    }
    (svg, y - top)
}

pub(super) fn title(said: &Said<'_>) -> String {
    format!("{}: {}", said.frame.name, bed(said))
}

fn bed(said: &Said<'_>) -> String {
    format!("{} mains x {} crosses", said.frame.mains, said.frame.crosses)
}

/// The words of a text in lines of so many characters; a longer word is cut into several.
fn lines_of(text: &str, characters: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let letters: Vec<char> = word.chars().collect();
        for part in letters.chunks(characters) {
            let fits = |line: &String| line.chars().count() + 1 + part.len() <= characters;
            match lines.last_mut().filter(|line| fits(line)) {
                Some(line) => {
                    line.push(' ');
                    line.extend(part);
                }
                None => lines.push(part.iter().collect()),
            }
        }
    }
    lines
}
