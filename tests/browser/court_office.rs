//! S11 and S10 as the referee's office and the coordinator work with them: an order of play that is mended, compared and
//! applied, a file, rain, a night match; the next day's odds as drawn and as numbers, and its shifts.
use std::io::Write as _;

use fantoccini::Locator;
use serde_json::{Value, json};

use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::chromium::LAPTOP;
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

const DAY: &str = "2026-05-02";
const HEAD: &str = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n";

/// The day with one match of the player; its other matches fill two courts, the last one after midnight.
fn order(tournament: &Tournament, first: &str) -> String {
    let player = tournament.id("P1");
    format!(
        "{HEAD}{DAY},C1,1,M1,bo3_tb,not_before,{first},{player},TBD\n\
         {DAY},C1,2,M2,bo3_tb,followed_by,,TBD,TBD\n\
         {DAY},C2,1,M3,bo3_tb,not_before,19:00,TBD,TBD\n\
         {DAY},C2,2,M4,bo3_tb,not_before,24:30,TBD,TBD\n"
    )
}

#[tokio::test(flavor = "multi_thread")]
async fn an_order_of_play_is_mended_compared_applied_moved_stopped_and_restarted() {
    let tournament = Tournament::start().await;
    let office = tournament.screen("coordinator", LAPTOP).await;
    office.open("/court-times").await;
    office.reads("main", "Add the first match.").await;

    // line 4 has no such time, line 5 no such rule
    let right = order(&tournament, "15:00");
    let wrong = right
        .replace("19:00", "19:75")
        .replace("M4,bo3_tb,not_before", "M4,bo3_tb,some_day");
    compare(&office, &wrong).await;
    office.reads("#wrong-title", "Rows that are wrong").await;
    office
        .reads("section[aria-labelledby=wrong-title] td.num", "4")
        .await;
    office
        .reads("section[aria-labelledby=wrong-title] td.num", "5")
        .await;
    let kept = office
        .run("return document.querySelector('#text').value", json!([]))
        .await;
    assert_eq!(
        kept.as_str().map(str::trim),
        Some(wrong.trim()),
        "what was pasted stays"
    );
    office.picture("court-times-wrong-laptop").await;

    compare(&office, &right).await;
    office.reads("#effect", "Sat 2 May").await;
    office.reads(".effect", "4 new").await;
    assert_eq!(orders(&office).await, 404, "only looked at");
    office.picture("court-times-effect-laptop").await;
    office.tap("Apply").await;
    office.reads("#match-M1", "rackets by").await;
    assert_eq!(orders(&office).await, 200);
    // a night match stands with its day: Paris, half past midnight
    office.reads("#match-M4", "Sun 00:30").await;

    a_moved_match_shows_which_rackets_become_late(&tournament, &office).await;
    a_file_is_compared_like_text(&tournament, &office).await;
    rain_stops_one_court_and_lets_it_go_on(&office).await;
    let broken = page_rules::broken(&office, "court-times after a day").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    office.close().await;
    tournament.admin.close().await;
}

async fn compare(office: &Screen, text: &str) {
    let put =
        "document.querySelector('#text').value = arguments[0]; document.querySelector('#day').value = ''";
    office.appears("#text").await;
    office.run(put, json!([text])).await;
    office.tap("Compare").await;
}

async fn orders(office: &Screen) -> u64 {
    office
        .call("GET", &format!("/v1/order-of-play/{DAY}"), Value::Null)
        .await
        .0
}

async fn a_moved_match_shows_which_rackets_become_late(tournament: &Tournament, office: &Screen) {
    let side = |string: &str| json!({"string": {"string_id": tournament.id(string)}, "tension": {"value": "24", "unit": "kg"}});
    let wish = json!({"racket_id": tournament.id("P1/1"), "purpose": "match", "follows_match": true,
                      "spec": {"pieces": "two", "mains": side("SA"), "crosses": side("SB")}, "condition": {"ok": true}});
    let (status, job) = tournament.admin.call("POST", "/v1/jobs", wish).await;
    assert_eq!(status, 201, "{job}");
    let code = job["tag_code"].as_str().expect("a code");
    let id = job["id"].as_str().expect("an id");
    office.open(&format!("/court-times?day={DAY}")).await;
    // the desk's clock stands at ten: nothing is strung in the quarter of an hour that is left
    compare(office, &order(tournament, "10:45")).await;
    office.reads(".effect", "affects 1 job").await;
    office.reads(".effect td.code", code).await;
    office.reads(".effect .chip-late", "becomes late").await;
    let before = due(office, id).await;
    office.picture("court-times-late-laptop").await;
    office.tap("Apply").await;
    office.reads("#match-M1", "rackets by 10:").await;
    assert!(due(office, id).await < before, "the racket is wanted sooner");
}

async fn due(office: &Screen, job: &str) -> String {
    let (_, job) = office.call("GET", &format!("/v1/jobs/{job}"), Value::Null).await;
    job["due_at"].as_str().expect("a time").to_owned()
}

