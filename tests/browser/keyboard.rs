//! The main job of every screen, done by somebody who has only a keyboard.
use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::chromium::{LAPTOP, PHONE, TABLET, WALL};
use crate::keys::{enter, key, pick, press, tab, tab_to, take, tick, write};
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};

#[tokio::test(flavor = "multi_thread")]
async fn the_counter_works_with_the_keyboard_alone() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let desk = tournament.stranger(LAPTOP).await;
    sign_in(&desk, "desk").await;
    skip_to_the_main_part(&desk).await;
    hand_in_same_again(&desk).await;
    hand_in_new_wish(&desk, &tournament).await;
    hand_out(&tournament, &desk, &day).await;
    court_call(&desk, &day).await;
    stock(&desk).await;
    catch_up(&tournament, &desk, &day).await;
    story(&desk, &day).await;
    your_rackets(&desk, &day).await;
    for screen in [desk, tournament.admin] {
        screen.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn bench_office_and_wall_work_with_the_keyboard_alone() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let bench = tournament.screen("stringer", TABLET).await;
    next_up(&tournament, &bench, &day).await;
    plan(&bench).await;
    check(&bench).await;
    bench.close().await;
    let office = tournament.screen("coordinator", LAPTOP).await;
    snags(&office).await;
    floor(&office).await;
    tomorrow(&office).await;
    court_times(&office).await;
    office.close().await;
    setup(&tournament.admin).await;
    wall(&tournament).await;
    tournament.admin.close().await;
}

async fn sign_in(desk: &Screen, account: &str) {
    desk.open("/sign-in").await;
    write(desk, "#login", account).await;
    write(desk, "#password", PASSWORD).await;
    key(desk, Key::Enter).await;
    desk.appears("form[action='/sign-out'] button").await;
}

async fn skip_to_the_main_part(desk: &Screen) {
    desk.open("/hand-in").await;
    enter(desk, "a.skip").await;
    tab(desk, 1).await;
    let inside = "return document.activeElement.closest('main') !== null";
    assert_eq!(
        desk.run(inside, json!([])).await,
        true,
        "the next stop is in the main part"
    );
}

async fn hand_in_same_again(desk: &Screen) {
    desk.open("/hand-in").await;
    write(desk, "#q", "sample").await;
    key(desk, Key::Enter).await;
    // one player is called so: the card comes at once
    enter(desk, "button.same").await;
    desk.reads(".taken", "22 kg").await;
}

async fn hand_in_new_wish(desk: &Screen, tournament: &Tournament) {
    let racket = json!({"player_id": tournament.id("P6"), "frame_id": tournament.id("F1"), "number": "2"});
    tournament.admin.create("/v1/rackets", racket).await;
    desk.open("/hand-in").await;
    write(desk, "#q", "exam").await;
    key(desk, Key::Enter).await;
    enter(desk, &format!(".hits a[href*='{}']", tournament.id("P6"))).await;
    write(desk, "#line_1_as_said", "24/23").await;
    take(desk, "line_1_unit", "kg").await;
    pick(desk, "#mains_string_id", tournament.id("SA")).await;
    pick(desk, "#crosses_string_id", tournament.id("SB")).await;
    enter(desk, "form[method=post][action='/hand-in'] button.primary").await;
    desk.reads(".taken", "24 kg (52.9 lb)").await;
    desk.reads(".taken", "String B 1.30").await;
}

async fn hand_out(tournament: &Tournament, desk: &Screen, day: &BusyDay) {
    let path = format!("/v1/jobs/{}", day.ready);
    let (_, job) = tournament.admin.call("GET", &path, Value::Null).await;
    desk.open("/hand-out").await;
    // a tag opens its player's card, with this racket in the hand
    write(desk, "#q", job["tag_code"].as_str().expect("a code")).await;
    key(desk, Key::Enter).await;
    desk.appears(".in-hand").await;
    take(desk, "proof", "ticket").await;
    write(desk, "#proof_value", &day.link).await;
    enter(desk, "button[name=how][value=hand_out]").await;
    desk.reads("main", "Just gone out").await;
}

async fn court_call(desk: &Screen, day: &BusyDay) {
    desk.open("/court-call").await;
    write(desk, "#q", "sample").await;
    key(desk, Key::Enter).await;
    desk.arrived_at("/court-call?").await;
    take(desk, "racket_id", &day.returning_racket).await;
    take(desk, "court", "Court 2").await;
    enter(desk, ".card .actions .primary").await;
    desk.reads("#runs", "Court 2").await;
}

async fn stock(desk: &Screen) {
    desk.open("/stock").await;
    enter(desk, "#strings li summary").await;
    write(desk, "#strings li details[open] input[name=remaining_m]", "50").await;
    enter(desk, "#strings li details[open] button[name=reason]").await;
    desk.reads("#strings", "50").await;
}

async fn catch_up(tournament: &Tournament, desk: &Screen, day: &BusyDay) {
    let path = format!("/v1/jobs/{}", day.late);
    let (_, job) = tournament.admin.call("GET", &path, Value::Null).await;
    desk.open("/catch-up").await;
    write(desk, "#row_1_time", "10:00").await;
    write(desk, "#row_1_code", job["tag_code"].as_str().expect("a code")).await;
    pick(desk, "#row_1_what", "started").await;
    write(desk, "#row_1_who", "Station 3").await;
    enter(desk, "button[value=preview]").await;
    desk.reads("#checked-title", "can be entered").await;
    enter(desk, "button[value=apply]").await;
    desk.reads("main, [role=status]", "Entered: 1 line").await;
}

