//! The tab key through a whole page: everything that takes a touch is reached (so nothing holds the focus), is seen
//! with its ring, and lies in the order it is read in.
use fantoccini::key::Key;
use serde_json::json;

use crate::keys::{key, tab, tab_to};
use crate::page_rules::lines;
use crate::screen::Screen;

/// Notes where the focus stands after each stroke of the tab key, and what a person sees of it.
const NOTE: &str = r"
const shown = one => one.checkVisibility({visibilityProperty: true});
const named = one => one.outerHTML.slice(0, 90);
// which of its equals, not which of all: what a live page puts in elsewhere meanwhile renames nothing
const keyOf = one => one.type === 'radio'
  ? `radio ${one.form?.getAttribute('action')} ${one.name}`
  : `${named(one)} ${[...document.querySelectorAll(one.tagName)].filter(other => named(other) === named(one)).indexOf(one)}`;
const wanted = () => {
  const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]')];
  return [...new Set(all.filter(one => one.tabIndex >= 0 && !one.disabled && shown(one)).map(keyOf))];
};
const ringed = one => [one, one.closest('label')].some(box => {
  if (!box) return false;
  const style = getComputedStyle(box);
  return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
});
// WCAG 2.2, 2.4.11: nothing stands before what has the focus
const covered = one => {
  const box = one.getClientRects()[0] ?? one.getBoundingClientRect();
  const x = Math.min(Math.max((box.left + box.right) / 2, 1), innerWidth - 1);
  // what is taller than the window is judged by the part of it that can be in sight
  const [top, bottom] = box.height > innerHeight ? [Math.max(box.top, 0), Math.min(box.bottom, innerHeight)] : [box.top, box.bottom];
  const y = (top + bottom) / 2;
  if (y < 0 || y > innerHeight || box.right < 0 || box.left > innerWidth) return `out of sight at ${Math.round(y)}`;
  const front = document.elementFromPoint(x, y);
  const own = front === null || one.contains(front) || front.contains(one) || front.closest('label')?.contains(one) || [...(one.labels ?? [])].some(label => label.contains(front));
  return own ? '' : `behind ${front.tagName}.${front.className}`;
};
window.walk = {wanted, stops: [], told: []};
const sticks = one => { for (let up = one; up; up = up.parentElement) if (/sticky|fixed/.test(getComputedStyle(up).position)) return true; return false; };
if (!window.noting) addEventListener('keyup', event => {
  if (event.key !== 'Tab') return;
  const here = document.activeElement;
  if (here === document.body || here === null) { walk.last = undefined; return; }
  const key = keyOf(here);
  const told = what => walk.told.push(`${what}: ${here.outerHTML.slice(0, 120)}`);
  if (!walk.stops.includes(key)) {
    if (!ringed(here)) told('no ring round the focus');
    const why = covered(here);
    if (why) told(why);
    // a step back up is a step into the next column, or the order is not the one it is read in
    const box = here.getBoundingClientRect();
    const now = {top: box.top + scrollY, bottom: box.bottom + scrollY, left: box.left, right: box.right, main: here.closest('main') !== null && !sticks(here)};
    const before = walk.last;
    const forwards = document.documentElement.dir === 'rtl' ? before?.left > now.left : before?.left < now.left;
    if (before?.main && now.main && now.bottom <= before.top && !forwards) told('goes back up to');
    walk.last = now;
  }
  walk.stops.push(key);
}, true);
window.noting = true;
// the walk begins before everything, wherever the page has put the focus
const start = document.createElement('span');
start.tabIndex = -1;
start.id = 'walk-starts';
document.body.prepend(start);
start.focus();";

