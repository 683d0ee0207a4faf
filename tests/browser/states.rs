//! Every screen with nothing in it, refused, without network, and as eyes see it that tell colours badly.
use serde_json::json;

use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::cable::Cable;
use crate::chromium::{LAPTOP, TABLET, WALL};
use crate::program::Program;
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};
use crate::{dev_tools, eyes, keyboard_walk, page_rules};

/// Where nothing is yet, and words that tell what will be there or how it begins.
const EMPTY: [(&str, &str, &str); 14] = [
    ("setup", "/setup", "Not yet started"),
    (
        "hand-in",
        "/hand-in",
        "No rackets in. Scan or find the first one.",
    ),
    ("hand-in-nobody", "/hand-in?q=nobody", "Nothing found"),
    ("next-up", "/next-up", "No station yet."),
    ("hand-out", "/hand-out", "Nothing on the shelf."),
    ("snags", "/snags", "Nothing waits for a decision."),
    ("court-call", "/court-call", "No runs."),
    ("catch-up", "/catch-up", "Nothing to catch up."),
    ("floor", "/floor", "No station yet."),
    ("stock", "/stock", "Book in the first reel."),
    ("court-times", "/court-times", "Add the first match."),
    ("tomorrow", "/tomorrow", "No order of play yet."),
    ("wall-room", "/wall?for=room", "No rackets in yet."),
    ("wall-counter", "/wall?for=counter", "Nothing here."),
];

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_with_nothing_in_it_says_what_will_be_there_and_keeps_the_rules() {
    let mut broken = before_the_first_account().await;
    let tournament = Tournament::founded().await;
    let screen = &tournament.admin;
    for (name, path, words) in EMPTY {
        screen.open(path).await;
        screen.reads("main", words).await;
        screen.chromium.resize(LAPTOP).await;
        screen.picture(&format!("empty-{name}-laptop")).await;
        broken.extend(page_rules::broken(screen, &format!("empty {name}")).await);
    }
    let player = json!({"name": {"display": "Example Z"}});
    let player = screen.create("/v1/players", player).await;
    let (_, link) = screen
        .call("POST", &format!("/v1/players/{player}/link"), json!({}))
        .await;
    screen.open(link["path"].as_str().expect("a path")).await;
    screen.reads("main", "No rackets with us now.").await;
    broken.extend(page_rules::broken(screen, "empty your-rackets").await);
    tournament.admin.close().await;
    assert_none(&broken);
}

/// The page behind the one-time link, while nobody has an account.
async fn before_the_first_account() -> Vec<String> {
    let mut program = Program::serve();
    let screen = Screen::of_size(&program.base, LAPTOP).await;
    screen.open(&program.set_up_link()).await;
    screen.reads("main", "Start the desk").await;
    screen.picture("set-up-laptop").await;
    let mut broken = keyboard_walk::broken(&screen, "set-up").await;
    broken.extend(page_rules::broken(&screen, "set-up").await);
    screen.close().await;
    broken
}

/// Sends the form without the browser's own checks, as a browser without them would.
const SEND: &str = "const form = document.querySelector(arguments[0]); form.noValidate = true; \
    for (const [css, text] of arguments[1]) form.querySelector(css).value = text; \
    form.requestSubmit(form.querySelector('button[type=submit]')); return true";
/// The summary stands on top, has the focus, and its links lead to fields that say the same.
const TOLD: &str = "const box = document.querySelector('.problem'); \
    const links = [...box.querySelectorAll('a[href^=\"#\"]')].map(one => one.hash.slice(1)); \
    return [document.activeElement === box || box.contains(document.activeElement), \
            links.filter(id => document.getElementById(id) === null && document.getElementsByName(id).length === 0), \
            document.title]";

/// A form that is refused: the name of its pictures, where it is, which it is, and what is written into it.
struct WrongForm {
    name: &'static str,
    path: String,
    form: &'static str,
    written: &'static [(&'static str, &'static str)],
}

fn wrong_forms(day: &BusyDay) -> Vec<WrongForm> {
    let form = |name, path: &str, form, written| WrongForm {
        name,
        path: path.to_owned(),
        form,
        written,
    };
    let of_player = format!("player={}", day.player);
    vec![
        form(
            "court-call",
            &format!("/court-call?{of_player}"),
            "form[method=post][action='/court-call']",
            &[],
        ),
        form("setup", "/setup", "#form-stringer form", &[]),
        form(
            "hand-in",
            &format!("/hand-in?{of_player}&mode=new"),
            "form[method=post][action='/hand-in']",
            &[],
        ),
        form("check", &format!("/check/{}", day.checking), "form.check", &[]),
        form("hand-out", &format!("/hand-out?{of_player}"), "#give-out", &[]),
        form("stock", "/stock", "#receive form", &[]),
        form("court-times", "/court-times", "form:has(textarea)", &[]),
        form(
            "court-times-stop",
            "/court-times",
            "form[action='/court-times/courts']",
            &[("#from", "later")],
        ),
        form(
            "floor",
            "/floor",
            "form:has(#stop-until)",
            &[("#stop-until", "later")],
        ),
        form(
            "tomorrow",
            &format!("/tomorrow?day={NEXT_DAY}"),
            "#publish form",
            &[("#to-0", "later")],
        ),
    ]
}

