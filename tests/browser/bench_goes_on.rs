//! Where the bench stands when the network goes in the middle of the work: its screens lead on, and say what is off.
use serde_json::{Value, json};

use crate::cable::Cable;
use crate::chromium::TABLET;
use crate::screen::Screen;
use crate::tournament::{Tournament, reel_label};

/// What Next Up's kept page is: 302 leads on to another, 200 is one.
const KEPT_AS: &str = "return caches.open('pages').then(pages => pages.match(arguments[0])).then(page => page?.status === arguments[1])";
/// Parts of a form by where they stand: left edge and top.
const STANDS: &str = "return [...document.querySelectorAll(arguments[0])].filter(one => one.checkVisibility()) \
    .map(one => { const box = one.getBoundingClientRect(); return [Math.round(box.left), Math.round(box.top), Math.round(box.bottom)]; })";

#[tokio::test(flavor = "multi_thread")]
async fn a_racket_begun_with_network_is_gone_on_with_from_next_up_without_it() {
    let tournament = Tournament::start().await;
    let mut cable = Cable::to(tournament.base()).await;
    let reel = json!({"string_id": tournament.id("SB"), "kind": "reel_remainder", "length_mm": 200_000,
                      "label_code": "REEL-SB-LONG"});
    tournament.admin.create("/v1/reels", reel).await;
    let first = taken_in(&tournament, "P1/1").await;
    let bench = tournament.screen_at(&cable.base(), "stringer", TABLET).await;
    begun(&bench, &first).await;
    bench.takes_taps("Mains done").await;
    bench.tap("Mains done").await;
    bench.takes_taps("Strung").await;
    bench.tap("Strung").await;
    bench.arrived_at("/check/").await;

    // the next one beside the check that is open: the page stands as it came, with the focus where the tag goes
    let second = taken_in(&tournament, "P1/2").await;
    bench.open("/next-up").await;
    bench.reads(".next-check", text(&first, "tag_code")).await;
    bench.tap("Take this job").await;
    bench.appears("#tag_code").await;
    let stands = bench
        .run("return [scrollY, document.activeElement.id]", json!([]))
        .await;
    assert_eq!(stands, json!([0, "tag_code"]));
    scanned(&bench, &second).await;
    bench
        .until("Next Up leads to the plan", KEPT_AS, json!(["/next-up", 302]))
        .await;

    cable.pull().await;
    gone_on_alone(&bench, &second).await;
    cable.plug_in().await;
    bench.disappears("[data-waiting-band]").await;
    let path = format!("/v1/jobs/{}", text(&second, "id"));
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(now["state"], "ready", "{now}");
    // and Next Up is the next job's again
    bench.open("/next-up").await;
    bench
        .until("Next Up is kept", KEPT_AS, json!(["/next-up", 200]))
        .await;
    bench.close().await;
    tournament.admin.close().await;
}

/// From Next Up to the shelf without network; each screen leads to the next.
async fn gone_on_alone(bench: &Screen, job: &Value) {
    bench.open("/next-up").await;
    bench.arrived_at(&format!("/plan/{}", text(job, "id"))).await;
    bench.reads("[data-waiting-band]", "Working offline since").await;
    bench.takes_taps("Mains done").await;
    bench.tap("Mains done").await;
    bench.takes_taps("Strung").await;
    bench.picture("offline-taps-wait-tablet").await;
    bench.tap("Strung").await;
    bench.arrived_at("/check/").await;
    bench.open("/next-up").await;
    bench.reads("#phases", "Strung here without network").await;
    bench.picture("offline-strung-tablet").await;
    bench.tap("Go on with the check").await;
    bench.arrived_at("/check/").await;
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        bench.click(&format!("input[name={point}]")).await;
    }
    bench.picture("offline-check-tablet").await;
    bench.tap("Pass to shelf").await;
    bench.reads("#phases", "checked and passed").await;
    bench.picture("offline-passed-tablet").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_station_that_is_off_says_that_it_comes_on_with_the_network_alone() {
    let tournament = Tournament::start().await;
    let mut cable = Cable::to(tournament.base()).await;
    let bench = tournament.screen_at(&cable.base(), "stringer", TABLET).await;
    let off = format!("/v1/stations/{}/actions/close", tournament.id("ST1"));
    tournament.admin.create(&off, json!({})).await;
    let station = format!("/next-up?station={}", tournament.id("ST1"));
    bench.open(&station).await;
    bench.reads("main", "is off and gets no jobs").await;
    bench
        .until("Next Up is kept", KEPT_AS, json!([station, 200]))
        .await;
    bench.picture("next-up-off-tablet").await;
    cable.pull().await;
    bench.open(&station).await;
    bench.reads(".back-on", "Off without network").await;
    bench.picture("offline-next-up-off-tablet").await;
    let parts = bench
        .run(
            STANDS,
            json!([".back-on > label, .back-on > select, .back-on > button, .back-on > .off-now"]),
        )
        .await;
    let parts = parts.as_array().expect("the parts").clone();
    assert_eq!(parts.len(), 4, "{parts:?}");
    for two in parts.windows(2) {
        assert_eq!(two[0][0], two[1][0], "one edge: {parts:?}");
        assert!(
            two[0][2].as_i64() < two[1][1].as_i64(),
            "one below the other: {parts:?}"
        );
    }
    let disabled = bench
        .run(
            "return document.querySelector('.back-on button').disabled",
            json!([]),
        )
        .await;
    assert_eq!(disabled, true);
    cable.plug_in().await;
    bench.disappears(".off-now").await;
    bench.tap("Back on").await;
    bench.reads_no_more("main", "is off and gets no jobs").await;
    bench.close().await;
    tournament.admin.close().await;
}

async fn taken_in(tournament: &Tournament, racket: &str) -> Value {
    tournament
        .take_in(&tournament.admin, racket, ("24", "23", "kg"))
        .await
}

async fn begun(bench: &Screen, job: &Value) {
    bench.tap("Take this job").await;
    scanned(bench, job).await;
}

async fn scanned(bench: &Screen, job: &Value) {
    bench.fill("#tag_code", text(job, "tag_code")).await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", "REEL-SB-LONG").await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;
}

fn text<'a>(value: &'a Value, member: &str) -> &'a str {
    value[member].as_str().expect("a text")
}
