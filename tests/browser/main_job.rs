//! The whole main job as its people live it: a counter's laptop, a bench's tablet and a wall at once.
use std::time::Duration;

use crate::chromium::{LAPTOP, TABLET, WALL};
use crate::printed::Sheet;
use crate::screen::Screen;
use crate::tournament::{Tournament, reel_label};

#[tokio::test(flavor = "multi_thread")]
async fn d01_d05_d13_a_racket_goes_from_the_counter_over_the_bench_to_its_owner_and_the_wall_follows() {
    let tournament = Tournament::start().await;
    let desk = tournament.screen("desk", LAPTOP).await;
    let bench = tournament.screen("stringer", TABLET).await;
    let wall = tournament.screen("coordinator", WALL).await;
    wall.open("/wall?for=room").await;
    wall.reads(".room", "No rackets in yet.").await;

    let code = hand_in(&tournament, &desk, &wall).await;
    string_it(&bench, &wall, &code).await;
    hand_out(&desk, &wall, &code).await;
    the_story_lists_it(&tournament, &desk).await;
    for screen in [desk, bench, wall, tournament.admin] {
        screen.close().await;
    }
}

/// D01: the first racket of P1 is taken in at 24/23 kg for 14:00; answers its code.
async fn hand_in(tournament: &Tournament, desk: &Screen, wall: &Screen) -> String {
    desk.fill("#q", "exam").await;
    desk.tap("Find").await;
    // two players of the fixtures bear this name; the one at the counter is P1
    desk.click(&format!(".hits a[href*='{}']", tournament.id("P1")))
        .await;
    desk.choose("#line_1_racket_id", tournament.id("P1/1")).await;
    desk.fill("#line_1_as_said", "24/23").await;
    desk.click("input[name=line_1_unit][value=kg]").await;
    desk.fill("#line_1_ready_by", "14:00").await;
    desk.choose("#mains_string_id", tournament.id("SA")).await;
    desk.choose("#crosses_string_id", tournament.id("SB")).await;
    desk.tap("Take it in").await;
    let code = desk.text(".taken .tag-code").await;
    tell(
        "the taken-in racket stands on the wall",
        wall.reads(".room td.code", &code).await,
    );
    desk.reads("#inside td", &code).await;
    // 24 kg / 0.45359237 kg per lb = 52.9 lb, 23 kg = 50.7 lb (exact since 1959)
    desk.reads(".taken", "24 kg (52.9 lb)").await;
    desk.reads(".taken", "23 kg (50.7 lb)").await;
    desk.reads(".taken", "by 14:00").await;
    code
}

/// D05 at the bench: pulled, scanned, phase by phase, checked.
async fn string_it(bench: &Screen, wall: &Screen, code: &str) {
    bench.reads("#next", code).await;
    bench.tap("Take this job").await;
    wall.reads("tr", "assigned").await;

    bench.fill("#tag_code", "ZZZZZ").await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.find(".problem").await;
    bench.fill("#tag_code", &code.to_lowercase()).await;
    bench.fill("#mains_scan", &reel_label("SB")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.reads(".problem", "not the string for the mains").await;
    bench.fill("#tag_code", &code.to_lowercase()).await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;
    tell(
        "the started racket stands on the wall",
        wall.reads("tr", "on machine").await,
    );

    bench.reads(".pull-m", "24").await;
    bench.reads(".pull-c", "23").await;
    bench.reads(".cuts", "6.50 m").await;
    bench.find(".drawing svg").await;
    bench.tap("Mains done").await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.tap("Undo").await;
    bench.reads_no_more(".phase-marks", "Mains done").await;
    bench.tap("Mains done").await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.tap("Crosses done").await;
    bench.reads(".phase-marks", "Crosses done").await;
    bench.tap("Strung").await;
    bench.arrived_at("/check/").await;
    tell("the check stands on the wall", wall.reads("tr", "checking").await);

    bench.tap("Pass to shelf").await;
    bench.find(".problem").await;
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        bench.click(&format!("input[name={point}]")).await;
    }
    bench.tap("Pass to shelf").await;
    bench.arrived_at("/next-up").await;
    bench.reads("#next", "Nothing waiting.").await;
}

/// D05 at the counter: found, compared, handed out against the ticket.
async fn hand_out(desk: &Screen, wall: &Screen, code: &str) {
    tell(
        "the strung racket left the wall's rows",
        wall.reads_no_more(".room tbody", code).await,
    );
    wall.reads(".counts", "ready 1").await;
    let link = scan_ticket(desk).await;
    desk.open("/hand-out").await;
    desk.fill("#q", code).await;
    desk.tap("Find").await;
    desk.appears(".in-hand").await;
    desk.click("input[name=proof][value=ticket]").await;
    desk.fill("#proof_value", "not the ticket").await;
    desk.tap("Give out").await;
    desk.find(".problem").await;
    desk.fill("#proof_value", &link).await;
    desk.tap("Give out").await;
    desk.reads(".tasks .code", code).await;
    tell(
        "the racket is out on the wall",
        wall.reads(".counts", "ready 0").await,
    );
}

/// The link in the square on the player's ticket, as the counter's scanner reads it.
async fn scan_ticket(desk: &Screen) -> String {
    let ticket = desk.find("form[action$='/ticket']").await;
    let path = ticket
        .attr("action")
        .await
        .expect("the ticket")
        .expect("its address");
    desk.open(&path).await;
    let squares = Sheet::of(desk, "ticket-of-the-day").await.qr_codes();
    squares.into_iter().next().expect("a square on the ticket")
}

/// D05: who did what and when, read from the log.
async fn the_story_lists_it(tournament: &Tournament, desk: &Screen) {
    desk.open(&format!("/rackets/{}", tournament.id("P1/1"))).await;
    for what in [
        "Taken in",
        "Given to ",
        "On the machine at ",
        "Ready, slot ",
        "Given out",
    ] {
        desk.reads("main", what).await;
    }
    desk.reads("main", "Example desk").await;
    desk.reads("main", "Example stringer").await;
}

fn tell(what: &str, took: Duration) {
    println!("{what}: {} ms after it was looked for", took.as_millis());
}
