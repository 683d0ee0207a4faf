//! D14: the player's page on a slow phone in a bad network: what it weighs, when it shows, whether it jumps.
use serde_json::{Value, json};

use crate::chromium::PHONE;
use crate::dev_tools;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// What the whole first load may weigh on its way.
const MOST_BYTES: u64 = 60_000;
/// What scripts and styles of it may weigh, unpacked.
const MOST_SCRIPT_AND_STYLE: u64 = 30_000;
/// A cheap phone beside a laptop.
const SLOWER: u32 = 4;
const ROUND_TRIP_MS: u32 = 400;
/// 400 kbit/s.
const BYTES_PER_S: u32 = 50_000;

/// Largest contentful paint (ms), sum of layout shifts, bytes on the way, script and style unpacked.
const MEASURED: &str = "const done = arguments[0]; \
    let paint_ms = 0, shifts = 0; \
    const parts = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]; \
    const dressed = parts.filter(one => ['script', 'link', 'css'].includes(one.initiatorType) || /\\.(css|js)$/.test(one.name)); \
    const sum = (list, member) => list.reduce((all, one) => all + one[member], 0); \
    new PerformanceObserver(list => list.getEntries().forEach(one => { if (!one.hadRecentInput) shifts += one.value; })) \
      .observe({type: 'layout-shift', buffered: true}); \
    new PerformanceObserver(list => { list.getEntries().forEach(one => { paint_ms = Math.max(paint_ms, one.startTime); }); \
        requestAnimationFrame(() => requestAnimationFrame(() => \
          done([paint_ms, shifts, sum(parts, 'transferSize'), sum(dressed, 'decodedBodySize'), parts.length]))); }) \
      .observe({type: 'largest-contentful-paint', buffered: true})";

#[tokio::test(flavor = "multi_thread")]
async fn d14_on_a_slow_phone_the_players_page_is_light_and_its_paint_and_shifts_are_told() {
    let tournament = Tournament::start().await;
    for racket in ["P3/1", "P3/2"] {
        tournament
            .take_in(&tournament.admin, racket, ("55", "54", "lb"))
            .await;
    }
    let page = tournament.player_page("P3").await;
    for language in ["en", "ar"] {
        // a browser of its own: nothing is kept from before
        let phone = tournament.stranger(PHONE).await;
        slow(&phone).await;
        phone.open(&format!("{page}?lang={language}")).await;
        let seen = phone.client().execute_async(MEASURED, Vec::new()).await;
        let seen = seen.expect("the page is measured");
        let number = |place: usize| seen[place].as_f64().expect("a number");
        let bytes = |place: usize| seen[place].as_u64().expect("whole bytes");
        println!(
            "the player's page in {language}, {SLOWER} x slower, {ROUND_TRIP_MS} ms, 400 kbit/s: largest paint {:.2} s (reach 2.5), \
             layout shift {:.3} (reach 0.1), {} bytes in {} loads, script and style {} bytes",
            number(0) / 1000.0,
            number(1),
            bytes(2),
            seen[4],
            bytes(3)
        );
        assert!(number(0) > 0.0, "something was painted: {seen}");
        assert!(
            bytes(2) > 0 && bytes(2) <= MOST_BYTES,
            "{seen}: at most {MOST_BYTES} bytes"
        );
        assert!(
            bytes(3) > 0 && bytes(3) <= MOST_SCRIPT_AND_STYLE,
            "{seen}: script and style at most {MOST_SCRIPT_AND_STYLE} bytes"
        );
        phone.close().await;
    }
    tournament.admin.close().await;
}

async fn slow(phone: &Screen) {
    let network = json!({"offline": false, "latency": ROUND_TRIP_MS,
                         "downloadThroughput": BYTES_PER_S, "uploadThroughput": BYTES_PER_S});
    let commands: [(&str, Value); 2] = [
        ("Network.emulateNetworkConditions", network),
        ("Emulation.setCPUThrottlingRate", json!({"rate": SLOWER})),
    ];
    for (name, parameters) in commands {
        dev_tools::command(phone.client(), name, parameters).await;
    }
}
