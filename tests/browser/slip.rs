//! P3: the bench slip, from the button at The Plan to two sides of an A6 card.
use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::chromium::{LAPTOP, TABLET};
use crate::printed::Sheet;
use crate::program::Program;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// Front and back of one card.
const SIDES: usize = 2;
/// The margin that the sheet asks for, less what Chromium rounds.
const MARGIN_MM: f64 = 3.6;
/// Less cannot be read at a bench by the light of a lamp. Own choice, no source.
const SMALLEST_PT: f64 = 7.0;
/// The smallest text of the sheet outside the drawing, in points (96 CSS pixels are 72 points).
const SMALLEST: &str = "return Math.min(...[...document.querySelectorAll('main *')].filter(one => !one.closest('figure') \
    && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim())).map(one => parseFloat(getComputedStyle(one).fontSize) * 72 / 96))";
/// Millimetres between what is not known, the cautions or the drawing, and the boxes for times below them.
const ROOM_MM: &str = "const bottoms = [...document.querySelectorAll('.about figure, .about li')].map(one => one.getBoundingClientRect().bottom); \
    return (document.querySelector('.times').getBoundingClientRect().top - Math.max(...bottoms)) / 96 * 25.4";
/// On paper the front is so much lower than on a screen.
const PAPER_LOWER_MM: f64 = 1.0;
/// Asks of the page as printed: how high the drawing is, in millimetres of its own scale.
const DRAWING_MM: &str =
    "return document.querySelector('figure svg').getBoundingClientRect().height / 96 * 25.4";

