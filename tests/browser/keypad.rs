//! Keys of our own for numbers: with gloves at the check, for the PIN on a registered device, and not in the way of
//! a real keyboard.
use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{LAPTOP, SMALL_TABLET, TABLET};
use crate::keys::{key, press, tab, tab_to};
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};

/// 19 mm for a finger in a mitten (MIL-STD-1472E, 5.4.3.1.3.3) at 0.193 mm per pixel, and some.
const KEY_PX: f64 = 104.0;
/// Keys lower than that, and keys that are not in sight.
const KEYS: &str = "const boxes = [...document.querySelectorAll('.keypad button')].filter(one => one.checkVisibility()) \
      .map(one => one.getBoundingClientRect()); \
    return [boxes.length, Math.min(...boxes.map(box => box.height)), Math.min(...boxes.map(box => box.width)), \
      boxes.filter(box => box.top < 0 || box.bottom > innerHeight + 1).length]";
/// The main key of the page is in sight without scrolling.
const MAIN_KEY: &str = "const box = document.querySelector('main .button.primary').getBoundingClientRect(); \
    return scrollY === 0 && box.top >= 0 && box.bottom <= innerHeight + 1";
const MODE_AND_VALUE: &str =
    "const field = document.querySelector(arguments[0]); return [field.inputMode, field.value]";
const FOCUS: &str = "return document.activeElement.id || document.activeElement.value";

/// Taps these keys, one after the other.
async fn tapped(screen: &Screen, signs: &str) {
    for sign in signs.chars() {
        screen.click(&format!(".keypad button[value='{sign}']")).await;
    }
}

async fn says(screen: &Screen, field: &str) -> Value {
    screen.run(MODE_AND_VALUE, json!([field])).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reading_is_given_with_gloves_and_a_real_keyboard_writes_as_ever() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    measured_before(&tournament, &day).await;
    let bench = tournament.screen("stringer", TABLET).await;
    bench.open(&format!("/check/{}", day.checking)).await;
    let keys = bench.run(KEYS, json!([])).await;
    assert_eq!(keys[0], 12, "{keys}");
    for side in [1, 2] {
        assert!(keys[side].as_f64().is_some_and(|px| px >= KEY_PX), "{keys}");
    }
    assert_eq!(keys[3], 0, "all keys are in sight: {keys}");
    assert_eq!(bench.run(MAIN_KEY, json!([])).await, true);

    tapped(&bench, "36.59⌫").await;
    assert_eq!(says(&bench, "#reading").await, json!(["none", "36.5"]));
    assert_eq!(bench.run(FOCUS, json!([])).await, "reading");
    press(&bench, &format!("{}12", char::from(Key::Backspace))).await;
    assert_eq!(says(&bench, "#reading").await, json!(["none", "36.12"]));
    by_keys_alone(&bench).await;
    bench.picture("check-keypad-tablet").await;

    // a laptop has keys of its own
    bench.chromium.resize(LAPTOP).await;
    bench.disappears(".keypad").await;
    let own = "return document.querySelector('#reading').inputMode === 'decimal'";
    bench.until("its own keys again", own, json!([])).await;
    bench.chromium.resize(SMALL_TABLET).await;
    bench.open(&format!("/check/{}", day.checking)).await;
    bench.appears(".keypad").await;
    tapped(&bench, "36.7").await;
    assert_eq!(bench.run(MAIN_KEY, json!([])).await, true);
    bench.picture("check-keypad-small-tablet").await;
    bench.chromium.resize(TABLET).await;
    for point in ["weave_ok", "tie_offs_ok", "grommets_ok"] {
        bench.click(&format!("input[name={point}]")).await;
    }
    bench.tap("Pass to shelf").await;
    // its station has the next racket on the machine
    bench.arrived_at(&format!("/plan/{}", day.machine)).await;
    let (_, events) = tournament
        .admin
        .call("GET", "/v1/events?limit=200", Value::Null)
        .await;
    let events = events["items"].as_array().expect("a list").iter();
    let taken = events.filter(|event| {
        event["type"] == "weftdesk.reading.taken" && event.to_string().contains(&day.checking)
    });
    assert_eq!(taken.count(), 1, "the reading is on record");
    bench.close().await;
    tournament.admin.close().await;
}

