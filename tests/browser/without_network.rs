//! The bench goes on when the network is gone, and everything is where it belongs when it is back.
use serde_json::{Value, json};

use crate::cable::Cable;
use crate::chromium::TABLET;
use crate::screen::Screen;
use crate::tournament::{Tournament, reel_label};

#[tokio::test(flavor = "multi_thread")]
async fn a_racket_strung_without_network_is_on_record_once_with_the_times_of_its_taps() {
    let tournament = Tournament::start().await;
    let mut cable = Cable::to(tournament.base()).await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let bench = taken_at_the_bench(&tournament, &cable, &job).await;

    cable.pull().await;
    another_tag_is_refused_here(&bench, &job).await;
    start(&bench, &job).await;
    bench.reads("[data-waiting-band]", "Working offline since").await;
    stopped_and_gone_on(&bench).await;
    bench.tap("Mains done").await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.open(&bench.path().await).await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.tap("Strung").await;
    bench.arrived_at("/check/").await;
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        bench.click(&format!("input[name={point}]")).await;
    }
    bench.tap("Pass to shelf").await;
    bench.arrived_at("/next-up").await;
    bench.reads("#next", "Strung here without network").await;
    // refusing a job and going off are the desk's to decide at once
    bench.click("#not-now summary").await;
    bench.reads("#not-now", "Off without network").await;
    bench.reads("[data-waiting-band]", "6 changes waiting").await;
    let seen = events_of(&tournament.admin, &job).await;
    assert!(!kinds(&seen).contains(&"weftdesk.job.started"), "{seen:?}");

    cable.plug_in().await;
    let took = bench.disappears("[data-waiting-band]").await;
    println!("sent {} ms after the network was back", took.as_millis());
    let path = format!("/v1/jobs/{}", text(&job, "id"));
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(now["state"], "ready", "{now}");
    let seen = events_of(&tournament.admin, &job).await;
    for kind in [
        "weftdesk.job.started",
        "weftdesk.job.strung",
        "weftdesk.job.ready",
    ] {
        let of_kind: Vec<_> = seen.iter().filter(|event| event["type"] == kind).collect();
        assert_eq!(of_kind.len(), 1, "{kind}: {seen:?}");
        assert!(
            text(of_kind[0], "devicetime") < text(of_kind[0], "time"),
            "tapped before it arrived: {}",
            of_kind[0]
        );
    }
    bench.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hold_set_meanwhile_stands_beside_what_was_tapped_without_network() {
    let tournament = Tournament::start().await;
    let mut cable = Cable::to(tournament.base()).await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let bench = taken_at_the_bench(&tournament, &cable, &job).await;

    cable.pull().await;
    let hold = format!("/v1/jobs/{}/actions/hold", text(&job, "id"));
    tournament
        .admin
        .create(&hold, json!({"reason": "player asked to wait"}))
        .await;
    start(&bench, &job).await;
    bench.tap("Mains done").await;
    bench.reads(".phase-marks", "Mains done").await;

    cable.plug_in().await;
    bench.reads("#disputed", "Here: Start").await;
    bench.reads("#disputed", "The desk:").await;
    bench.reads("#disputed", "Here: Mains done").await;
    bench.reads("#disputed", "hangs on the one above").await;
    bench.picture("offline-disputed-tablet").await;
    bench.tap("Leave it as the desk has it").await;
    bench.disappears("#disputed").await;
    let path = format!("/v1/jobs/{}", text(&job, "id"));
    let (_, now) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(now["flags"]["held"]["reason"], "player asked to wait", "{now}");
    assert!(
        !kinds(&events_of(&tournament.admin, &job).await).contains(&"weftdesk.job.started"),
        "nothing of it was done"
    );
    bench.close().await;
    tournament.admin.close().await;
}

/// A tablet at station 1 that has taken the job and keeps what it needs to go on alone.
async fn taken_at_the_bench(tournament: &Tournament, cable: &Cable, job: &Value) -> Screen {
    let bench = tournament.screen_at(&cable.base(), "stringer", TABLET).await;
    bench.tap("Take this job").await;
    bench.appears("#tag_code").await;
    // each page is kept, and in the state in which the job is this station's
    let kept = "return caches.open('pages').then(pages => pages.match(arguments[0])) \
                .then(page => page?.text()).then(text => text?.includes(arguments[1]) ?? false)";
    let id = text(job, "id");
    for (page, says) in [
        (format!("/plan/{id}"), "phases-ahead"),
        (format!("/check/{id}"), "Check"),
        ("/next-up".to_owned(), "data-job="),
    ] {
        bench
            .until(&format!("{page} is kept"), kept, json!([page, says]))
            .await;
    }
    bench
}

/// The tablet knows its job's tag, so it need not wait for the desk to say that this is another racket.
async fn another_tag_is_refused_here(bench: &Screen, job: &Value) {
    bench.fill("#tag_code", "ZZZZZ").await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.arrived_at("/next-up").await;
    bench.reads(".problem", text(job, "tag_code")).await;
    let kept = "return [document.activeElement.id, document.querySelector('#mains_scan').value]";
    assert_eq!(
        bench.run(kept, json!([])).await,
        json!(["tag_code", reel_label("SA")])
    );
}

/// A pause waits like every other tap, and the keys to go on are there.
async fn stopped_and_gone_on(bench: &Screen) {
    bench.tap("Pause").await;
    bench.click("#pause button[value=break]").await;
    bench.reads(".phase-marks", "break").await;
    bench.tap("Go on").await;
    bench.reads(".phase-marks", "Go on").await;
}

async fn start(bench: &Screen, job: &Value) {
    bench.fill("#tag_code", text(job, "tag_code")).await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;
}

async fn events_of(screen: &Screen, job: &Value) -> Vec<Value> {
    let (status, page) = screen.call("GET", "/v1/events?limit=200", Value::Null).await;
    assert_eq!(status, 200, "{page}");
    let all = page["items"].as_array().expect("a list").iter();
    all.filter(|event| event["subject"] == job["id"])
        .cloned()
        .collect()
}

fn kinds(events: &[Value]) -> Vec<&str> {
    events.iter().map(|event| text(event, "type")).collect()
}

fn text<'a>(value: &'a Value, member: &str) -> &'a str {
    value[member].as_str().expect("a text")
}
