//! Nothing that stays in place while a page moves lies over what is read or filled in: whatever is brought into
//! sight is in sight, and at rest the counter's screens have nothing behind a bar.
use serde_json::json;

use crate::chromium::{LAPTOP, PHONE, SMALL_TABLET, TABLET};
use crate::page_rules::lines;
use crate::screen::Screen;

/// Screens whose bar lies over the page at rest: the next phase is under the thumb wherever the plan is scrolled to.
const BAR_ON_PURPOSE: [&str; 1] = ["plan"];

/// Bars, and what a person reads or fills in outside of them.
const PARTS: &str = r"
const stays = one => /sticky|fixed/.test(getComputedStyle(one).position);
const barOf = one => { for (let up = one; up; up = up.parentElement) if (stays(up)) return up; return null; };
const bars = [...document.querySelectorAll('body *')].filter(one => stays(one) && one.checkVisibility());
const says = one => [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim());
const things = bars.length === 0 ? [] : [...document.querySelectorAll('main *')].filter(one => one.checkVisibility()
  && barOf(one) === null && !one.closest('.unseen, svg, option, select > *')
  && (one.matches('a[href], button, input:not([type=hidden]), select, textarea, summary, label') || says(one)));
const told = (one, bar, how) => `${how}: ${bar.tagName}.${bar.className} over ${one.tagName}.${one.className} ${(one.innerText || one.name || '').trim().slice(0, 50)}`;
const found = [];";

/// Brings each part into sight as the focus, a link to it or a finger would, and looks at its corners and its middle.
const BROUGHT: &str = r"
for (const one of things) {
  one.scrollIntoView({block: 'nearest', behavior: 'instant'});
  const box = one.getBoundingClientRect();
  const rows = box.height > innerHeight ? [] : [box.top + 2, (box.top + box.bottom) / 2, box.bottom - 2];
  for (const y of rows) for (const x of [box.left + 2, (box.left + box.right) / 2, box.right - 2]) {
    const front = document.elementFromPoint(x, y);
    const bar = front && barOf(front);
    if (bar && !bar.contains(one)) { found.push(told(one, bar, 'brought into sight')); break; }
  }
}
scrollTo(0, 0);
return [...new Set(found)].slice(0, 6)";

/// Looks at the page as it stands, a third of a window further each time.
const AT_REST: &str = r"
for (let top = 0; top === 0 || top < document.documentElement.scrollHeight; top += innerHeight / 3) {
  scrollTo({top, behavior: 'instant'});
  for (const bar of bars) {
    const over = bar.getBoundingClientRect();
    for (const one of things) {
      const box = one.getBoundingClientRect();
      const wide = Math.min(box.right, over.right) - Math.max(box.left, over.left);
      const high = Math.min(box.bottom, over.bottom, innerHeight) - Math.max(box.top, over.top, 0);
      if (wide > 2 && high > 2) found.push(told(one, bar, 'at rest'));
    }
  }
}
scrollTo(0, 0);
return [...new Set(found)].slice(0, 6)";

/// What lies behind a bar on the open page, in every size in which the desk is used.
pub(crate) async fn broken(screen: &Screen, name: &str) -> Vec<String> {
    let mut broken = Vec::new();
    for size in [LAPTOP, TABLET, SMALL_TABLET, PHONE] {
        screen.chromium.resize(size).await;
        let mut looks = vec![BROUGHT];
        if !BAR_ON_PURPOSE.contains(&name) {
            looks.push(AT_REST);
        }
        for look in looks {
            let found = screen.run(&format!("{PARTS}{look}"), json!([])).await;
            let told = lines(found).into_iter();
            broken.extend(told.map(|one| format!("{name}, {} px: {one}", size.0)));
        }
    }
    broken
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bar_over_a_line_of_a_form_is_found() {
    let program = crate::program::Program::serve();
    let screen = Screen::of_size(&program.base, LAPTOP).await;
    screen.open("/sign-in").await;
    let sound = broken(&screen, "sign-in").await;
    let over = "const bar = document.createElement('p'); bar.textContent = 'Save'; document.querySelector('main').append(bar); \
        Object.assign(bar.style, {position: 'fixed', insetInline: 0, insetBlockStart: arguments[0], blockSize: arguments[1], margin: 0})";
    screen.run(over, json!(["0", "100%"])).await;
    let covered = broken(&screen, "sign-in").await;
    screen.close().await;
    assert!(sound.is_empty(), "{}", sound.join("\n"));
    for how in ["brought into sight", "at rest"] {
        assert!(
            covered.iter().any(|one| one.contains(how)),
            "{how}: {}",
            covered.join("\n")
        );
    }
}
