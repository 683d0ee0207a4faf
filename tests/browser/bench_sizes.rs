//! What is read at arm's length and tapped with gloves is large enough, measured on the bench's tablet.
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{SMALL_TABLET, TABLET};
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// 16 minutes of arc at 0.7 m on a 10.9-inch tablet (NUREG-0700 rev. 3).
const SMALLEST_TEXT_PX: f64 = 24.0;
/// 19 mm for a finger in a mitten (MIL-STD-1472E, 5.4.3.1.3.3) at 0.193 mm per pixel, and some.
const PRIMARY_PX: f64 = 104.0;
/// The bench's other keys; our own target.
const SECOND_PX: f64 = 72.0;
/// Everything else that takes a tap (WCAG 2.2, 2.5.5, level AAA).
const ANY_TARGET_PX: f64 = 44.0;

/// Text of the bench's own part with its size as it is seen, so a drawing's by its scale; the bar on top is not
/// read at work.
const TEXTS: &str = "return [...document.querySelectorAll('main *')].filter(one => one.checkVisibility() \
      && !one.closest('.unseen, style, title, desc') && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim())) \
    .map(one => [parseFloat(getComputedStyle(one).fontSize) * (one.getScreenCTM?.().a ?? 1), one.textContent.trim().slice(0, 40)])";
/// Texts of the drawing that run into each other or beyond its edge.
const RUN_INTO: &str = "const texts = [...document.querySelectorAll('.drawing text')]; \
    const all = texts.map(one => one.getBoundingClientRect()); \
    const sheet = document.querySelector('.drawing svg').getBoundingClientRect(); \
    const high = box => Math.min(box.height, parseFloat(getComputedStyle(texts[0]).fontSize)); \
    const apart = (a, b) => a.right <= b.left || b.right <= a.left \
      || Math.abs((a.top + a.bottom) - (b.top + b.bottom)) / 2 >= (high(a) + high(b)) / 2; \
    return all.flatMap((box, place) => [ \
      ...(box.left < sheet.left - 1 || box.right > sheet.right + 1 ? [`beyond the edge: ${texts[place].textContent}`] : []), \
      ...all.slice(place + 1).flatMap((other, next) => apart(box, other) ? [] \
        : [`${texts[place].textContent} runs into ${texts[place + 1 + next].textContent}`])])";
const TARGETS: &str = "return [...document.querySelectorAll(arguments[0])].filter(one => one.checkVisibility()) \
    .map(one => [one.getBoundingClientRect().height, one.innerText.slice(0, 40) || one.name])";

#[tokio::test(flavor = "multi_thread")]
async fn at_the_bench_texts_can_be_read_and_keys_be_hit() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let bench = tournament.screen("stringer", TABLET).await;
    let mut small = Vec::new();
    for path in [
        format!("/next-up?station={}", day.idle_station),
        format!("/plan/{}", day.machine),
        format!("/check/{}", day.checking),
    ] {
        bench.open(&path).await;
        small.extend(smaller(&bench, &path, SMALLEST_TEXT_PX, TEXTS, "").await);
        for (what, at_least_px) in [
            ("main .button.primary", PRIMARY_PX),
            ("main .button.bench", SECOND_PX),
            (
                "main button, main a.button, main summary, main select, main input:not([type=hidden], [type=checkbox])",
                ANY_TARGET_PX,
            ),
        ] {
            small.extend(smaller(&bench, &path, at_least_px, TARGETS, what).await);
        }
        for size in [TABLET, SMALL_TABLET] {
            bench.chromium.resize(size).await;
            primary_is_in_sight(&bench, &path).await;
        }
        bench.chromium.resize(TABLET).await;
    }
    for turned in ["", "?turned=yes"] {
        bench.open(&format!("/plan/{}{turned}", day.machine)).await;
        let run_into = bench.run(RUN_INTO, json!([])).await;
        small.extend(page_rules::lines(run_into));
        bench
            .run("document.querySelector('.drawing').scrollIntoView()", json!([]))
            .await;
        bench
            .picture(&format!(
                "plan-drawing{}-tablet",
                if turned.is_empty() { "" } else { "-turned" }
            ))
            .await;
    }
    bench.close().await;
    tournament.admin.close().await;
    assert!(
        small.is_empty(),
        "{} too small:\n{}",
        small.len(),
        small.join("\n")
    );
}

async fn smaller(bench: &Screen, path: &str, at_least_px: f64, script: &str, what: &str) -> Vec<String> {
    let measured = bench.run(script, json!([what])).await;
    let measured = measured.as_array().cloned().unwrap_or_default();
    assert!(
        !measured.is_empty() || what.contains("bench"),
        "{path} shows no {what}"
    );
    let size_px = |one: &Value| one[0].as_f64().unwrap_or_default();
    measured
        .iter()
        .filter(|one| size_px(one) + 0.01 < at_least_px)
        .map(|one| {
            format!(
                "{path}: {} px, not {at_least_px}: {what} {}",
                size_px(one),
                one[1]
            )
        })
        .collect()
}

/// One glance, one tap: nobody scrolls for the next phase.
async fn primary_is_in_sight(bench: &Screen, path: &str) {
    let script = "return [...document.querySelectorAll('main .button.primary')].some(one => { \
        const box = one.getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight + 1; })";
    let seen = bench.run(script, json!([])).await;
    assert_eq!(
        seen, true,
        "the main key of {path} is below the edge of the tablet"
    );
}
