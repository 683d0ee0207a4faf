//! The bench at one racket and its sister: what stands largest, what the drawing, the keys and a double tap do.
use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::chromium::TABLET;
use crate::screen::Screen;
use crate::tournament::{Tournament, reel_label};

/// Both pulls are larger than any other text of the screen.
const LARGEST: &str = "const size = one => parseFloat(getComputedStyle(one).fontSize); \
    const others = [...document.querySelectorAll('main *')].filter(one => one.checkVisibility() \
      && !one.closest('.pull .value, svg') && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim())); \
    return Math.min(...[...document.querySelectorAll('.pull .value')].map(size)) > Math.max(...others.map(size))";
/// Where a word of the drawing stands on the screen.
const WHERE: &str = "const word = [...document.querySelectorAll('.drawing svg text')] \
      .find(one => one.textContent.trim() === arguments[0]); \
    const box = word.getBoundingClientRect(); return [box.left + box.width / 2, box.top + box.height / 2]";
const KEY: &str = "document.activeElement.blur(); document.body.dispatchEvent(new KeyboardEvent('keydown', {key: arguments[0], bubbles: true})); return true";
const TOO_SOON: &str = "const key = document.querySelector('#phases .button.phase[aria-disabled=true]'); \
    if (key?.innerText.trim() !== 'Strung') return false; key.click(); return true";
const TWICE: &str = "const button = document.querySelector('.phases .button.phase'); button.click(); button.click(); return true";

#[tokio::test(flavor = "multi_thread")]
async fn at_the_plan_pulls_stand_largest_the_drawing_turns_and_a_double_tap_counts_once() {
    let tournament = Tournament::start().await;
    let reel = json!({"string_id": tournament.id("SB"), "kind": "reel_remainder",
                      "length_mm": 200_000, "label_code": "REEL-SB-LONG"});
    tournament.admin.create("/v1/reels", reel).await;
    let both = dropped_off(&tournament).await;
    let bench = tournament.screen("stringer", TABLET).await;
    bench.tap("Take this job").await;
    bench.reads("#next", " of 2 for this player").await;
    let offered = bench.text("#next-title").await;
    let (first, second) = match both {
        [one, other] if offered.starts_with(text(&one, "tag_code")) => (one, other),
        [one, other] => (other, one),
    };
    // a scanner ends with Enter: on to the next field, and nothing is sent yet
    let scan = format!("{}{}", text(&first, "tag_code"), char::from(Key::Enter));
    bench.fill("#tag_code", &scan).await;
    let here = bench.run("return document.activeElement.id", json!([])).await;
    assert_eq!(here, "mains_scan");
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", "REEL-SB-LONG").await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;

    wishes_and_sources(&bench).await;
    the_drawing_turns(&bench).await;
    four_keys(&bench).await;
    a_double_tap(&tournament.admin, &bench, &first).await;
    passed(&tournament.admin, &bench).await;
    the_sister_needs_no_scan_of_strings(&bench, &second).await;
    bench.close().await;
    tournament.admin.close().await;
}

/// Two rackets of one player at once: with a stencil, more before each knot and a pre-stretch.
async fn dropped_off(tournament: &Tournament) -> [Value; 2] {
    let side = |string: &str| json!({"string": {"string_id": tournament.id(string)}, "tension": {"value": "24", "unit": "kg"}});
    let mut mains = side("SA");
    mains["pre_stretch"] = json!({"how": "by_machine", "percent": 10.0});
    let job = |racket: &str| {
        json!({"racket_id": tournament.id(racket), "due_at": "2026-05-02T12:00:00Z", "condition": {"ok": true},
               "spec": {"pieces": "two", "mains": mains, "crosses": side("SB"),
                        "knot_extra": {"value": "2", "unit": "kg"},
                        "stencil": {"mark": "Mark E", "colour": "black", "both_sides": true}}})
    };
    let both = json!({"jobs": [job("P1/1"), job("P1/2")]});
    let (status, batch) = tournament.admin.call("POST", "/v1/jobs/batch", both).await;
    assert_eq!(status, 201, "{batch}");
    let jobs = batch.as_array().expect("the jobs").clone();
    jobs.try_into().expect("two jobs")
}

async fn wishes_and_sources(bench: &Screen) {
    assert_eq!(
        bench.run(LARGEST, json!([])).await,
        true,
        "the pulls are the largest"
    );
    bench.reads(".plan-facts", "2 kg more before each knot").await;
    bench.reads(".plan-facts", "stencil Mark E black").await;
    bench.reads(".pull-m .asked", "pre-stretch 10 % by machine").await;
    bench.reads(".pull-m .asked", "asked 24 kg").await;
    // sources are one tap away
    bench.disappears("#sources table").await;
    let up = "document.querySelector('#sources').scrollIntoView({block: 'center'})";
    bench.run(up, json!([])).await;
    bench.tap("Where these values come from").await;
    bench.reads("#sources table", "6.50 m").await;
}

