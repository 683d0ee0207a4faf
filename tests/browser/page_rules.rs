//! Rules that every page keeps: WCAG 2.2 A and AA by axe-core, narrow screens, large type, long words, both directions.
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::chromium::{LAPTOP, NARROWEST};
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

/// Every text three times as long, as a translation of short English words may be (W3C: text size in translation).
const LONGER: &str = "const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT); \
    for (let node = walk.nextNode(); node; node = walk.nextNode()) { \
      const words = node.data.trim(); \
      if (!/\\p{L}/u.test(words) || node.parentElement.closest('script, style, svg, .code, time, [data-live-dot]')) continue; \
      node.data = `${words} ${words.replace(/\\S/gu, 'ẅ')} ${words}`; } \
    for (const button of document.querySelectorAll('input[placeholder]')) button.placeholder += button.placeholder";

/// What is broken on the page that is open; the page is altered by this.
pub(crate) async fn broken(screen: &Screen, name: &str) -> Vec<String> {
    let mut found = Vec::new();
    screen.chromium.resize(LAPTOP).await;
    found.extend(
        axe(screen)
            .await
            .into_iter()
            .map(|one| format!("{name}, axe: {one}")),
    );
    let mut look = async |how: &str, size: (u32, u32)| {
        screen.chromium.resize(size).await;
        for script in [BEYOND, CLIPPED] {
            let seen = lines(screen.run(script, json!([])).await);
            found.extend(seen.into_iter().map(|one| format!("{name}, {how}: {one}")));
        }
    };
    look("320 px", NARROWEST).await;
    // a page at 200 % has half the room in CSS pixels
    look("200 %", (LAPTOP.0 / 2, LAPTOP.1 / 2)).await;
    screen
        .run("document.documentElement.dir = 'rtl'", json!([]))
        .await;
    look("right to left", LAPTOP).await;
    look("right to left, 320 px", NARROWEST).await;
    screen
        .run("document.documentElement.dir = 'ltr'", json!([]))
        .await;
    screen.run(LONGER, json!([])).await;
    look("texts +200 %", LAPTOP).await;
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
