//! Every main screen in the middle of a day: looked at in four sizes, and held to the rules for everybody's eyes and hands.
use crate::busy_day::{BusyDay, NEXT_DAY};
use crate::chromium::{LAPTOP, PHONE, TABLET, WALL};
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

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
        place("story", &format!("/rackets/{}", day.told_racket)),
        place("wall-room", "/wall?for=room"),
        place("wall-counter", "/wall?for=counter"),
        place("your-rackets", &format!("{}?lang=en", day.link)),
        place("your-rackets-arabic", &format!("{}?lang=ar", day.link)),
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
    let mut broken = Vec::new();
    for place in places(&day) {
        screen.open(&place.path).await;
        pictures(screen, place.name).await;
        broken.extend(page_rules::broken(screen, place.name).await);
    }
    let stranger = tournament.stranger(LAPTOP).await;
    stranger.open("/sign-in").await;
    pictures(&stranger, "sign-in").await;
    broken.extend(page_rules::broken(&stranger, "sign-in").await);
    stranger.close().await;
    tournament.admin.close().await;
    assert!(
        broken.is_empty(),
        "{} broken rules:\n{}",
        broken.len(),
        broken.join("\n")
    );
}

async fn pictures(screen: &Screen, name: &str) {
    for (size_name, size) in SIZES {
        screen.chromium.resize(size).await;
        screen.picture(&format!("{name}-{size_name}")).await;
    }
}