/// The racket has a reading, and its instrument is known.
async fn measured_before(tournament: &Tournament, day: &BusyDay) {
    let path = format!("/v1/jobs/{}/readings", day.ready);
    let reading = json!({"value": 37.0, "unit": "DT", "instrument": "Meter 1"});
    tournament.admin.create(&path, reading).await;
}

/// The keys are one stop of the tab key; arrows lead from key to key, and digits may be typed there too.
async fn by_keys_alone(bench: &Screen) {
    tab_to(bench, ".keypad button").await;
    assert_eq!(bench.run(FOCUS, json!([])).await, "1");
    key(bench, Key::Right).await;
    key(bench, Key::Down).await;
    assert_eq!(bench.run(FOCUS, json!([])).await, "5");
    key(bench, Key::Up).await;
    key(bench, Key::Up).await;
    assert_eq!(
        bench.run(FOCUS, json!([])).await,
        "2",
        "there is nothing above it"
    );
    press(bench, &format!("{}", char::from(Key::Backspace)).repeat(2)).await;
    key(bench, Key::Enter).await;
    assert_eq!(says(bench, "#reading").await[1], "36.2");
    press(bench, &format!("{}7", char::from(Key::Backspace))).await;
    assert_eq!(says(bench, "#reading").await[1], "36.7");
    assert_eq!(
        bench.run(FOCUS, json!([])).await,
        "2",
        "the focus stays at the keys"
    );
    tab(bench, 1).await;
    assert_eq!(bench.run(FOCUS, json!([])).await, "slot");
}

/// Of everybody who signs in on the registered device.
const PIN: &str = "4071";

#[tokio::test(flavor = "multi_thread")]
async fn a_registered_tablet_is_signed_in_on_with_gloves() {
    let tournament = Tournament::founded().await;
    let bench = tournament.stranger(TABLET).await;
    registered(&tournament, &bench).await;
    for (name, size) in [("tablet", TABLET), ("small tablet", SMALL_TABLET)] {
        bench.chromium.resize(size).await;
        bench.open("/sign-in").await;
        let keys = bench.run(KEYS, json!([])).await;
        assert!(keys[1].as_f64().is_some_and(|px| px >= KEY_PX), "{keys}");
        assert_eq!((&keys[0], &keys[3]), (&json!(12), &json!(0)), "{keys}");
        assert_eq!(bench.run(MAIN_KEY, json!([])).await, true, "{name}");
    }
    bench.tap("Mia Example").await;
    tapped(&bench, "99").await;
    bench.tap("Clear").await;
    tapped(&bench, "407⌫71").await;
    assert_eq!(says(&bench, "#pin").await, json!(["none", PIN]));
    let shown = bench
        .run("return document.querySelector('#pin').type", json!([]))
        .await;
    assert_eq!(shown, "password", "nobody else reads it");
    bench.tap("Sign in with PIN").await;
    bench.appears("form[action='/sign-out'] button").await;
    bench.reads(".bar-who", "Mia Example").await;
    bench.close().await;
    tournament.admin.close().await;
}

/// Makes this browser a device of the desk on which four stringers sign in by PIN.
pub(crate) async fn registered(tournament: &Tournament, bench: &Screen) {
    for name in ["Ana Example", "Leo Example", "Mia Example", "Tom Example"] {
        let account = json!({"sign_in": name.to_lowercase().replace(' ', "-"), "display_name": name,
                             "role": "stringer", "password": PASSWORD, "pin": PIN});
        tournament.admin.create("/v1/accounts", account).await;
    }
    let device = json!({"name": "Bench 3", "kind": "tablet"});
    let (status, device) = tournament.admin.call("POST", "/v1/devices", device).await;
    assert_eq!(status, 201, "{device}");
    let token = device["token"].as_str().expect("what its link ends with");
    bench.open(&format!("/device/{token}")).await;
    bench.tap("Use this screen").await;
    bench.arrived_at("/sign-in").await;
}
