//! D07 and D13 in the browser: what the coordinator decides and what the network breaks, on screens that are open.
use std::time::Duration;

use serde_json::json;

use crate::chromium::{LAPTOP, TABLET, WALL};
use crate::dev_tools;
use crate::screen::Screen;
use crate::tournament::Tournament;

#[tokio::test(flavor = "multi_thread")]
async fn d07_what_is_held_released_rushed_and_moved_shows_on_the_open_tablets() {
    let tournament = Tournament::start().await;
    let admin = &tournament.admin;
    let job = tournament.take_in(admin, "P1/1", ("24", "23", "kg")).await;
    let code = job["tag_code"].as_str().expect("a code");
    let action = |name: &str| format!("/v1/jobs/{}/actions/{name}", job["id"].as_str().expect("an id"));
    let first = bench_at(&tournament, "ST1").await;
    let second = bench_at(&tournament, "ST2").await;
    first.reads("#next", code).await;

    admin
        .create(&action("hold"), json!({"reason": "player asked to wait"}))
        .await;
    tell(
        "held: gone from Next Up",
        first.reads_no_more("#next", code).await,
    );
    admin.create(&action("release"), json!({})).await;
    tell("released: back on Next Up", first.reads("#next", code).await);
    admin.create(&action("rush"), json!({"level": "rush"})).await;
    tell(
        "rushed: marked on Next Up",
        first.reads("#next .chip", "rush").await,
    );

    admin
        .create(&action("assign"), json!({"station_id": tournament.id("ST1")}))
        .await;
    tell(
        "given to station 1: its tag is asked for",
        first.appears("#tag_code").await,
    );
    // the job's table: what is assigned is put back before it goes elsewhere
    admin
        .create(&action("unassign"), json!({"reason": "moved"}))
        .await;
    admin
        .create(&action("assign"), json!({"station_id": tournament.id("ST2")}))
        .await;
    tell(
        "moved to station 2: there its tag is asked for",
        second.appears("#tag_code").await,
    );
    tell(
        "moved to station 2: gone from station 1",
        first.reads_no_more("#next", code).await,
    );
    for screen in [first, second, tournament.admin] {
        screen.close().await;
    }
}