#[tokio::test(flavor = "multi_thread")]
async fn the_bench_slip_is_one_touch_from_the_plan_and_fits_one_card() {
    let tournament = Tournament::start().await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let id = job["id"].as_str().expect("an id");
    let bench = tournament.screen("stringer", TABLET).await;
    bench.open(&format!("/plan/{id}")).await;
    let href = "return [...document.querySelectorAll('a')].find(one => one.innerText.trim() === 'Print bench slip' && one.checkVisibility()).getAttribute('href')";
    let href = bench.run(href, json!([])).await;
    assert_eq!(href, json!(format!("/jobs/{id}/slip")));
    bench.open(href.as_str().expect("an address")).await;
    bench.appears("html[data-asked-print]").await;
    let slip = fits_one_card(&bench, id, "bench-slip").await;
    let code = job["tag_code"].as_str().expect("a code");
    for words in [
        code,
        "String A",
        "String B",
        "24",
        "23",
        "6.50 m",
        "Mounted",
        "Mains done",
        "Strung",
        "Stringer",
    ] {
        assert!(slip.text.contains(words), "{words} in {}", slip.text);
    }

    // whoever may see no spec gets no slip; the desk finds its button in the racket's story
    let desk = tournament.screen("desk", LAPTOP).await;
    desk.open(&format!("/rackets/{}", tournament.id("P1/1"))).await;
    desk.reads("a.button", "Print bench slip").await;
    for screen in [bench, desk, tournament.admin] {
        screen.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_frame_of_the_demo_has_a_slip_of_one_card() {
    let (program, password) = Program::demo();
    let screen = Screen::of_size(&program.base, LAPTOP).await;
    screen.sign_in("coordinator", &password).await;
    let (status, jobs) = screen.call("GET", "/v1/jobs?limit=200", Value::Null).await;
    assert_eq!(status, 200, "{jobs}");
    let mut by_frame: BTreeMap<String, String> = BTreeMap::new();
    for job in jobs["items"].as_array().expect("jobs") {
        let frame = job["racket"]["frame_name"].as_str().expect("a frame");
        let pieces = job["spec"]["pieces"].as_str().expect("pieces");
        let id = job["id"].as_str().expect("an id").to_owned();
        by_frame.entry(format!("{frame}, {pieces}")).or_insert(id);
    }
    assert!(by_frame.len() >= 3, "{by_frame:?}");
    for (place, (frame, id)) in by_frame.iter().enumerate() {
        screen.open(&format!("/jobs/{id}/slip")).await;
        println!("{frame}:");
        fits_one_card(&screen, id, &format!("bench-slip-demo-{place}")).await;
    }
    screen.close().await;
}

/// Longer than the names of players and strings that are read out at a counter. Own choice, no source.
const LONG_NAME: usize = 60;

#[tokio::test(flavor = "multi_thread")]
async fn long_names_leave_slip_tag_and_ticket_whole() {
    let tournament = Tournament::start().await;
    let admin = &tournament.admin;
    let player = long("Maria-Magdalena Konstantinopolitanska de la Torre y Villanueva ");
    let player = admin
        .create(
            "/v1/players",
            json!({"name": {"display": player}, "country": "JPN"}),
        )
        .await;
    let string = async |name: &str, material: &str| {
        let string = json!({"name": long(name), "gauge_mm": "1.25", "material": material});
        let id = admin.create("/v1/strings", string).await;
        let reel =
            json!({"string_id": id, "kind": "reel_remainder", "length_mm": 200_000, "label_code": material});
        admin.create("/v1/reels", reel).await;
        id
    };
    let poly = string("Polyester Hexagonal Rough Tour Edition ", "polyester").await;
    let gut = string("Natural Gut Thermal Coated Premium Long ", "natural_gut").await;
    // a frame that is measured and one that is not, each with one string and with two
    for (frame, crosses) in [("F1", &poly), ("F1", &gut), ("F4", &poly), ("F4", &gut)] {
        let pieces = if *crosses == poly { "one" } else { "two" };
        let number = format!("{frame} {pieces}");
        let marks = [
            "white grip with three dots",
            "red butt cap",
            "scratch at two o'clock",
        ];
        let racket =
            json!({"player_id": player, "frame_id": tournament.id(frame), "number": number, "marks": marks});
        let racket = admin.create("/v1/rackets", racket).await;
        let order = long_order(&racket, pieces, [&poly, crosses]);
        let (status, job) = admin.call("POST", "/v1/jobs", order).await;
        assert_eq!(status, 201, "{job}");
        let id = job["id"].as_str().expect("an id");
        admin.open(&format!("/jobs/{id}/slip")).await;
        let slip = fits_one_card(admin, id, &format!("bench-slip-long-{frame}-{pieces}")).await;
        // a label of the drawing is written twice: its white rim, then itself
        let mut over = slip.on_one_another();
        over.retain(|words| words.split_once(" on ").is_none_or(|(one, other)| one != other));
        assert_eq!(over, [] as [&str; 0], "{number}");
        names_leave_room(admin, &job, &format!("{frame}-{pieces}")).await;
    }
    tournament.admin.close().await;
}

fn long(words: &str) -> String {
    let letters = words.chars().cycle().take(LONG_NAME).collect::<String>();
    letters.trim().to_owned()
}

/// A wish with all that is said in front of the slip.
fn long_order(racket: &str, pieces: &str, [mains, crosses]: [&str; 2]) -> Value {
    let side = |string: &str, tension: &str| {
        json!({"string": {"string_id": string}, "tension": {"value": tension, "unit": "kg"},
               "pre_stretch": {"how": "by_machine", "percent": 10}})
    };
    let stencil =
        json!({"mark": long("Letters of a sponsor in a circle "), "colour": "black", "both_sides": true});
    json!({"racket_id": racket, "due_at": "2026-05-02T12:00:00Z", "condition": {"ok": true},
           "spec": {"pieces": pieces, "mains": side(mains, "24"), "crosses": side(crosses, "23"),
                    "stencil": stencil, "knot_extra": {"value": "2", "unit": "kg"}}})
}

/// Tag and ticket of a job with long names: one page each, with every pull on it.
async fn names_leave_room(admin: &Screen, job: &Value, frame: &str) {
    let [id, code] = ["id", "tag_code"].map(|member| job[member].as_str().expect("a text"));
    for (paper, margin_mm) in [("tag", 1.0), ("ticket", MARGIN_MM)] {
        admin.open(&format!("/jobs/{id}/{paper}")).await;
        let sheet = Sheet::of(admin, &format!("{paper}-long-{frame}")).await;
        assert_eq!(sheet.pages, 1, "{paper}");
        let mut cut_off = sheet.in_the_margin(margin_mm);
        // the box round the large code is higher than its letters
        cut_off.retain(|word| word != code);
        assert_eq!(cut_off, [] as [&str; 0], "{paper}");
        assert_eq!(sheet.on_one_another(), [] as [&str; 0], "{paper}");
        for pull in ["M 24 kg (52.9 lb)", "C 23 kg (50.7 lb)"] {
            assert!(sheet.text.contains(pull), "{paper}: {pull} in {}", sheet.text);
        }
    }
}

/// Two sides, nothing cut off or left out, large enough, without colour.
async fn fits_one_card(screen: &Screen, job: &str, name: &str) -> Sheet {
    let slip = Sheet::of(screen, name).await;
    let (_, plan) = screen
        .call("GET", &format!("/v1/jobs/{job}/plan"), Value::Null)
        .await;
    let smallest_pt = screen.run(SMALLEST, json!([])).await.as_f64().expect("points");
    let drawing_mm = screen.run(DRAWING_MM, json!([])).await;
    println!(
        "{} sides, smallest text {smallest_pt:.1} pt, drawing {drawing_mm} mm",
        slip.pages
    );
    let room_mm = screen
        .run(ROOM_MM, json!([]))
        .await
        .as_f64()
        .expect("millimetres");
    assert!(
        room_mm > PAPER_LOWER_MM,
        "{name}: {room_mm} mm of room above the times"
    );
    // A6 of ISO 216, within half a point
    assert!((slip.width_mm - 105.0).abs() < 0.2 && (slip.height_mm - 148.0).abs() < 0.2);
    assert_eq!((slip.pages, slip.grey), (SIDES, true), "{name}");
    assert_eq!(
        slip.in_the_margin(MARGIN_MM),
        [] as [&str; 0],
        "{name}: words in the margin"
    );
    assert!(smallest_pt >= SMALLEST_PT - 0.01, "{name}: {smallest_pt} pt");
    // which side of the card it is
    for page in ["1/2", "2/2"] {
        assert!(slip.text.contains(page), "{name}: {page} in {}", slip.text);
    }
    // a line may end at a hyphen
    let whole = |text: &str| text.replace("- ", "-");
    let text = whole(&slip.text);
    let said = |words: &str| assert!(text.contains(&whole(words)), "{name}: {words} in {text}");
    for part in ["cautions", "unknowns"] {
        for one in plan[part].as_array().expect("a list") {
            // what is said of several things in the same words may be said of them together
            let text = one["text"].as_str().expect("words");
            text.split(": ").for_each(said);
        }
    }
    let steps = plan["steps"].as_array().expect("steps");
    // whatever is drawn together, the last steps stand by themselves and with their numbers
    for step in &steps[steps.len() - 3..] {
        said(&format!(
            "{} {}",
            step["number"],
            step["text"].as_str().expect("words")
        ));
    }
    for cut in plan["cuts"].as_array().expect("cuts") {
        let at_least_mm = cut["at_least_mm"].as_f64().expect("a length");
        said(&format!("{:.2} m", at_least_mm / 1000.0));
    }
    slip
}