#[tokio::test(flavor = "multi_thread")]
async fn every_refusal_stands_on_top_with_the_focus_and_keeps_the_rules() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let screen = &tournament.admin;
    let mut broken = Vec::new();
    for sent in wrong_forms(&day) {
        screen.chromium.resize(LAPTOP).await;
        screen.open(&sent.path).await;
        screen.run(SEND, json!([sent.form, sent.written])).await;
        broken.extend(refused(screen, sent.name).await);
    }
    let stranger = tournament.stranger(LAPTOP).await;
    stranger.open("/sign-in").await;
    stranger.fill("#login", "desk").await;
    stranger.fill("#password", &format!("not {PASSWORD}")).await;
    stranger
        .click("form[action='/sign-in'] button[type=submit]")
        .await;
    broken.extend(refused(&stranger, "sign-in").await);
    stranger.close().await;
    tournament.admin.close().await;
    assert_none(&broken);
}

async fn refused(screen: &Screen, name: &str) -> Vec<String> {
    screen.appears(".problem").await;
    let told = screen.run(TOLD, json!([])).await;
    let mut broken = Vec::new();
    if told[0] != true {
        broken.push(format!("{name}, refused: the focus is elsewhere"));
    }
    if told[1] != json!([]) {
        broken.push(format!("{name}, refused: links to nothing: {}", told[1]));
    }
    if !told[2].as_str().is_some_and(|title| title.starts_with("Problem")) {
        broken.push(format!("{name}, refused: the title is {}", told[2]));
    }
    screen.picture(&format!("refused-{name}-laptop")).await;
    broken.extend(page_rules::broken(screen, &format!("{name}, refused")).await);
    broken
}

#[tokio::test(flavor = "multi_thread")]
async fn every_kept_screen_without_network_says_so_and_keeps_the_rules() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let mut cable = Cable::to(tournament.base()).await;
    let screen = tournament.screen_at(&cable.base(), "coordinator", TABLET).await;
    let kept = [
        "/hand-in".to_owned(),
        "/hand-out".to_owned(),
        "/snags".to_owned(),
        format!("/next-up?station={}", day.idle_station),
        format!("/plan/{}", day.machine),
        format!("/check/{}", day.checking),
        "/wall?for=room".to_owned(),
    ];
    let in_cache = "return caches.open('pages').then(pages => pages.match(arguments[0])).then(page => page !== undefined)";
    // the first visit brings the service worker, the second goes by it
    for path in kept.iter().chain(&kept) {
        screen.open(path).await;
        screen
            .until("the service worker", "return navigator.serviceWorker.ready.then(() => navigator.serviceWorker.controller !== null)", json!([]))
            .await;
    }
    for path in &kept {
        screen
            .until(&format!("{path} is kept"), in_cache, json!([path]))
            .await;
    }
    cable.pull().await;
    let mut broken = Vec::new();
    for (place, path) in kept.iter().enumerate() {
        screen.chromium.resize(TABLET).await;
        screen.open(path).await;
        screen.reads("body", "Working offline since").await;
        screen.picture(&format!("offline-{place}-tablet")).await;
        broken.extend(page_rules::broken(&screen, &format!("{path}, without network")).await);
    }
    broken.extend(what_is_not_kept_says_where_to_go_on(&screen, &day).await);
    screen.close().await;
    tournament.admin.close().await;
    assert_none(&broken);
}

/// Screens that decide with the desk's own data need the network; they say so, and which screens go on.
async fn what_is_not_kept_says_where_to_go_on(screen: &Screen, day: &BusyDay) -> Vec<String> {
    let mut broken = Vec::new();
    for path in [
        "/court-times".to_owned(),
        "/floor".to_owned(),
        "/tomorrow".to_owned(),
        "/stock".to_owned(),
        "/setup".to_owned(),
        "/catch-up".to_owned(),
        "/court-call".to_owned(),
        format!("/rackets/{}", day.told_racket),
    ] {
        screen.open(&path).await;
        screen.reads("main", "No network").await;
        screen.reads("main a[href='/next-up']", "Next Up").await;
        if path == "/court-times" {
            broken.extend(page_rules::broken(screen, "a page that was not kept").await);
        }
    }
    broken
}

#[tokio::test(flavor = "multi_thread")]
async fn what_colours_say_is_said_by_glyph_and_word_too_and_grey_and_forced_colours_keep_it() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let screen = &tournament.admin;
    let mut broken = Vec::new();
    let pages = [
        (
            "counter",
            "/styleguide?place=counter&surface=day".to_owned(),
            LAPTOP,
        ),
        ("bench", "/styleguide?place=bench&surface=day".to_owned(), TABLET),
        ("wall", "/styleguide?place=wall&surface=night".to_owned(), WALL),
        (
            "paper",
            "/styleguide?place=counter&surface=paper".to_owned(),
            LAPTOP,
        ),
        ("wall-room", "/wall?for=room".to_owned(), WALL),
        ("floor", "/floor".to_owned(), LAPTOP),
        ("hand-in", "/hand-in".to_owned(), LAPTOP),
        ("plan", format!("/plan/{}", day.machine), TABLET),
    ];
    for (name, path, size) in pages {
        screen.chromium.resize(size).await;
        screen.open(&path).await;
        broken.extend(eyes::broken(screen, name).await);
        broken.extend(page_rules::broken(screen, &format!("{name}, as it is")).await);
        screen.open(&path).await;
        // the colours are the reader's own now: what is said has to stand in words and glyphs
        for forced in ["active", "none"] {
            let media = json!({"features": [{"name": "forced-colors", "value": forced}]});
            dev_tools::command(screen.client(), "Emulation.setEmulatedMedia", media).await;
            if forced == "active" {
                screen.chromium.resize(size).await;
                screen.picture(&format!("forced-colours-{name}")).await;
                broken.extend(eyes::by_hue_alone(screen, name).await);
            }
        }
    }
    tournament.admin.close().await;
    assert_none(&broken);
}

fn assert_none(broken: &[String]) {
    assert!(
        broken.is_empty(),
        "{} broken rules:\n{}",
        broken.len(),
        broken.join("\n")
    );
}
