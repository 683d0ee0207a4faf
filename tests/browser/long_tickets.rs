//! Tickets of many rackets and of long names: one strip of the roll, cut behind its last line, in every writing.
use serde_json::{Value, json};

use crate::chromium::LAPTOP;
use crate::printed::Sheet;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// What the sheet leaves free on each side, and what Chromium rounds of it.
const MARGIN_MM: f64 = 4.0;
const MARGIN_ROUNDED_MM: f64 = 3.6;
/// So much paper may be left between the last word and the end, its margin apart: the line's own height, the room
/// that rounding takes and whole millimetres.
const WASTE_MM: f64 = 4.0;
/// As many as a large bag holds. Common practice, no source.
const RACKETS: usize = 6;
/// Longer than the names of players and strings that are read out at a counter. Own choice, no source.
const LONG_NAME: usize = 60;
/// The longest place that Setup takes: 120 characters.
const PLACE: &str = "Stringing desk in the players' tent behind the grandstand, Gate B, beside Court 1, left of the stairs; ring the bell 12.";

/// So many letters of the words, again and again.
fn long(words: &str) -> String {
    let letters: String = words.chars().cycle().take(LONG_NAME).collect();
    letters.trim().to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_ticket_is_one_strip_as_long_as_what_stands_on_it() {
    let tournament = Tournament::start().await;
    let admin = &tournament.admin;
    let first = drop_off(&tournament, "en", "Example Player", "String Six", RACKETS).await;
    let short = strip(admin, &first, "ticket-six").await;
    // half the rackets, less paper
    let half = drop_off(&tournament, "en", "Example Second", "String Three", RACKETS / 2).await;
    let half = strip(admin, &half, "ticket-three").await;
    assert!(
        short.height_mm - half.height_mm > 30.0,
        "{} and {}",
        short.height_mm,
        half.height_mm
    );

    let desk = tournament.screen("desk", LAPTOP).await;
    admin.open("/setup").await;
    admin.click("#form-collect summary").await;
    admin.fill("#collect_collect_at", PLACE).await;
    admin.click("#form-collect button[type=submit]").await;
    admin.reads(".panel:has(#task-collect)", PLACE).await;
    for (language, player, string) in [
        (
            "ar",
            "محمد عبد الرحمن بن عبد العزيز المثالي الطويل ",
            "خيط سداسي خشن طبعة الجولة ",
        ),
        ("ja", "例示田中長名前太郎左衛門", "ポリエステル六角ラフツアー"),
        (
            "en",
            "Maria-Magdalena Konstantinopolitanska de la Torre y Villanueva ",
            "Polyester Hexagonal Rough Tour ",
        ),
    ] {
        let jobs = drop_off(&tournament, language, &long(player), &long(string), RACKETS).await;
        let ticket = strip(&desk, &jobs, &format!("ticket-six-long-{language}")).await;
        assert!(ticket.text.contains("Gate B, beside Court 1"), "{}", ticket.text);
        let id = jobs[0]["id"].as_str().expect("an id");
        desk.open(&format!("/jobs/{id}/tag")).await;
        let tag = Sheet::of(&desk, &format!("tag-long-{language}")).await;
        assert_eq!((tag.pages, tag.grey), (1, true), "{language}");
        let mut cut_off = tag.in_the_margin(1.0);
        // the box round the large code is higher than its letters
        cut_off.retain(|word| Some(word.as_str()) != jobs[0]["tag_code"].as_str());
        assert_eq!(cut_off, [] as [&str; 0], "{language}");
        assert_eq!(tag.on_one_another(), [] as [&str; 0], "{language}");
        for pull in ["M 24 kg (52.9 lb)", "C 23 kg (50.7 lb)"] {
            assert!(tag.text.contains(pull), "{language}: {pull} in {}", tag.text);
        }
    }
    for screen in [desk, tournament.admin] {
        screen.close().await;
    }
}

/// Without scripts nothing measures it: it may take more paper, but nothing of it is lost.
#[tokio::test(flavor = "multi_thread")]
async fn without_scripts_a_ticket_has_all_its_rackets_too() {
    let tournament = Tournament::start().await;
    let jobs = drop_off(&tournament, "en", "Example Player", "String Six", RACKETS).await;
    let admin = &tournament.admin;
    let switch = |off: bool| json!({"value": off});
    let command = "Emulation.setScriptExecutionDisabled";
    crate::dev_tools::command(admin.client(), command, switch(true)).await;
    admin.open(&address(&jobs)).await;
    let ticket = Sheet::of(admin, "ticket-six-without-scripts").await;
    assert_eq!(ticket.pages, 1);
    says_every_racket(&ticket, &jobs);
    crate::dev_tools::command(admin.client(), command, switch(false)).await;
    tournament.admin.close().await;
}

/// Takes new rackets of a new player in together.
async fn drop_off(
    tournament: &Tournament,
    language: &str,
    player: &str,
    string: &str,
    rackets: usize,
) -> Vec<Value> {
    let admin = &tournament.admin;
    let player = json!({"name": {"display": player}, "language": language});
    let player = admin.create("/v1/players", player).await;
    let string = json!({"name": string, "gauge_mm": "1.25", "material": "polyester"});
    let string = admin.create("/v1/strings", string).await;
    let reel = json!({"string_id": string, "kind": "reel_remainder", "length_mm": 200_000});
    admin.create("/v1/reels", reel).await;
    let side = |kg: &str| json!({"string": {"string_id": string}, "tension": {"value": kg, "unit": "kg"}});
    let mut orders = Vec::new();
    for number in 1..=rackets {
        let racket =
            json!({"player_id": player, "frame_id": tournament.id("F1"), "number": number.to_string()});
        let racket = admin.create("/v1/rackets", racket).await;
        orders.push(
            json!({"racket_id": racket, "due_at": "2026-05-02T18:00:00Z", "condition": {"ok": true},
                           "spec": {"pieces": "two", "mains": side("24"), "crosses": side("23")}}),
        );
    }
    let (status, taken) = admin
        .call("POST", "/v1/jobs/batch", json!({"jobs": orders}))
        .await;
    assert_eq!(status, 201, "{taken}");
    taken.as_array().expect("the jobs").clone()
}

fn address(jobs: &[Value]) -> String {
    format!("/jobs/{}/ticket", jobs[0]["id"].as_str().expect("an id"))
}

/// The ticket of a drop-off: one page, nothing cut off, no paper left over.
async fn strip(screen: &Screen, jobs: &[Value], name: &str) -> Sheet {
    screen.open(&address(jobs)).await;
    let ticket = Sheet::of(screen, name).await;
    println!("{name}: {:.0} mm", ticket.height_mm);
    assert_eq!((ticket.pages, ticket.grey), (1, true), "{name}");
    assert_eq!(ticket.in_the_margin(MARGIN_ROUNDED_MM), [] as [&str; 0], "{name}");
    assert_eq!(ticket.on_one_another(), [] as [&str; 0], "{name}");
    let left_mm = ticket.height_mm - ticket.lowest_word_mm();
    assert!(
        left_mm < MARGIN_MM + WASTE_MM,
        "{name}: {left_mm} mm of paper below the last line"
    );
    assert_eq!(ticket.qr_codes().len(), 1, "{name}");
    says_every_racket(&ticket, jobs);
    ticket
}

fn says_every_racket(ticket: &Sheet, jobs: &[Value]) {
    for job in jobs {
        let code = job["tag_code"].as_str().expect("a code");
        assert!(ticket.text.contains(code), "{code} in {}", ticket.text);
    }
    let pulls = ticket.text.matches("M 24 kg (52.9 lb)").count();
    assert_eq!(pulls, jobs.len(), "{}", ticket.text);
}
