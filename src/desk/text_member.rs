//! Checks that many requests share: names that people give to things, and other lines of text.
use crate::desk::refusal::{DeskError, DeskResult};

/// The longest name, in characters.
pub const LONGEST: usize = 120;

/// The name without spaces around it.
///
/// # Errors
/// [`DeskError::Invalid`] for an empty or too long name.
pub fn name(text: &str, pointer: &str) -> DeskResult<String> {
    let text = text.trim();
    if text.is_empty() || text.chars().count() > LONGEST || text.chars().any(char::is_control) {
        let detail = format!("Give 1 to {LONGEST} characters, without line breaks.");
        return Err(DeskError::member(pointer, "out_of_range", detail));
    }
    Ok(text.to_owned())
}

/// A line that may be missing, without spaces around it; nothing where nothing else is in it.
///
/// # Errors
/// [`DeskError::Invalid`] for a too long line, or for more than one.
pub fn line(text: Option<&str>, pointer: &str) -> DeskResult<Option<String>> {
    let text = text.map_or("", str::trim);
    if text.chars().count() > LONGEST || text.chars().any(char::is_control) {
        let detail = format!("Give at most {LONGEST} characters, without line breaks.");
        return Err(DeskError::member(pointer, "out_of_range", detail));
    }
    Ok((!text.is_empty()).then(|| text.to_owned()))
}
