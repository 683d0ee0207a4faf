//! Small files and small functions: what does not fit in a head does not fit here.
use crate::source::{SourceFile, files_below, none};

const FILE_LINES: usize = 400;
const FUNCTION_LINES: usize = 60;

/// What may be longer, and why.
const LONGER_FILES: &[(&str, &str)] = &[];
const LONGER_FUNCTIONS: &[(&str, &str)] = &[
    (
        "src/api/answer.rs::whatever_is_refused_is_a_problem_with_a_trace",
        "a table of requests",
    ),
    ("src/craft/roles.rs::reach", "the role table: one arm per action"),
    (
        "src/craft/string_plan/assemble.rs::assemble",
        "names every part of a plan once, in order",
    ),
    (
        "src/craft/string_plan/sentences.rs::sentence",
        "one arm per kind of step",
    ),
    (
        "src/pages/handlers/hand_in_card.rs::card",
        "names every part of the card once",
    ),
    ("src/pages/handlers/setup.rs::task", "one arm per task"),
    (
        "tests/pages/day.rs::a_racket_goes_through_every_screen",
        "one racket's day",
    ),
    (
        "src/pages/views/plan_tests.rs::screen",
        "one whole screen as data",
    ),
    (
        "tests/api/wire.rs::head_sends_the_length_alone_and_a_stop_ends_open_streams",
        "one conversation with one server",
    ),
    (
        "tests/dispatch/bad_input.rs::each_field_at_fault_is_named_by_its_path",
        "a table of faults",
    ),
];

fn own_text() -> Vec<SourceFile> {
    let mut files = files_below(&["src", "tests", "deploy"]);
    // data is as long as it is, and a document's lines are sentences
    files.retain(|file| {
        let kind = file.path.extension().and_then(|extension| extension.to_str());
        !matches!(
            kind,
            Some("json" | "csv" | "md" | "ics" | "txt" | "svg" | "snap" | "proptest-regressions")
        )
    });
    files
}

/// The functions of a formatted file: name, first line, number of lines.
fn functions(file: &SourceFile) -> Vec<(String, usize, usize)> {
    let lines: Vec<&str> = file.text.lines().collect();
    let mut found = Vec::new();
    for (first, line) in lines.iter().enumerate() {
        let code = line.trim_start();
        let indent = &line[..line.len() - code.len()];
        let Some(name) = function_name(code) else { continue };
        // rustfmt closes a body at the indentation of its head
        let close = format!("{indent}}}");
        let length = lines[first..]
            .iter()
            .position(|line| {
                *line == close || (line.starts_with(&format!("{indent})")) && line.ends_with(';'))
            })
            .unwrap_or(0);
        if !code.ends_with(';') && !code.ends_with('}') {
            found.push((name.to_owned(), first + 1, length + 1));
        }
    }
    found
}

fn function_name(code: &str) -> Option<&str> {
    let (before, after) = code.split_once("fn ")?;
    let words = ["pub", "async", "const", "pub(crate)", "pub(super)", "extern"];
    let is_head = before
        .split_whitespace()
        .all(|word| words.contains(&word) || word.starts_with("pub(in"));
    is_head.then(|| after.split(['(', '<']).next().unwrap_or(after))
}

#[test]
fn no_file_is_longer_than_400_lines() {
    let mut long = Vec::new();
    let mut excused = Vec::new();
    for file in own_text() {
        let (path, lines) = (file.path.display().to_string(), file.text.lines().count());
        if lines > FILE_LINES {
            match LONGER_FILES.iter().find(|(name, _)| *name == path) {
                Some((name, _)) => excused.push(*name),
                None => long.push(format!("{path}: {lines} lines")),
            }
        }
    }
    none("files past 400 lines", &long);
    let idle = LONGER_FILES.iter().filter(|(name, _)| !excused.contains(name));
    none(
        "short by now: take them out of LONGER_FILES",
        &idle.map(|(name, _)| (*name).to_owned()).collect::<Vec<_>>(),
    );
}

#[test]
fn no_function_is_longer_than_60_lines() {
    let mut long = Vec::new();
    let mut excused = Vec::new();
    for file in own_text().iter().filter(|file| file.is_rust()) {
        for (name, line, length) in functions(file) {
            let place = format!("{}::{name}", file.path.display());
            if length > FUNCTION_LINES {
                match LONGER_FUNCTIONS.iter().find(|(excuse, _)| *excuse == place) {
                    Some((excuse, _)) => excused.push(*excuse),
                    None => long.push(format!(
                        "{}:{line}: `{name}` has {length} lines",
                        file.path.display()
                    )),
                }
            }
        }
    }
    none("functions past 60 lines", &long);
    let idle = LONGER_FUNCTIONS
        .iter()
        .filter(|(name, _)| !excused.contains(name));
    none(
        "short by now: take them out of LONGER_FUNCTIONS",
        &idle.map(|(name, _)| (*name).to_owned()).collect::<Vec<_>>(),
    );
}

#[test]
fn functions_are_measured_from_head_to_closing_brace() {
    let file = SourceFile {
        path: "src/example.rs".into(),
        text: "pub(crate) async fn two(\n    a: u8,\n) {\n    if a > 0 {\n    }\n}\n\ntrait T {\n    fn none(\n        a: u8,\n    );\n    fn one(&self) {\n    }\n}\n"
            .to_owned(),
    };
    let found = functions(&file);
    let lengths: Vec<_> = found
        .iter()
        .map(|(name, line, length)| (name.as_str(), *line, *length))
        .collect();
    assert_eq!(lengths, [("two", 1, 6), ("none", 9, 3), ("one", 12, 2)]);
}
