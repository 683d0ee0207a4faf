//! Every screen while its answer is on the way: the shape of what comes, then words, then a way out, and nothing jumps.
use serde_json::{Value, json};

use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::cable::Cable;
use crate::chromium::LAPTOP;
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};
use crate::{dev_tools, page_rules};

/// Where something is sent or fetched, and what sends it: a form (by its first button that sends) or a link.
struct Asked {
    name: &'static str,
    path: String,
    by: &'static str,
    words: &'static str,
}

/// A tenth of what is called good (Core Web Vitals: 0.1): the seconds of "Undo" tick, and nothing else moves.
const MOST_SHIFT: f64 = 0.01;

const FETCHING: &str = "Fetching the page.";
const SENDING: &str = "Sending. What you typed stays.";

fn all(day: &BusyDay) -> Vec<Asked> {
    let asked = |name, path: &str, by, words| Asked {
        name,
        path: path.to_owned(),
        by,
        words,
    };
    vec![
        asked("hand-in", "/hand-in", "form[role=search]", FETCHING),
        asked(
            "hand-in-card",
            &format!("/hand-in?player={}", day.returning_player),
            "form[method=post][action='/hand-in']",
            SENDING,
        ),
        asked("hand-out", "/hand-out", "form[role=search]", FETCHING),
        asked("court-call", "/court-call", "form[role=search]", FETCHING),
        asked("snags", "/snags", "#snags form", SENDING),
        asked(
            "next-up",
            &format!("/next-up?station={}", day.idle_station),
            "form[action='/next-up'][method=post]",
            SENDING,
        ),
        asked(
            "plan",
            &format!("/plan/{}", day.machine),
            "#phases > form",
            SENDING,
        ),
        asked(
            "check",
            &format!("/check/{}", day.checking),
            // the checks themselves are looked at before anything is sent
            "form.not-strung",
            SENDING,
        ),
        asked("floor", "/floor", "#numbers a.code", FETCHING),
        asked(
            "tomorrow",
            &format!("/tomorrow?day={NEXT_DAY}"),
            "form.stepper",
            FETCHING,
        ),
        asked("court-times", "/court-times", "form:has(textarea)", SENDING),
        asked("stock", "/stock", "#receive form", SENDING),
        asked("catch-up", "/catch-up", "form[action='/catch-up']", SENDING),
        asked("setup", "/setup", "#form-stringer form", SENDING),
        asked(
            "story",
            &format!("/rackets/{}", day.told_racket),
            ".tasks a.button",
            FETCHING,
        ),
    ]
}

/// Sends or follows it, and notes when the shape and the words come, and how much the page jumps (CLS).
/// While a page is on its way the browser lets nobody look into the one before; so the way is cut as soon as the
/// expected words stand there, and the page stays as it was seen at that moment.
const ASK: &str = r"
const one = document.querySelector(arguments[0]);
const began = performance.now();
window.noted = {shape_ms: 0, words_ms: 0, shift: 0};
new PerformanceObserver(list => list.getEntries().forEach(entry => { if (entry.startTime >= began) noted.shift += entry.value; }))
  .observe({type: 'layout-shift', buffered: true});
const expected = arguments[1];
new MutationObserver(() => {
  if (document.documentElement.dataset.busy) noted.shape_ms ||= performance.now() - began;
  const words = document.querySelector('.busy').textContent;
  if (words) noted.words_ms ||= performance.now() - began;
  if (words.includes(expected)) window.stop();
}).observe(document.documentElement, {attributes: true, childList: true, subtree: true});
if (one.matches('form')) { one.noValidate = true; one.requestSubmit(one.querySelector('button:not([type=button])')); }
else one.click();
return true";

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_that_waits_for_an_answer_shows_its_shape_then_words_and_nothing_jumps() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let cable = Cable::to(tournament.base()).await;
    let screen = Screen::of_size(&cable.base(), LAPTOP).await;
    // the service worker would answer a slow page from its own store, as it does without network
    let past_it = json!({"bypass": true});
    dev_tools::command(screen.client(), "Network.enable", json!({})).await;
    dev_tools::command(screen.client(), "Network.setBypassServiceWorker", past_it).await;
    let mut broken = Vec::new();
    screen.open("/sign-in").await;
    screen.fill("#login", "coordinator").await;
    screen.fill("#password", PASSWORD).await;
    let sign_in = Asked {
        name: "sign-in",
        path: "/sign-in".to_owned(),
        by: "form[action='/sign-in']",
        words: SENDING,
    };
    broken.extend(held_back(&screen, &cable, &sign_in).await);
    screen.sign_in("coordinator", PASSWORD).await;
    for asked in all(&day) {
        screen.chromium.resize(LAPTOP).await;
        screen.open(&asked.path).await;
        broken.extend(held_back(&screen, &cable, &asked).await);
    }
    a_way_out(&screen, &cable).await;
    screen.close().await;
    tournament.admin.close().await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

async fn held_back(screen: &Screen, cable: &Cable, asked: &Asked) -> Vec<String> {
    cable.hold();
    screen.run(ASK, json!([asked.by, asked.words])).await;
    screen.reads(".busy", asked.words).await;
    let noted = screen.run("return window.noted", json!([])).await;
    let mut broken = on_time(&noted);
    screen.picture(&format!("loading-{}-laptop", asked.name)).await;
    broken.extend(page_rules::broken(screen, "loading").await);
    cable.let_go();
    broken
        .into_iter()
        .map(|one| format!("{}: {one}", asked.name))
        .collect()
}

/// 0.3 s and 1 s, and no shift of the layout.
fn on_time(noted: &Value) -> Vec<String> {
    let number = |member: &str| noted[member].as_f64().unwrap_or_default();
    let mut broken = Vec::new();
    if number("shape_ms") < 300.0 || number("words_ms") < 1000.0 {
        broken.push(format!("shape or words came too early: {noted}"));
    }
    if number("shift") > MOST_SHIFT {
        broken.push(format!("the page jumps: {noted}"));
    }
    broken
}

/// After ten seconds: since when, and a button that ends it; the page is there as it was.
async fn a_way_out(screen: &Screen, cable: &Cable) {
    screen.chromium.resize(LAPTOP).await;
    screen.open("/court-times").await;
    screen.fill("#text", "day,court").await;
    cable.hold();
    screen
        .run(ASK, json!(["form:has(textarea)", "longer than usual"]))
        .await;
    screen.reads(".busy", "longer than usual").await;
    screen.picture("loading-long-laptop").await;
    screen.tap("Stop waiting").await;
    screen.reads(".busy", "Stopped.").await;
    let typed = screen
        .run("return document.querySelector('#text').value", json!([]))
        .await;
    assert_eq!(typed, "day,court");
    cable.let_go();
}
