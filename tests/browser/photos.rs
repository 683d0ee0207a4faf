//! A photo of a mark is chosen at Hand In and seen wherever two rackets could be mixed up.
use std::path::Path;

use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::cable::Cable;
use crate::chromium::{LAPTOP, TABLET};
use crate::counter_without_network::ready_to_go_on_alone;
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// Every photo that is shown has arrived, and there are so many.
const ALL_LOADED: &str = "const all = [...document.querySelectorAll(`${arguments[0]} .photo img`)]; \
    return all.length === arguments[1] && all.every(one => one.complete && one.naturalWidth > 0)";

/// Chooses a file as the camera of a tablet would hand it over.
pub(crate) async fn choose_photo(screen: &Screen, css: &str) {
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photos/crack.jpg");
    let field = screen.find(css).await;
    let path = photo.to_str().expect("a path in UTF-8");
    field.send_keys(path).await.expect("the field takes a file");
}

pub(crate) async fn shows(screen: &Screen, place: &str, photos: usize) {
    // a photo below the fold is fetched when it comes into sight
    let into_sight = "document.querySelector(`${arguments[0]} .photo`)?.scrollIntoView()";
    screen.appears(&format!("{place} .photo img")).await;
    screen.run(into_sight, json!([place])).await;
    screen
        .until("every photo", ALL_LOADED, json!([place, photos]))
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_photo_of_damage_is_seen_at_hand_out_at_the_bench_and_in_the_story() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let desk = tournament.screen("desk", TABLET).await;
    take_in_with_damage(&desk, &day.returning_player).await;
    let code = desk.text(".taken .tag-code").await;

    desk.open(&format!("/hand-out?player={}", day.returning_player))
        .await;
    shows(&desk, ".shelf", 1).await;
    desk.picture("hand-out-photo-tablet").await;
    desk.open(&format!("/rackets/{}", day.returning_racket)).await;
    shows(&desk, ".story", 1).await;
    desk.reads(".story", "Photo kept").await;
    choose_photo(&desk, "#photo").await;
    desk.tap("Add the photo").await;
    desk.arrived_at(&format!("/rackets/{}", day.returning_racket))
        .await;
    shows(&desk, "#photos", 2).await;
    desk.picture("story-photo-tablet").await;

    // another racket's tag at the bench
    let bench = tournament.screen("coordinator", TABLET).await;
    let station = format!("/next-up?station={}", day.idle_station);
    bench.open(&station).await;
    bench.tap("Take this job").await;
    bench
        .fill("#tag_code", &another_tag(&tournament, &bench, &code).await)
        .await;
    bench.click("input[name=strings_by_name] + span").await;
    bench.tap("Start").await;
    bench.reads("#mixed-up-title", "compare them").await;
    bench.picture("next-up-mixed-up-tablet").await;

    let mut broken = page_rules::broken(&bench, "next-up-mixed-up").await;
    for (name, path) in [
        ("story", format!("/rackets/{}", day.returning_racket)),
        ("hand-out", format!("/hand-out?player={}", day.returning_player)),
    ] {
        desk.chromium.resize(LAPTOP).await;
        desk.open(&path).await;
        broken.extend(page_rules::broken(&desk, name).await);
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    for screen in [desk, bench, tournament.admin] {
        screen.close().await;
    }
}

/// A returning player's racket with a damaged throat comes in the same again, photographed.
async fn take_in_with_damage(desk: &Screen, player: &str) {
    desk.open(&format!("/hand-in?player={player}")).await;
    desk.tap("Damage seen").await;
    // the places open by themselves
    desk.click("input[name=line_1_damage][value=throat] + span").await;
    choose_photo(desk, "#line_1_photo").await;
    desk.picture("hand-in-photo-tablet").await;
    desk.tap("Same again").await;
    desk.arrived_at("/hand-in?taken").await;
    shows(desk, ".taken", 1).await;
}

/// The tag with a photo, unless that is the job's own: then another one's.
async fn another_tag(tournament: &Tournament, bench: &Screen, with_photo: &str) -> String {
    if bench.text("#next-title .code").await != with_photo {
        return with_photo.to_owned();
    }
    let (_, jobs) = tournament.admin.call("GET", "/v1/jobs", Value::Null).await;
    let jobs = jobs["items"].as_array().expect("jobs").iter();
    let mut codes = jobs.filter_map(|job| job["tag_code"].as_str());
    let other = codes.find(|code| *code != with_photo);
    other.expect("another racket").to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn without_network_the_photo_is_off_with_a_word_and_the_racket_is_taken_in_all_the_same() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let mut cable = Cable::to(tournament.base()).await;
    let desk = tournament.screen_at(&cable.base(), "desk", TABLET).await;
    let card = format!("/hand-in?player={}", day.returning_player);
    desk.open("/hand-in").await;
    desk.open(&card).await;
    ready_to_go_on_alone(&desk, &card, "Same again").await;
    // chosen before anybody knew that the network is gone
    choose_photo(&desk, "#line_1_photo").await;
    cable.pull().await;
    desk.tap("Same again").await;
    desk.arrived_at("/hand-in?photo_later").await;
    desk.reads("#counter-waits", "its photo was not kept").await;
    let code = desk.text("#counter-waits .tag-code").await;

    desk.open(&card).await;
    desk.reads("[data-photos]", "Off without network").await;
    let off = "return document.querySelector('#line_1_photo').disabled";
    desk.until("the field off", off, json!([])).await;
    desk.picture("hand-in-photo-offline-tablet").await;
    cable.plug_in().await;
    desk.disappears("[data-waiting-band]").await;
    let path = format!("/v1/jobs/by-code/{code}");
    let (status, job) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(status, 200, "{job}");
    let path = format!("/v1/rackets/{}/photos", day.returning_racket);
    let (_, photos) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(photos["items"], json!([]));
    desk.close().await;
    tournament.admin.close().await;
}