async fn a_file_is_compared_like_text(tournament: &Tournament, office: &Screen) {
    let mut file = tempfile::Builder::new()
        .suffix(".csv")
        .tempfile()
        .expect("a file");
    file.write_all(order(tournament, "16:00").as_bytes())
        .expect("it is written");
    office.open(&format!("/court-times?day={DAY}")).await;
    let field = office
        .client()
        .find(Locator::Css("#file"))
        .await
        .expect("the field for a file");
    field
        .send_keys(&file.path().display().to_string())
        .await
        .expect("it takes a file");
    office.tap("Compare").await;
    office.reads(".effect", "1 moved").await;
    office.tap("Apply").await;
    office.reads("#match-M1", "16:00").await;
}

async fn rain_stops_one_court_and_lets_it_go_on(office: &Screen) {
    office.open(&format!("/court-times?day={DAY}")).await;
    office.tap("C1").await;
    office.fill("#from", "17:30").await;
    office.tap("Courts stopped").await;
    office.reads("#court-C1", "stopped").await;
    office.reads_no_more("#court-C2", "stopped").await;
    office.reads("#match-M1", "about 17:").await;
    office.picture("court-times-rain-laptop").await;
    office.tap("C1").await;
    office.tap("Restart").await;
    office.reads_no_more("#court-C1", "stopped").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_next_day_is_read_as_drawn_and_as_numbers_and_its_shifts_are_published() {
    let tournament = Tournament::start().await;
    BusyDay::of(&tournament).await;
    let office = tournament.screen("coordinator", LAPTOP).await;
    office.open(&format!("/tomorrow?day={NEXT_DAY}")).await;
    odds_as_drawn_are_those_of_the_table(&office).await;
    let planned = office.text("output").await;

    office.click("[aria-label='One station less']").await;
    office.reads_no_more("output", &planned).await;
    office.reads("#odds-title", "Odds").await;
    let fewer = odds_as_drawn_are_those_of_the_table(&office).await;
    office.click("[aria-label='One station more']").await;
    office.reads("output", &planned).await;
    office.reads("#odds-title", "Odds").await;
    let again = odds_as_drawn_are_those_of_the_table(&office).await;
    assert!(
        fewer <= again,
        "with a station less {fewer} % are ready, with all {again} %"
    );
    half_hours_have_a_row_for_each_that_is_drawn(&office).await;

    office.fill("#to-0", "late").await;
    office.click("#publish button.primary").await;
    office.appears(".problem").await;
    let kept = office
        .run("return document.querySelector('#to-0').value", json!([]))
        .await;
    assert_eq!(kept, "late", "what was typed stays");
    office.picture("tomorrow-refused-laptop").await;
    office.fill("#to-0", "18:00").await;
    office.click("#publish button.primary").await;
    office.reads("#publish", "ublished").await;
    office.reads_no_more("#publish", "Not published yet.").await;
    office.open(&format!("/tomorrow?day={NEXT_DAY}")).await;
    let published = office
        .run("return document.querySelector('#to-0').value", json!([]))
        .await;
    assert_eq!(
        published, "18:00",
        "what was published stands there for the next reader"
    );
    office.close().await;
    tournament.admin.close().await;
}

/// Answers how many per cent are ready with the chosen stations.
async fn odds_as_drawn_are_those_of_the_table(office: &Screen) -> f64 {
    const DRAWN: &str = "const names = [...document.querySelectorAll('[aria-label=\"Odds as a chart\"] svg text.name')].map(one => one.textContent); \
        const rows = [...document.querySelector('#odds-title').closest('section').querySelectorAll('tbody tr')].map(one => [one.children[0].innerText.trim(), one.children[1].innerText.trim()]); \
        return [names, rows]";
    office.reads("#odds-title", "Odds").await;
    let seen = office.run(DRAWN, json!([])).await;
    let names: Vec<&str> = seen[0]
        .as_array()
        .expect("names")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let rows = seen[1].as_array().expect("rows");
    assert!(rows.len() >= 2 && names.len() == 2 * rows.len(), "{seen}");
    let mut planned = None;
    for (pair, row) in names.chunks_exact(2).zip(rows) {
        let (stations, ready) = (
            row[0].as_str().expect("words"),
            row[1].as_str().expect("per cent"),
        );
        let number = stations.split_whitespace().next().expect("a number");
        assert!(
            pair[0].starts_with(&format!("{number} station")),
            "{pair:?} beside {row}"
        );
        assert_eq!(
            pair[0].ends_with("chosen"),
            stations.ends_with("chosen"),
            "{pair:?} beside {row}"
        );
        assert!(ready.starts_with(pair[1]), "{pair:?} beside {row}");
        if stations.ends_with("chosen") {
            planned = pair[1].trim_end_matches(" %").parse().ok();
        }
    }
    planned.expect("one row is chosen")
}

async fn half_hours_have_a_row_for_each_that_is_drawn(office: &Screen) {
    office.tap("The same in numbers").await;
    const COUNTS: &str = "const rows = document.querySelectorAll('#half-hours tbody tr').length; \
        return [...document.querySelectorAll('.chart-box svg')].slice(1).map(svg => [rows, svg.querySelectorAll('rect.span, rect.work').length])";
    let counts = office.run(COUNTS, json!([])).await;
    let counts = counts.as_array().expect("charts");
    assert_eq!(counts.len(), 3);
    for pair in counts {
        assert!(
            pair[0].as_u64() > Some(10) && pair[0] == pair[1],
            "rows and bars: {pair}"
        );
    }
}