async fn story(desk: &Screen, day: &BusyDay) {
    desk.open(&format!("/rackets/{}", day.told_racket)).await;
    let listen = "window.print = () => document.body.dataset.printed = 'yes'";
    desk.run(listen, json!([])).await;
    enter(desk, "button[data-print]").await;
    desk.appears("body[data-printed]").await;
}

async fn your_rackets(phone: &Screen, day: &BusyDay) {
    phone.chromium.resize(PHONE).await;
    phone.open(&format!("{}?lang=en", day.link)).await;
    enter(phone, "a[href*='ask=code']").await;
    phone.appears(".pickup").await;
}

async fn next_up(tournament: &Tournament, bench: &Screen, day: &BusyDay) {
    bench
        .open(&format!("/next-up?station={}", day.idle_station))
        .await;
    enter(bench, "form[action='/next-up'][method=post] button").await;
    bench.appears("#tag_code").await;
    let job = bench
        .run(
            "return document.querySelector('[data-job]').dataset.job",
            json!([]),
        )
        .await;
    let path = format!("/v1/jobs/{}", job.as_str().expect("an id"));
    let (_, job) = tournament.admin.call("GET", &path, Value::Null).await;
    write(bench, "#tag_code", job["tag_code"].as_str().expect("a code")).await;
    tick(bench, "input[name=strings_by_name]").await;
    bench.takes_taps("Start").await;
    enter(bench, "form.start button.primary").await;
    bench.arrived_at("/plan/").await;
}

/// Four keys are enough here: Enter for the main action, plus and minus for the steps, Escape to close.
async fn plan(bench: &Screen) {
    let focus_on_nothing = "document.activeElement.blur()";
    bench.run(focus_on_nothing, json!([])).await;
    press(bench, "++").await;
    bench.appears(".steps .step-marked").await;
    press(bench, "-").await;
    enter(bench, "#pause summary").await;
    bench.appears("#pause[open]").await;
    key(bench, Key::Escape).await;
    bench.disappears("#pause[open]").await;
    enter(bench, "#pause summary").await;
    enter(bench, "#pause button").await;
    bench.reads("#phases", "Go on").await;
    for (next, then) in [("Go on", "Mains done"), ("Mains done", "Strung")] {
        bench.takes_taps(next).await;
        bench.run(focus_on_nothing, json!([])).await;
        key(bench, Key::Enter).await;
        bench.reads("#phases .button.phase", then).await;
    }
    bench.takes_taps("Strung").await;
    enter(bench, "#phases .button.phase").await;
    bench.arrived_at("/check/").await;
}

async fn check(bench: &Screen) {
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        tick(bench, &format!("input[name={point}]")).await;
    }
    bench.takes_taps("Pass to shelf").await;
    enter(bench, "form.check button.primary").await;
    bench.disappears("form.check").await;
    bench.disappears(".problem").await;
}

async fn snags(office: &Screen) {
    office.open("/snags").await;
    enter(office, "#snags button[name=choice]").await;
    office.reads("#snags", "Nothing waits for a decision.").await;
}

async fn floor(office: &Screen) {
    office.open("/floor").await;
    enter(office, "#numbers a.code").await;
    enter(office, "button[name=do][value=hold]").await;
    enter(office, "#price button.primary").await;
    office.reads("#aside", "It is held: player asked to wait.").await;
}

async fn tomorrow(office: &Screen) {
    office.open(&format!("/tomorrow?day={NEXT_DAY}")).await;
    enter(office, "#publish button.primary").await;
    office.reads_no_more("#publish", "Not published yet.").await;
}

async fn court_times(office: &Screen) {
    let order = json!({
        "schema": "weftdesk.order_of_play/1", "tzid": "Europe/Paris", "day": "2026-05-04", "version": 1,
        "courts": [{"id": "C1", "label": "Court 1", "surface": "clay", "covered": false}],
        "matches": [{"id": "M1", "court": "C1", "seq": 1, "format": "bo3_tb", "draw": "WS", "round": "SF",
                     "start": {"rule": "not_before", "time": "11:00"}, "sides": [["TBD"], ["TBD"]]}],
    });
    office.open("/court-times").await;
    write(office, "#text", &order.to_string()).await;
    enter(office, "button[name=do][value=preview]").await;
    office.reads("#effect", "Mon 4 May").await;
    enter(office, "button[name=do][value=apply]").await;
    office.arrived_at("/court-times").await;
    office.reads("#courts", "M1").await;
}

async fn setup(admin: &Screen) {
    admin.chromium.resize(LAPTOP).await;
    admin.open("/setup").await;
    enter(admin, "#form-stringer summary").await;
    write(admin, "#stringer_name", "Example keyboard").await;
    key(admin, Key::Enter).await;
    admin.reads("main", "Example keyboard").await;
}

/// The wall turns its pages by itself; whoever reads can hold one.
async fn wall(tournament: &Tournament) {
    let admin = &tournament.admin;
    for number in 2..=9 {
        let racket = json!({"player_id": tournament.id("P2"), "frame_id": tournament.id("F2"), "number": number.to_string()});
        let racket = admin.create("/v1/rackets", racket).await;
        let side = |string: &str| json!({"string": {"string_id": tournament.id(string)}, "tension": {"value": "24", "unit": "kg"}});
        let order = json!({"racket_id": racket, "due_at": "2026-05-02T18:00:00Z", "condition": {"ok": true},
                           "spec": {"pieces": "two", "mains": side("SA"), "crosses": side("SB")}});
        admin.create("/v1/jobs", order).await;
    }
    admin.chromium.resize(WALL).await;
    admin.open("/wall?for=room").await;
    tab_to(admin, "#hold").await;
    press(admin, " ").await;
    admin.reads("#hold", "Go on").await;
    admin.appears("#hold[aria-pressed=true]").await;
}