/// The next list that is closed, was not tried yet and could be opened: its head is marked, and how many stops it hides.
const CLOSED: &str = r"
const one = [...document.querySelectorAll('details:not([open], [data-walked])')].find(one => shown(one.querySelector('summary')));
document.querySelector('[data-walk-opens]')?.removeAttribute('data-walk-opens');
one?.setAttribute('data-walked', '');
one?.querySelector('summary').setAttribute('data-walk-opens', '');
return one !== undefined;";
const SHOWN: &str = "const shown = one => one !== null && one.checkVisibility({visibilityProperty: true}); ";
/// Whether the list with the marked head is open, and whether it lies over the page or closes when another opens: then
/// it is closed again after a look. And how many stops it has.
const OPENED: &str = r"
const one = document.querySelector('[data-walk-opens]').parentElement;
const floats = [...one.children].some(part => part.tagName !== 'SUMMARY' && /absolute|fixed/.test(getComputedStyle(part).position));
// radio buttons of one name are one stop
const places = [...one.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea')];
return [one.open, floats || one.name !== '', new Set(places.map(place => place.type === 'radio' ? place.name : place)).size];";
const HEAD: &str = "summary[data-walk-opens]";

/// What is wrong where somebody walks through the open page with the tab key alone: as it came, and with every list
/// opened by the keys, because whatever a mouse reaches keys have to reach.
pub(crate) async fn broken(screen: &Screen, name: &str) -> Vec<String> {
    let mut found = walk(screen, name).await;
    let opened = open_all(screen, name, &mut found).await;
    if opened > 0 {
        found.extend(walk(screen, &format!("{name}, lists open")).await);
    }
    found
}

/// Opens every closed list by tab and Enter; answers how many stay open.
async fn open_all(screen: &Screen, name: &str, found: &mut Vec<String>) -> usize {
    let mut stay_open = 0;
    while screen.run(&format!("{SHOWN}{CLOSED}"), json!([])).await == true {
        tab_to(screen, HEAD).await;
        key(screen, Key::Enter).await;
        let opened = screen.run(OPENED, json!([])).await;
        if opened[0] != true {
            let head = screen.text(HEAD).await;
            found.push(format!("{name}, by keyboard: Enter does not open {head:?}"));
        } else if opened[1] == true {
            found.extend(look_into(screen, name).await);
            tab_to(screen, HEAD).await;
            key(screen, Key::Enter).await;
        } else {
            stay_open += 1;
        }
    }
    stay_open
}

/// Walks on through a list that does not stay open: the next strokes lead into it, each place in sight.
async fn look_into(screen: &Screen, name: &str) -> Vec<String> {
    const INSIDE: &str = r"
        const list = document.querySelector('[data-walk-opens]').parentElement;
        const here = document.activeElement;
        const box = here.getBoundingClientRect();
        const front = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
        return [list.contains(here), front !== null && (here.contains(front) || front.contains(here)), here.outerHTML.slice(0, 90)]";
    let stops = screen.run(OPENED, json!([])).await[2]
        .as_u64()
        .unwrap_or_default();
    let mut found = Vec::new();
    for _ in 0..stops {
        tab(screen, 1).await;
        let here = screen.run(INSIDE, json!([])).await;
        if here[0] != true || here[1] != true {
            found.push(format!(
                "{name}, by keyboard: not in sight inside its list: {}",
                here[2]
            ));
        }
    }
    found
}

async fn walk(screen: &Screen, name: &str) -> Vec<String> {
    screen.run(NOTE, json!([])).await;
    let wanted = screen.run("return walk.wanted().length", json!([])).await;
    let wanted = usize::try_from(wanted.as_u64().unwrap_or_default()).unwrap_or_default();
    // what can be scrolled is a stop too
    tab(screen, wanted + 12).await;
    let found = screen
        .run(
            "const missed = walk.wanted().filter(key => !walk.stops.includes(key)).map(key => `not reached: ${key}`); \
             const first = document.querySelector('header nav') && !document.querySelector('a[href]').matches('.skip') \
               ? ['no skip link before the places'] : []; \
             const landmark = document.querySelectorAll('main').length === 1 ? [] : ['not one main part']; \
             document.activeElement.blur(); document.getElementById('walk-starts').remove(); \
             return [...walk.told, ...missed, ...first, ...landmark]",
            json!([]),
        )
        .await;
    lines(found)
        .into_iter()
        .map(|one| format!("{name}, by keyboard: {one}"))
        .collect()
}