/// By 180 degrees, never mirrored: what was above and left is below and right.
async fn the_drawing_turns(bench: &Screen) {
    let place = async |word: &str| {
        let place = bench.run(WHERE, json!([word])).await;
        (place[0].as_f64().expect("x"), place[1].as_f64().expect("y"))
    };
    let (head, throat) = (place("head").await, place("throat").await);
    assert!(head.1 < throat.1, "head {head:?}, throat {throat:?}");
    let (a, b) = (place("A").await, place("B").await);
    assert!(a.0 < b.0, "A {a:?}, B {b:?}");
    let up = "document.querySelector('.drawing figcaption').scrollIntoView({block: 'center'})";
    bench.run(up, json!([])).await;
    bench.tap("Turn head up / down").await;
    bench.arrived_at("/plan/").await;
    let turned = "return [...document.querySelectorAll('.drawing svg text')].some(one => one.textContent.trim() === 'head')";
    bench.until("the turned drawing", turned, json!([])).await;
    let (head, throat) = (place("head").await, place("throat").await);
    assert!(head.1 > throat.1, "head {head:?}, throat {throat:?}");
    let (a, b) = (place("A").await, place("B").await);
    assert!(a.0 > b.0, "A {a:?}, B {b:?}");
}

/// Plus and minus go through the steps, Escape closes what is open; Enter is the main action.
async fn four_keys(bench: &Screen) {
    let marked =
        "return [...document.querySelectorAll('.steps > li')].findIndex(one => one.matches('.step-marked'))";
    bench.run(KEY, json!(["+"])).await;
    let at = bench.run(marked, json!([])).await;
    bench.run(KEY, json!(["+"])).await;
    assert_eq!(
        bench.run(marked, json!([])).await,
        json!(at.as_i64().unwrap_or_default() + 1)
    );
    bench.run(KEY, json!(["-"])).await;
    assert_eq!(bench.run(marked, json!([])).await, at);
    bench.tap("Snapped").await;
    bench.appears("#snapped[open]").await;
    bench.run(KEY, json!(["Escape"])).await;
    bench.disappears("#snapped[open]").await;
}

/// One tap, one event; the step that is now moves on, and ten seconds run to take it back.
async fn a_double_tap(admin: &Screen, bench: &Screen, job: &Value) {
    bench.takes_taps("Mains done").await;
    let step = bench.text(".step-now").await;
    bench.run(TWICE, json!([])).await;
    // the key that comes takes no tap at first: a second touch was meant for the one before
    bench
        .until("a key that takes no tap yet", TOO_SOON, json!([]))
        .await;
    bench.reads(".phase-marks", "ains done").await;
    bench.reads("[data-undo-left]", " s").await;
    assert_ne!(bench.text(".step-now").await, step);
    let story = format!("/v1/jobs/{}/story", text(job, "id"));
    let (_, story) = admin.call("GET", &story, Value::Null).await;
    let items = story["items"].as_array().expect("entries");
    let taps: Vec<_> = items
        .iter()
        .filter(|entry| entry["data"]["phase"] == "mains_done")
        .collect();
    assert_eq!(taps.len(), 1, "{taps:?}");
    bench.takes_taps("Strung").await;
    assert!(bench.path().await.starts_with("/plan/"));
    // Enter takes the next main action: strung
    bench.run(KEY, json!(["Enter"])).await;
    bench.arrived_at("/check/").await;
    strung_is_taken_back(bench).await;
}

/// A slip of the finger at the end of the mains: the racket goes back on the machine, as it was.
async fn strung_is_taken_back(bench: &Screen) {
    bench.tap("Not strung yet").await;
    bench.arrived_at("/plan/").await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.reads_no_more(".phase-marks", "Tied off").await;
    bench.tap("Strung").await;
    bench.arrived_at("/check/").await;
    // who leaves the check finds the racket again
    bench.open("/next-up").await;
    bench.tap("Go on with the check").await;
    bench.arrived_at("/check/").await;
}

async fn passed(admin: &Screen, bench: &Screen) {
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        bench.click(&format!("input[name={point}]")).await;
    }
    bench.tap("Pass to shelf").await;
    bench.arrived_at("/next-up").await;
    admin.open("/snags").await;
    admin.reads("#snags", "Nothing waits for a decision.").await;
}

/// The strings were scanned with the first of the two; the tag is scanned always.
async fn the_sister_needs_no_scan_of_strings(bench: &Screen, job: &Value) {
    bench.tap("Take this job").await;
    bench.reads("#next", " of 2 for this player").await;
    bench.reads("#next", "Strings were scanned for this batch.").await;
    bench.disappears("#mains_scan").await;
    bench.fill("#tag_code", text(job, "tag_code")).await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;
    bench.tap("Problem").await;
    bench.click("#trouble button[value=grommet]").await;
    bench.reads("#phases", "Problem reported: grommet").await;
    bench.open("/snags").await;
    bench.reads(".snag", text(job, "tag_code")).await;
    bench.reads(".snag", "grommet").await;
    bench.reads(".snag-group", "For the coordinator").await;
}

fn text<'a>(value: &'a Value, member: &str) -> &'a str {
    value[member]
        .as_str()
        .unwrap_or_else(|| panic!("{member} of {value}"))
}
