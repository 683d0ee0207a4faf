//! P4: the paper kit, as the file that lies ready when power or network fail, printed without the program.
use std::path::PathBuf;

use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::printed::Sheet;
use crate::program::Program;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// The margin that the sheet asks for, less what Chromium rounds.
const MARGIN_MM: f64 = 11.5;
/// The kit has so many blank rows (E7 of the day: a strip of fifty codes).
const BLANK_ROWS: usize = 50;
/// A name as long as names are, in two scripts, and a way to reach its owner.
const LONG_NAME: &str = "Example-Samplename Ångström y Ñandú de la Prueba 示例選手";
const CONTACT: &str = "+00 555 0100 ext 22";

#[tokio::test(flavor = "multi_thread")]
async fn the_paper_kit_that_lies_ready_prints_with_everything_that_is_needed_to_go_on() {
    let tournament = Tournament::start().await;
    BusyDay::of(&tournament).await;
    long_named(&tournament).await;
    let admin = &tournament.admin;
    let open = jobs_in(admin, "waiting,assigned,on_machine,checking").await;
    let shelf = jobs_in(admin, "ready").await;
    assert!(
        open.len() >= 8 && !shelf.is_empty(),
        "{} open, {} ready",
        open.len(),
        shelf.len()
    );
    admin.open("/paper-kit").await;
    let codes = blank_codes(admin).await;
    let page = Sheet::of(admin, "paper-kit").await;

    let (program, admin) = tournament.into_program();
    let program = program.again();
    let file = kept(&program);
    drop(program);
    // nothing listens any more: what is printed now needs nothing but the file
    admin
        .client()
        .goto(&format!("file://{}", file.display()))
        .await
        .expect("the file opens");
    let kit = Sheet::of(&admin, "paper-kit-file").await;
    assert_eq!(
        blank_codes(&admin).await,
        codes,
        "the strip stays the same until its codes are used"
    );

    for sheet in [&page, &kit] {
        is_well_printed(sheet);
        holds_everything(sheet, &open, &shelf, &codes);
    }
    admin.close().await;
}

fn is_well_printed(sheet: &Sheet) {
    // A4 of ISO 216, within half a point
    assert!((sheet.width_mm - 210.0).abs() < 0.2 && (sheet.height_mm - 297.0).abs() < 0.2);
    assert!(sheet.grey, "the kit needs no colour");
    assert_eq!(
        sheet.in_the_margin(MARGIN_MM),
        footers(sheet),
        "words in the margin"
    );
    assert_eq!(sheet.on_one_another(), [] as [&str; 0]);
}

fn holds_everything(sheet: &Sheet, open: &[Value], shelf: &[Value], codes: &[String]) {
    for job in open.iter().chain(shelf) {
        says(sheet, job);
    }
    assert_eq!(codes.len(), BLANK_ROWS);
    for code in codes {
        assert!(sheet.text.contains(code.as_str()), "{code}");
    }
    // a long name breaks at its hyphens and spaces, and between signs that stand without any
    let whole = |text: &str| text.split_whitespace().collect::<String>();
    assert!(whole(&sheet.text).contains(&whole(LONG_NAME)), "{}", sheet.text);
    // the slot of the shelf, matches with their courts, the day after, heads and states in whole words
    for words in [
        "B4",
        CONTACT,
        "25 kg (55.1 lb)",
        "M12 Court 1",
        "M5 Court 2",
        "Sun 11:00",
        "Ready by",
        "Started",
        "Strung",
        "checking, tied off",
        "Taken in on paper",
    ] {
        assert!(sheet.text.contains(words), "{words} in {}", sheet.text);
    }
}

/// A racket whose owner fills a narrow cell, for the day after.
async fn long_named(tournament: &Tournament) {
    let admin = &tournament.admin;
    let player = json!({"name": {"display": LONG_NAME}, "contact": CONTACT});
    let player = admin.create("/v1/players", player).await;
    let racket = json!({"player_id": player, "frame_id": tournament.id("F1"), "number": "1",
                        "marks": ["three dots", "white grip", "red tape"]});
    let racket = admin.create("/v1/rackets", racket).await;
    let side = |string: &str| json!({"string": {"string_id": tournament.id(string)}, "tension": {"value": "25", "unit": "kg"}});
    let order = json!({"racket_id": racket, "spec": {"pieces": "two", "mains": side("SA"), "crosses": side("SB")},
                       "due_at": "2026-05-03T09:00:00Z", "condition": {"ok": true}});
    admin.create("/v1/jobs", order).await;
}

async fn jobs_in(screen: &Screen, states: &str) -> Vec<Value> {
    let (status, jobs) = screen
        .call("GET", &format!("/v1/jobs?state={states}&limit=200"), Value::Null)
        .await;
    assert_eq!(status, 200, "{jobs}");
    jobs["items"].as_array().expect("jobs").clone()
}

async fn blank_codes(screen: &Screen) -> Vec<String> {
    let codes = "return [...document.querySelectorAll('table.blank td.code')].map(one => one.textContent)";
    let codes = screen.run(codes, json!([])).await;
    let codes = codes.as_array().expect("codes").iter().filter_map(Value::as_str);
    codes.map(str::to_owned).collect()
}

/// The file that the program wrote when it began.
fn kept(program: &Program) -> PathBuf {
    let began = std::time::Instant::now();
    loop {
        let files = std::fs::read_dir(program.folder()).expect("the data folder");
        let kit = files.flatten().map(|file| file.path()).find(|file| {
            let name = file
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            name.starts_with("paper-kit-") && name.ends_with(".html")
        });
        if let Some(kit) = kit {
            let copy = std::env::temp_dir().join(format!("printed-{}.html", std::process::id()));
            std::fs::copy(&kit, &copy).expect("the kit is copied");
            return copy;
        }
        assert!(
            began.elapsed().as_secs() < 10,
            "no paper kit in {}",
            program.folder().display()
        );
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
}

/// "1 / 4" at the foot of each page stands in the margin, as it should.
fn footers(sheet: &Sheet) -> Vec<String> {
    let all = sheet.pages.to_string();
    (1..=sheet.pages)
        .flat_map(|page| [page.to_string(), "/".to_owned(), all.clone()])
        .collect()
}

/// The job's code, and what is asked of it as long as it is not strung.
fn says(sheet: &Sheet, job: &Value) {
    let tension = |half: &str| {
        let tension = &job["spec"][half]["tension"];
        let text = |member: &str| tension[member].as_str().expect("a tension").to_owned();
        format!("{} {}", text("value"), text("unit"))
    };
    let mut wanted = vec![job["tag_code"].as_str().expect("a code").to_owned()];
    if job["state"] != "ready" {
        wanted.extend([tension("mains"), tension("crosses")]);
    }
    for words in wanted {
        assert!(sheet.text.contains(&words), "{words} in {}", sheet.text);
    }
}
