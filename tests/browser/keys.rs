//! Somebody who has only a keyboard: strokes of keys, and the way of the focus by tab from one place to another.
use fantoccini::actions::{ActionSequence, InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;
use serde_json::json;

use crate::screen::Screen;

/// More places in a row than the way to any of them should need to be reckoned anew.
const TRIES: usize = 12;

/// Strokes of the tab key from where the focus is to the element; 0 where it has the focus, -1 where no stroke leads.
const WAY: &str = r"
const one = document.querySelector(arguments[0]);
if (one === null) return -1;
if (document.activeElement === one || one.type === 'radio' && document.activeElement.name === one.name) return 0;
const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]')]
  .filter(stop => stop.tabIndex >= 0 && !stop.disabled && stop.checkVisibility({visibilityProperty: true}));
const group = stop => stop.type === 'radio' ? `${[...document.forms].indexOf(stop.form)} ${stop.name}` : stop;
const stops = [...new Set(all.map(group))];
const place = stop => stops.indexOf(group(stop));
if (place(one) < 0) return -1;
const far = place(one) - place(document.activeElement);
// over the end of the page, where the focus stands on nothing for one stroke
return far > 0 ? far : far + stops.length + 1;";

/// What the focus stands on can be seen: in the window, and nothing before it.
const SEEN: &str = r"
const here = document.activeElement;
const box = here.getBoundingClientRect();
const inside = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
const middle = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
const covered = middle !== null && !here.contains(middle) && !middle.contains(here) && !middle.closest('label')?.contains(here);
return inside && !covered ? '' : `${here.outerHTML.slice(0, 200)} at ${Math.round(box.left)} ${Math.round(box.top)}, behind ${middle?.outerHTML.slice(0, 80)}, ${document.hasFocus()}`;";

/// Presses these keys one after the other, whatever has the focus.
pub(crate) async fn press(screen: &Screen, keys: &str) {
    let mut strokes = KeyActions::new("keyboard".to_owned());
    for value in keys.chars() {
        strokes = strokes
            .then(KeyAction::Down { value })
            .then(KeyAction::Up { value });
    }
    let strokes: ActionSequence = strokes.into();
    screen
        .client()
        .perform_actions(strokes)
        .await
        .expect("the keys are pressed");
}

/// Presses a key that has no sign of its own.
pub(crate) async fn key(screen: &Screen, key: Key) {
    press(screen, &char::from(key).to_string()).await;
}

/// So many strokes of the tab key in one go.
pub(crate) async fn tab(screen: &Screen, times: usize) {
    press(screen, &char::from(Key::Tab).to_string().repeat(times)).await;
}

/// Goes on with the tab key until this has the focus, and sees it there.
pub(crate) async fn tab_to(screen: &Screen, css: &str) {
    screen.appears(css).await;
    for _ in 0..TRIES {
        let way = screen.run(WAY, json!([css])).await;
        let way = way.as_i64().expect("a number");
        assert!(way >= 0, "no tab key leads to {css} at {}", screen.path().await);
        if way == 0 {
            let hidden = screen.run(SEEN, json!([])).await;
            assert_eq!(hidden, "", "the focus cannot be seen");
            return;
        }
        tab(screen, usize::try_from(way).expect("a way")).await;
    }
    panic!("{css} is not reached at {}", screen.path().await);
}

/// Goes to something and presses Enter.
pub(crate) async fn enter(screen: &Screen, css: &str) {
    tab_to(screen, css).await;
    key(screen, Key::Enter).await;
}

/// Goes to a field and writes into it, in place of what stands there.
pub(crate) async fn write(screen: &Screen, css: &str, text: &str) {
    tab_to(screen, css).await;
    // the tab key marks what stands in a field; one that had the focus already is marked here
    screen.run("document.activeElement.select?.()", json!([])).await;
    press(screen, text).await;
}

/// Goes to a box and ticks it.
pub(crate) async fn tick(screen: &Screen, css: &str) {
    tab_to(screen, css).await;
    press(screen, " ").await;
    let ticked = screen
        .run("return document.activeElement.checked", json!([]))
        .await;
    assert_eq!(ticked, true, "{css} is ticked by the space key");
}

/// Goes to a row of choices and takes one by the arrow keys.
pub(crate) async fn take(screen: &Screen, name: &str, value: &str) {
    tab_to(screen, &format!("input[type=radio][name='{name}']")).await;
    let here = "return [document.activeElement.value, document.activeElement.checked]";
    for _ in 0..TRIES {
        let at = screen.run(here, json!([])).await;
        if at[0] == value {
            if at[1] != true {
                press(screen, " ").await;
            }
            return;
        }
        key(screen, Key::Down).await;
    }
    panic!("{name} has no {value} that the arrow keys lead to");
}

/// Goes to a list and moves to one of its lines by the arrow keys.
pub(crate) async fn pick(screen: &Screen, css: &str, value: &str) {
    tab_to(screen, css).await;
    for _ in 0..TRIES {
        let at = screen.run("return document.activeElement.value", json!([])).await;
        if at == value {
            return;
        }
        key(screen, Key::Down).await;
    }
    panic!("{css} has no {value} that the arrow keys lead to");
}