/// Opens the first job of the numbers. They are folded on a phone alone, and a driver of browsers takes what a fold
/// holds for hidden even where it is shown.
async fn open_in_numbers(floor: &Screen) {
    let unfold = "document.getElementById('fold-numbers').open = true";
    floor.run(unfold, json!([])).await;
    floor.click("#numbers a.code").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d07_on_the_floor_the_price_is_read_before_the_button_and_the_tablets_follow_it() {
    let tournament = Tournament::start().await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let code = job["tag_code"].as_str().expect("a code");
    let first = bench_at(&tournament, "ST1").await;
    let floor = tournament.screen("coordinator", LAPTOP).await;
    floor.open("/floor").await;
    tell("planned: on the open Floor", floor.reads("#numbers", code).await);

    open_in_numbers(&floor).await;
    floor.tap("Hold…").await;
    floor.reads("#price", "It is held.").await;
    first.reads("#next", code).await;
    floor.tap("Do it").await;
    tell(
        "held on the Floor: gone from Next Up",
        first.reads_no_more("#next", code).await,
    );
    floor.reads("#aside", "It is held: player asked to wait.").await;
    floor.click("#aside a.code").await;
    floor.tap("Release…").await;
    floor.reads("#price", "waits in the queue").await;
    floor.tap("Do it").await;
    tell(
        "released on the Floor: back on Next Up",
        first.reads("#next", code).await,
    );

    open_in_numbers(&floor).await;
    floor.choose("#move-station", tournament.id("ST2")).await;
    floor.tap("Move…").await;
    floor.reads("#price", "to Station 2").await;
    floor.tap("Do it").await;
    tell(
        "moved on the Floor: gone from station 1",
        first.reads_no_more("#next", code).await,
    );
    floor.reads("#numbers", "assigned").await;
    for screen in [first, floor, tournament.admin] {
        screen.close().await;
    }
}

/// What is wrong with the drawing's width on the open Floor: it fills its place on a laptop and is never cramped.
async fn width_not_used(floor: &Screen) -> Vec<String> {
    let mut wrong = Vec::new();
    for size in [(1440, 900), LAPTOP] {
        floor.chromium.resize(size).await;
        let script = "const place = document.querySelector('.lane-drawing'), drawn = place.querySelector('.floor');\
                      return [place.clientWidth, drawn.getBoundingClientRect().width, place.scrollWidth]";
        let widths = floor.run(script, json!([])).await;
        let [place, drawn, scrolled] = [0, 1, 2].map(|n| widths[n].as_f64().expect("pixels"));
        let fits = drawn > place - 2.0 && drawn >= 874.0 && scrolled <= drawn + 2.0;
        if !fits || (size.0 > 1300 && drawn > place + 2.0) {
            wrong.push(format!("{} px: {widths}", size.0));
        }
    }
    floor.chromium.resize(LAPTOP).await;
    wrong
}

/// The middle of the first element that matches, where a pointer meets it.
async fn middle(screen: &Screen, css: &str) -> (f64, f64) {
    let script = "const box = document.querySelector(arguments[0]).getBoundingClientRect();\
                  const shown = document.querySelector('.lane-drawing').getBoundingClientRect();\
                  return [(box.left + Math.min(box.right, shown.right)) / 2, (box.top + box.bottom) / 2]";
    let at = screen.run(script, json!([css])).await;
    (at[0].as_f64().expect("pixels"), at[1].as_f64().expect("pixels"))
}

/// A drag with the mouse, in steps as a hand makes it.
async fn dragged(screen: &Screen, from: (f64, f64), to: (f64, f64)) {
    let mouse = async |kind: &str, (x, y): (f64, f64)| {
        let event = json!({"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1});
        dev_tools::command(screen.client(), "Input.dispatchMouseEvent", event).await;
    };
    mouse("mousePressed", from).await;
    for step in 1..=4 {
        let part = f64::from(step) / 4.0;
        let at = (from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part);
        mouse("mouseMoved", at).await;
    }
    mouse("mouseReleased", to).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d07_a_job_dragged_to_another_lane_shows_the_price_of_the_move_first() {
    let tournament = Tournament::start().await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let code = job["tag_code"].as_str().expect("a code");
    let floor = tournament.screen("coordinator", LAPTOP).await;
    floor.open("/floor").await;
    floor.reads("#numbers", code).await;
    assert_eq!(width_not_used(&floor).await, [] as [String; 0]);
    floor
        .run(
            "document.querySelector('.lane-drawing').scrollIntoView({block: 'center'})",
            json!([]),
        )
        .await;
    let block = ".floor a[data-job] .block";
    let lane = |key: &str| format!(".floor [data-station=\"{}\"]", tournament.id(key));
    let at = floor.text("#numbers tbody td").await;
    let other = if at == "Station 1" { "ST2" } else { "ST1" };
    let from = middle(&floor, block).await;
    dragged(&floor, from, (from.0 + 20.0, from.1)).await;
    assert_eq!(floor.path().await, "/floor", "on its own lane nothing is asked");

    let to = middle(&floor, &lane(other)).await;
    dragged(&floor, from, (from.0, to.1)).await;
    floor.reads("#price", "Nothing is done yet").await;
    let station = format!("Station {}", other.trim_start_matches("ST"));
    floor
        .reads("#price-title", &format!("Move {code} to {station}"))
        .await;
    floor.tap("Do it").await;
    floor.reads("#numbers tbody td", &station).await;
    floor.close().await;
    tournament.admin.close().await;
}

async fn bench_at(tournament: &Tournament, station: &str) -> Screen {
    let bench = tournament.screen("stringer", TABLET).await;
    bench
        .open(&format!("/next-up?station={}", tournament.id(station)))
        .await;
    bench.reads(".live", "live").await;
    bench
}

#[tokio::test(flavor = "multi_thread")]
async fn d13_a_wall_that_lost_the_network_says_so_and_shows_what_it_missed() {
    let tournament = Tournament::start().await;
    let wall = tournament.screen("coordinator", WALL).await;
    wall.open("/wall?for=room").await;
    wall.reads(".live", "live").await;

    network(&wall, false).await;
    tell(
        "without network: the band says so",
        wall.appears("[data-offline-band]").await,
    );
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let code = job["tag_code"].as_str().expect("a code");
    network(&wall, true).await;
    tell(
        "with network again: what was missed is there",
        wall.reads(".room td.code", code).await,
    );
    tell(
        "with network again: the band is gone",
        wall.disappears("[data-offline-band]").await,
    );
    wall.close().await;
    tournament.admin.close().await;
}

async fn network(screen: &Screen, there: bool) {
    let conditions =
        json!({"offline": !there, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1});
    dev_tools::command(screen.client(), "Network.emulateNetworkConditions", conditions).await;
}

fn tell(what: &str, took: Duration) {
    println!("{what}: {} ms after it was looked for", took.as_millis());
}
