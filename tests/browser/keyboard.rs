//! A racket is taken in by somebody who has only a keyboard.
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;
use serde_json::json;

use crate::chromium::LAPTOP;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// More stops than any page has.
const MOST_STOPS: usize = 120;

#[tokio::test(flavor = "multi_thread")]
async fn a_racket_is_taken_in_with_the_keyboard_alone() {
    let tournament = Tournament::start().await;
    let desk = tournament.screen("desk", LAPTOP).await;
    typed(&desk, "exam").await;
    typed(&desk, &enter()).await;
    desk.arrived_at("/hand-in?q=exam").await;
    let player = format!(".hits a[href*='{}']", tournament.id("P1"));
    tab_to(&desk, &player).await;
    typed(&desk, &enter()).await;
    desk.arrived_at("/hand-in?player=").await;
    tab_to(&desk, "#line_1_as_said").await;
    typed(&desk, "24/23").await;
    tab_to(&desk, "input[name=line_1_unit]").await;
    typed(&desk, " ").await;
    tab_to(&desk, "#mains_string_id").await;
    typed(&desk, "String A").await;
    tab_to(&desk, "#crosses_string_id").await;
    typed(&desk, "String B").await;
    tab_to(&desk, "form[action='/hand-in'] button.primary").await;
    typed(&desk, &enter()).await;
    desk.reads(".taken", "24 kg (52.9 lb)").await;
    desk.reads(".taken", "String B 1.30").await;
    desk.close().await;
    tournament.admin.close().await;
}

fn enter() -> String {
    char::from(Key::Enter).to_string()
}

/// Types into whatever has the focus, key by key: a field for files would take text for a file's name.
async fn typed(screen: &Screen, keys: &str) {
    let pressed = keys
        .chars()
        .fold(KeyActions::new("keyboard".to_owned()), |all, value| {
            all.then(KeyAction::Down { value }).then(KeyAction::Up { value })
        });
    let typed = screen.client().perform_actions(pressed).await;
    typed.expect("keys are pressed");
}

/// Goes on with the tab key until this has the focus; every stop on the way can be seen.
async fn tab_to(screen: &Screen, css: &str) {
    const STOP: &str = "const here = document.activeElement; const box = here.getBoundingClientRect(); \
        const seen = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth; \
        const middle = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2); \
        const covered = middle !== null && !here.contains(middle) && !middle.contains(here) && !middle.closest('label')?.contains(here); \
        return [here.matches(arguments[0]), seen && !covered, here.outerHTML.slice(0, 200)]";
    let tab = char::from(Key::Tab).to_string();
    for _ in 0..MOST_STOPS {
        typed(screen, &tab).await;
        let stop = screen.run(STOP, json!([css])).await;
        assert_eq!(stop[1], true, "the focus cannot be seen at {}", stop[2]);
        if stop[0] == true {
            return;
        }
    }
    panic!("{css} is not reached by {MOST_STOPS} stops");
}
