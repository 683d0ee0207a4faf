//! Every main screen in the middle of a day: looked at in four sizes, and held to the rules for everybody's eyes and hands.
use serde_json::json;

use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::chromium::{LAPTOP, PHONE, TABLET, WALL, ZOOMED};
use crate::screen::Screen;
use crate::tournament::Tournament;
use crate::{bars, eyes, keyboard_walk, keypad, page_rules};

/// One screen: the name of its pictures, whose it is, and where.
struct Place {
    name: &'static str,
    path: String,
}

fn places(day: &BusyDay) -> Vec<Place> {
    let place = |name, path: &str| Place {
        name,
        path: path.to_owned(),
    };
    let of_player = format!("?player={}", day.player);
    vec![
        place("setup", "/setup"),
        place("hand-in", "/hand-in"),
        place("hand-in-found", "/hand-in?q=exam"),
        place("hand-in-new", "/hand-in?mode=new"),
        place(
            "hand-in-returning",
            &format!(
                "/hand-in?player={}&racket={}&mode=same",
                day.returning_player, day.returning_racket
            ),
        ),
        place("hand-in-taken", &format!("/hand-in?taken={}", day.ready)),
        place("next-up", &format!("/next-up?station={}", day.idle_station)),
        place("plan", &format!("/plan/{}", day.machine)),
        place("methods", &format!("/plan/{}/methods", day.machine)),
        place("check", &format!("/check/{}", day.checking)),
        place("court-times", "/court-times"),
        place("snags", "/snags"),
        place("tomorrow", &format!("/tomorrow?day={NEXT_DAY}")),
        place("floor", "/floor"),
        place("floor-job", &format!("/floor?job={}", day.late)),
        place(
            "floor-price",
            &format!("/floor?job={}&do=rush&level=court", day.late),
        ),
        place("hand-out", "/hand-out"),
        place("hand-out-owner", &format!("/hand-out{of_player}")),
        place("court-call", "/court-call"),
        place("court-call-player", &format!("/court-call{of_player}")),
        place("stock", "/stock"),
        place("catch-up", "/catch-up"),
        place("story", &format!("/rackets/{}", day.told_racket)),
        place("change-wish", &format!("/jobs/{}/change", day.machine)),
        place("frame-record", &format!("/frames/{}", day.frame)),
        place("machine-book", &format!("/machines/{}", day.stringing_machine)),
        place("wall-room", "/wall?for=room"),
        place("wall-counter", "/wall?for=counter"),
        place("your-rackets", &format!("{}?lang=en", day.link)),
        place("your-rackets-arabic", &format!("{}?lang=ar", day.link)),
        place("your-rackets-code", &format!("{}?lang=ja&ask=code", day.link)),
        place(
            "your-rackets-delegate",
            &format!("{}?lang=de&ask=delegate", day.link),
        ),
        place("your-rackets-change", &format!("{}?lang=fr&ask=change", day.link)),
        place("no-such-page", "/nowhere"),
    ]
}

const SIZES: [(&str, (u32, u32)); 4] = [
    ("phone", PHONE),
    ("tablet", TABLET),
    ("laptop", LAPTOP),
    ("wall", WALL),
];

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_is_pictured_and_keeps_the_rules_for_everybody() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let screen = &tournament.admin;
    every_writing_has_its_signs(screen).await;
    let mut broken = Vec::new();
    for place in places(&day) {
        screen.open(&place.path).await;
        broken.extend(look(screen, place.name).await);
    }
    let stranger = tournament.stranger(LAPTOP).await;
    stranger.open("/sign-in").await;
    broken.extend(look(&stranger, "sign-in").await);
    keypad::registered(&tournament, &stranger).await;
    broken.extend(look(&stranger, "sign-in-device").await);
    stranger.close().await;
    tournament.admin.close().await;
    assert!(
        broken.is_empty(),
        "{} broken rules:\n{}",
        broken.len(),
        broken.join("\n")
    );
}

/// Pictures of the open page in all sizes, and what is wrong for somebody's eyes or hands.
async fn look(screen: &Screen, name: &str) -> Vec<String> {
    for (size_name, size) in SIZES {
        screen.chromium.resize(size).await;
        screen.picture(&format!("{name}-{size_name}")).await;
    }
    screen.chromium.resize(LAPTOP).await;
    let mut broken = eyes::broken(screen, name).await;
    broken.extend(bars::broken(screen, name).await);
    screen.chromium.resize(LAPTOP).await;
    for size in [LAPTOP, ZOOMED] {
        screen.chromium.resize(size).await;
        broken.extend(keyboard_walk::broken(screen, name).await);
    }
    broken.extend(page_rules::broken(screen, name).await);
    broken
}

/// Two signs of each writing that the desk speaks look unlike each other: without a font both are the same empty box.
const SIGNS: &str = "const draw = sign => { const sheet = new OffscreenCanvas(48, 48).getContext('2d'); \
      sheet.font = '32px sans-serif'; sheet.fillText(sign, 4, 38); return sheet.getImageData(0, 0, 48, 48).data.join(); }; \
    return ['日本', '简体', '한국', 'عر'].filter(pair => draw(pair[0]) === draw(pair[1]))";

async fn every_writing_has_its_signs(screen: &Screen) {
    let boxes = screen.run(SIGNS, json!([])).await;
    assert_eq!(boxes, json!([]), "no font has these; tests/run installs one");
}
