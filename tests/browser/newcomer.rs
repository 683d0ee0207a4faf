//! Somebody who has read nothing: from the set-up link to a first strung racket, led by what the pages say is next.
use serde_json::json;

use crate::chromium::TABLET;
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// What is typed and chosen for each task, in the order in which Setup asks.
const TASKS: [(&str, &[(&str, &str)]); 6] = [
    ("string", &[("string_name", "String A")]),
    (
        "frame",
        &[
            ("frame_name", "Frame One"),
            ("frame_mains", "16"),
            ("frame_crosses", "19"),
        ],
    ),
    (
        "machine",
        &[("machine_name", "Machine 1"), ("machine_step", "0.5")],
    ),
    ("stringer", &[("stringer_name", "Stringer Example")]),
    ("station", &[("station_name", "Station 1")]),
    ("open", &[]),
];
/// Only the form that is next stands open.
const OPEN_FORMS: &str = "return [...document.querySelectorAll('main details[open]')].map(one => one.id)";

#[tokio::test(flavor = "multi_thread")]
async fn a_newcomer_goes_from_the_set_up_link_to_a_strung_racket() {
    let tournament = Tournament::founded().await;
    let screen = &tournament.admin;
    for (task, fields) in TASKS {
        screen.click(".next-task a").await;
        let open = screen.run(OPEN_FORMS, json!([])).await;
        assert_eq!(open, json!([format!("form-{task}")]));
        for (field, text) in fields {
            screen.fill(&format!("#{field}"), text).await;
        }
        screen.click(&format!("#form-{task} button.primary")).await;
        screen.reads_no_more(".next-task", &format!("form-{task}")).await;
        let done = "return location.pathname === '/setup' && document.readyState === 'complete' \
            && document.querySelector(`#form-${arguments[0]}`).open === false";
        screen.until("the next task", done, json!([task])).await;
    }
    screen.picture("setup-ready-laptop").await;
    screen.tap("Hand the first one in").await;
    take_in(screen).await;
    string(screen).await;
    screen.open("/setup").await;
    let broken = page_rules::broken(screen, "setup").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    tournament.admin.close().await;
}

async fn take_in(screen: &Screen) {
    screen.tap("New player").await;
    screen.fill("#new_player_name", "Example A.").await;
    screen.fill("#line_1_as_said", "24/23").await;
    screen.click("[name=line_1_unit][value=kg]").await;
    for list in ["line_1_frame_id", "mains_string_id", "crosses_string_id"] {
        let choose = "const list = document.querySelector(`[name=${arguments[0]}]`); list.selectedIndex = list.options.length - 1; return true";
        screen.run(choose, json!([list])).await;
    }
    screen.tap("Take it in").await;
    screen.appears(".taken .tag-code").await;
}

async fn string(screen: &Screen) {
    let code = screen.text(".taken .tag-code").await;
    screen.chromium.resize(TABLET).await;
    screen.open("/next-up").await;
    screen.tap("Take this job").await;
    screen.fill("#tag_code", &code).await;
    screen.click("[name=strings_by_name]").await;
    screen.tap("Start").await;
    screen.arrived_at("/plan/").await;
    // one line for value and unit: what is set on the machine is read at one glance
    let lines = "return [...document.querySelectorAll('.pull .value')].map(one => \
        Math.abs(one.querySelector('small').getBoundingClientRect().bottom - one.getBoundingClientRect().bottom) < 40 \
        && one.getBoundingClientRect().height < 120)";
    assert_eq!(screen.run(lines, json!([])).await, json!([true, true]));
    screen.takes_taps("Mains done").await;
    screen.click("button.phase").await;
    screen.reads(".phase-marks", "ains done").await;
    screen.tap("Strung").await;
    screen.arrived_at("/check/").await;
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        screen.click(&format!("input[name={point}]")).await;
    }
    screen.tap("Pass to shelf").await;
    screen.arrived_at("/next-up").await;
    screen.open(&format!("/hand-out?q={code}")).await;
    screen.reads(".in-hand", &code).await;
}
