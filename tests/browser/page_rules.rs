//! Rules that every page keeps: WCAG 2.2 A and AA by axe-core, narrow screens, large type, long words, both directions.
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::chromium::{LAPTOP, NARROWEST, PHONE, SMALL_TABLET, TABLET, WALL};
use crate::screen::Screen;

/// axe-core's rules for WCAG 2.0 to 2.2, levels A and AA.
const AXE: &str = "const done = arguments[0]; \
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']; \
    axe.run(document, {runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']}).then( \
      found => done(found.violations.flatMap(rule => rule.nodes.map(node => \
        `${rule.id}: ${rule.help}: ${node.target.join(' ')}: ${node.html.slice(0, 120)}`))), \
      error => done([`axe: ${error}`]))";

/// What reaches beyond the side of the page; a table may be scrolled inside its own box (WCAG 1.4.10 excepts tables).
const BEYOND: &str = "const side = document.documentElement.clientWidth; \
    if (document.documentElement.scrollWidth <= side) return []; \
    const out = [...document.body.querySelectorAll('*')].filter(one => { \
      const box = one.getBoundingClientRect(); \
      let inside = one.parentElement; \
      while (inside && !/auto|scroll/.test(getComputedStyle(inside).overflowX)) inside = inside.parentElement; \
      return one.checkVisibility() && !inside && !one.closest('.unseen, .skip') \
        && (box.right > side + 1 || box.left < -1); }); \
    const ends = out.filter(one => ![...one.children].some(child => out.includes(child))); \
    return [`the page is ${document.documentElement.scrollWidth} px wide`, ...ends.slice(0, 4).map(one => \
      `${one.tagName}.${one.className} ends at ${Math.round(one.getBoundingClientRect().right)}: ${one.innerText?.slice(0, 40)}`)]";

/// Text that is cut off by the box that holds it.
const CLIPPED: &str = "return [...document.body.querySelectorAll('*')].filter(one => { \
      const style = getComputedStyle(one); \
      const own = [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()); \
      return own && one.checkVisibility() && !one.closest('.unseen, svg') \
        && !['visible'].includes(style.overflowX) && !['auto', 'scroll'].includes(style.overflowX) \
        && (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1); }) \
    .slice(0, 4).map(one => `clipped: ${one.tagName}.${one.className}: ${one.innerText.slice(0, 60)}`)";

/// Text below the edge of a wall's screen, where nobody scrolls.
const BELOW: &str = "return [...document.body.querySelectorAll('*')].filter(one => { \
      const own = [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()); \
      return own && one.checkVisibility() && !one.closest('.unseen, .skip') && one.getBoundingClientRect().bottom > innerHeight + 1; }) \
    .slice(0, 4).map(one => `below the edge: ${one.tagName}.${one.className}: ${one.innerText.slice(0, 60)}`)";

/// Every text three times as long, as a translation of short English words may be (W3C: text size in translation).
const LONGER: &str = "const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT); \
    for (let node = walk.nextNode(); node; node = walk.nextNode()) { \
      const words = node.data.trim(); \
      if (!/\\p{L}/u.test(words) || node.parentElement.closest('script, style, svg, .code, time, [data-live-dot], .value small, .room bdi, .counter bdi')) continue; \
      node.data = `${words} ${words.replace(/\\S/gu, 'ẅ')} ${words}`; } \
    for (const button of document.querySelectorAll('input[placeholder]')) button.placeholder += button.placeholder";

/// The sizes at which a screen is used besides a counter's laptop, by the name of the screen.
fn own_sizes(name: &str) -> &'static [(u32, u32)] {
    const BENCH: [&str; 4] = ["next-up", "plan", "methods", "check"];
    if name.contains("your-rackets") {
        &[PHONE, NARROWEST]
    } else if name.contains("wall") {
        &[WALL]
    } else if BENCH.iter().any(|screen| name.contains(screen)) {
        &[TABLET, SMALL_TABLET]
    } else {
        &[TABLET]
    }
}

/// What reaches beyond the page or is cut off, at this size.
pub(crate) async fn look(screen: &Screen, name: &str, how: &str, size: (u32, u32)) -> Vec<String> {
    screen.chromium.resize(size).await;
    let mut found = Vec::new();
    for script in [BEYOND, CLIPPED, BELOW] {
        if script == BELOW
            && !(size == WALL && (name.starts_with("wall-") || name.starts_with("empty wall-")))
        {
            continue;
        }
        let seen = lines(screen.run(script, json!([])).await);
        found.extend(seen.into_iter().map(|one| format!("{name}, {how}: {one}")));
    }
    found
}

/// Gives every text three times its length, then looks at it at the screen's own sizes; the page is altered by this.
pub(crate) async fn longer(screen: &Screen, name: &str) -> Vec<String> {
    screen.run(LONGER, json!([])).await;
    let mut found = Vec::new();
    for size in [LAPTOP].iter().chain(own_sizes(name)) {
        let how = format!("texts +200 % at {} x {}", size.0, size.1);
        found.extend(look(screen, name, &how, *size).await);
    }
    found
}

/// What is broken on the page that is open; the page is altered by this.
pub(crate) async fn broken(screen: &Screen, name: &str) -> Vec<String> {
    screen.chromium.resize(LAPTOP).await;
    let told = axe(screen).await;
    let mut found: Vec<String> = told
        .into_iter()
        .map(|one| format!("{name}, axe: {one}"))
        .collect();
    found.extend(look(screen, name, "320 px", NARROWEST).await);
    for size in own_sizes(name) {
        let how = format!("{} x {}", size.0, size.1);
        found.extend(look(screen, name, &how, *size).await);
    }
    // a page at 200 % has half the room in CSS pixels
    found.extend(look(screen, name, "200 %", (LAPTOP.0 / 2, LAPTOP.1 / 2)).await);
    screen
        .run("document.documentElement.dir = 'rtl'", json!([]))
        .await;
    found.extend(look(screen, name, "right to left", LAPTOP).await);
    found.extend(look(screen, name, "right to left, 320 px", NARROWEST).await);
    screen
        .run("document.documentElement.dir = 'ltr'", json!([]))
        .await;
    found.extend(longer(screen, name).await);
    found
}

async fn axe(screen: &Screen) -> Vec<String> {
    let rules = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("target/axe/node_modules/axe-core/axe.min.js");
    let rules = std::fs::read_to_string(&rules).unwrap_or_else(|_| {
        panic!(
            "{} is missing: `tests/run release browser` installs it",
            rules.display()
        )
    });
    screen.run(&rules, json!([])).await;
    let found = screen.client().execute_async(AXE, Vec::new()).await;
    lines(found.expect("axe answers"))
}

/// The lines that a script answered.
pub(crate) fn lines(found: Value) -> Vec<String> {
    let found = found.as_array().cloned().unwrap_or_default();
    found
        .into_iter()
        .map(|one| one.as_str().map_or_else(|| one.to_string(), str::to_owned))
        .collect()
}
