//! Pages as eyes see them that tell colours badly or not at all: what a hue says is said twice more.
use serde_json::{Value, json};

use crate::dev_tools;
use crate::screen::Screen;

/// Ways to see that the browser can imitate; the last is as grey print.
const EYES: [&str; 3] = ["deuteranopia", "protanopia", "achromatopsia"];

/// Every chip with its hue, glyph and word: what a hue says is said twice more.
const CHIPS: &str = "return [...document.querySelectorAll('.chip')].filter(one => one.checkVisibility()) \
    .map(one => [one.className, getComputedStyle(one).backgroundColor, one.innerText.trim()])";

/// What is told by hue alone on the open page; a picture of it as each of these eyes sees it is kept.
pub(crate) async fn broken(screen: &Screen, name: &str) -> Vec<String> {
    for eyes in EYES.iter().chain(&["none"]) {
        let seen = json!({"type": eyes});
        dev_tools::command(screen.client(), "Emulation.setEmulatedVisionDeficiency", seen).await;
        if *eyes != "none" {
            screen.picture(&format!("{eyes}-{name}")).await;
        }
    }
    by_hue_alone(screen, name).await
}

/// Chips whose hue no glyph repeats, and chips of two kinds that begin with the same glyph.
pub(crate) async fn by_hue_alone(screen: &Screen, name: &str) -> Vec<String> {
    let chips = screen.run(CHIPS, json!([])).await;
    let chips = chips.as_array().cloned().unwrap_or_default();
    let text = |chip: &Value, place: usize| chip[place].as_str().unwrap_or_default().to_owned();
    let glyph = |chip: &Value| {
        let words = text(chip, 2);
        words
            .chars()
            .take_while(|one| !one.is_alphanumeric() && !"+-–".contains(*one))
            .collect::<String>()
            .trim()
            .to_owned()
    };
    let mut wrong = Vec::new();
    for chip in &chips {
        let plain = text(chip, 0).contains("chip-plain");
        let words = text(chip, 2);
        if !words.chars().any(char::is_alphanumeric) {
            wrong.push(format!("{name}: a chip without a word: {chip}"));
        }
        if !plain && glyph(chip).is_empty() && !words.starts_with('i') {
            wrong.push(format!("{name}: a hue without a glyph: {chip}"));
        }
        let twin = chips.iter().find(|other| {
            text(other, 1) != text(chip, 1) && !glyph(chip).is_empty() && glyph(other) == glyph(chip)
        });
        if let Some(twin) = twin {
            wrong.push(format!("{name}: two hues, one glyph: {chip} and {twin}"));
        }
    }
    wrong
}
