//! From the parser's sentences to faults with stable codes in two languages.
use serde_path_to_error::Segment;

use super::reader;
use crate::api::problem::fault::pointer;
use crate::api::problem::{Fault, Place, Said};

/// Turns a refusal of the parser into a fault with a stable code.
pub(super) fn fault_at(path: &serde_path_to_error::Path, message: &str) -> Fault {
    let message = message.rsplit_once(" at line ").map_or(message, |(text, _)| text);
    let mut segments: Vec<String> = path
        .iter()
        .filter_map(|segment| match segment {
            Segment::Seq { index } => Some(index.to_string()),
            Segment::Map { key } => Some(key.clone()),
            Segment::Enum { .. } | Segment::Unknown => None,
        })
        .collect();
    let (code, said) = name(message);
    if matches!(code, "missing_member" | "repeated_member")
        && let Some(name) = quoted(message)
    {
        segments.push(name.to_owned());
    }
    Fault::at(
        Place::Body(pointer(segments.iter().map(String::as_str))),
        code,
        said,
    )
}

fn quoted(message: &str) -> Option<&str> {
    message.split('`').nth(1)
}

/// Sorts serde's sentences into our codes; each kind of sentence has a test.
pub(super) fn name(message: &str) -> (&'static str, Said) {
    let name = quoted(message).unwrap_or_default();
    let expected = message
        .split_once("expected ")
        .map_or("", |(_, rest)| rest)
        .replace('`', "\"");
    if message.starts_with("unknown field") {
        ("unknown_member", unknown_member(name, &expected))
    } else if message.starts_with("missing field") {
        let said = Said::new(
            format!("The member \"{name}\" is missing."),
            format!("Le membre « {name} » manque."),
        );
        ("missing_member", said)
    } else if message.starts_with("duplicate field") {
        let said = Said::new(
            format!("The member \"{name}\" stands twice."),
            format!("Le membre « {name} » est en double."),
        );
        ("repeated_member", said)
    } else if message.starts_with("unknown variant") {
        let said = Said::new(
            format!("\"{name}\" is not one of the values: {expected}."),
            format!(
                "« {name} » n’est pas une des valeurs : {}.",
                listed_in_french(&expected)
            ),
        );
        ("unknown_value", said)
    } else if message.starts_with("invalid type") || message == "expected value" {
        ("wrong_type", reader::wrong_sort(message))
    } else {
        ("invalid_value", reader::unfit(message))
    }
}

fn unknown_member(name: &str, expected: &str) -> Said {
    let (en, fr) = if expected.is_empty() || expected.starts_with("there are no") {
        (String::new(), String::new())
    } else {
        let french = listed_in_french(expected);
        (format!(" Known: {expected}."), format!(" Connus : {french}."))
    };
    Said::new(
        format!("Unknown member \"{name}\".{en}"),
        format!("Membre inconnu « {name} ».{fr}"),
    )
}

/// "a", "b" of "one of "a", "b""; of two, serde says "or".
fn listed_in_french(english: &str) -> String {
    english
        .trim_start_matches("one of ")
        .replace("\" or \"", "\" ou \"")
}
