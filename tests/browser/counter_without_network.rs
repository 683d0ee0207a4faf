//! The counter goes on when the network is gone: rackets come with codes kept for this device and leave
//! against proof, and all of it is on record once when the network is back.
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::cable::Cable;
use crate::chromium::TABLET;
use crate::screen::Screen;
use crate::tournament::Tournament;

/// A counter in the middle of its day, at the end of a cable that can be pulled.
struct Counter {
    tournament: Tournament,
    day: BusyDay,
    cable: Cable,
    desk: Screen,
}

impl Counter {
    async fn open() -> Self {
        let tournament = Tournament::start().await;
        let day = BusyDay::of(&tournament).await;
        let cable = Cable::to(tournament.base()).await;
        let desk = tournament.screen_at(&cable.base(), "desk", TABLET).await;
        Self {
            tournament,
            day,
            cable,
            desk,
        }
    }
}

const KEPT: &str = "return caches.open('pages').then(pages => pages.match(arguments[0])) \
                    .then(page => page?.text()).then(text => text?.includes(arguments[1]) ?? false)";

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_taken_in_without_network_keeps_its_code_and_is_on_record_once() {
    let Counter {
        tournament,
        day,
        mut cable,
        desk,
    } = Counter::open().await;
    alone_with_the_card(&desk, &mut cable, &day).await;
    desk.open("/hand-in?q=sample").await;
    desk.reads("#counter-waits", "Working without network").await;
    desk.click("#counter-waits .hits a").await;
    desk.tap("Same again").await;
    desk.arrived_at("/hand-in?waits").await;
    desk.reads("#counter-waits", "Write this code on the tag.").await;
    let code = desk.text("#counter-waits .tag-code").await;
    // the page survives a reload, and the day's next racket is not lost in it
    desk.open("/hand-in").await;
    desk.reads("#counter-waits .tag-code", &code).await;
    desk.reads("[data-waiting-band]", "1 change waiting").await;
    desk.picture("hand-in-offline-tablet").await;

    cable.plug_in().await;
    desk.disappears("[data-waiting-band]").await;
    let path = format!("/v1/jobs/by-code/{code}");
    let (status, job) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(status, 200, "{job}");
    assert_eq!(job["racket"]["id"], day.returning_racket.as_str(), "{job}");
    let received = events(&tournament.admin, "weftdesk.job.received", text(&job, "id")).await;
    assert_eq!(received.len(), 1, "{received:?}");
    assert!(
        text(&received[0], "devicetime") < text(&received[0], "time"),
        "{received:?}"
    );
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_taken_in_elsewhere_meanwhile_is_put_before_a_person() {
    let Counter {
        tournament,
        day,
        mut cable,
        desk,
    } = Counter::open().await;
    let card = alone_with_the_card(&desk, &mut cable, &day).await;
    tournament
        .take_in(&tournament.admin, "P4/1", ("22", "22", "kg"))
        .await;
    desk.open(&card).await;
    desk.tap("Same again").await;
    desk.reads("#counter-waits", "Write this code on the tag.").await;
    cable.plug_in().await;
    desk.reads("#disputed", "Here: Same again").await;
    desk.reads("#disputed", "already in as").await;
    desk.picture("hand-in-disputed-tablet").await;
    desk.tap("Leave it as the desk has it").await;
    desk.disappears("#disputed").await;
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_given_out_without_network_is_out_once_with_the_time_of_the_device() {
    let Counter {
        tournament,
        day,
        mut cable,
        desk,
    } = Counter::open().await;
    give_out_alone(&tournament, &desk, &mut cable, &day).await;

    cable.plug_in().await;
    desk.disappears("[data-waiting-band]").await;
    let out = events(&tournament.admin, "weftdesk.job.out", &day.ready).await;
    assert_eq!(out.len(), 1, "{out:?}");
    assert!(text(&out[0], "devicetime") < text(&out[0], "time"), "{out:?}");
    desk.close().await;
    tournament.admin.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_that_left_elsewhere_meanwhile_is_shown_both_ways() {
    let Counter {
        tournament,
        day,
        mut cable,
        desk,
    } = Counter::open().await;
    give_out_alone(&tournament, &desk, &mut cable, &day).await;
    let job = format!("/v1/jobs/{}", day.ready);
    let (_, before) = tournament.admin.call("GET", &job, Value::Null).await;
    let pickup = json!({"job_ids": [day.ready], "tags": [before["tag_code"]],
                        "proof": {"kind": "ticket", "token": day.link.rsplit('/').next()}});
    tournament.admin.create("/v1/pickups", pickup).await;

    cable.plug_in().await;
    desk.reads("#disputed", "Here: Give out").await;
    desk.reads("#disputed", "The desk:").await;
    desk.picture("hand-out-disputed-tablet").await;
    desk.tap("Leave it as the desk has it").await;
    desk.disappears("#disputed").await;
    let out = events(&tournament.admin, "weftdesk.job.out", &day.ready).await;
    assert_eq!(out.len(), 1, "{out:?}");
    desk.close().await;
    tournament.admin.close().await;
}

/// The card of the player with a racket on the shelf is kept; without network it leaves against the ticket.
async fn give_out_alone(tournament: &Tournament, desk: &Screen, cable: &mut Cable, day: &BusyDay) {
    let card = format!("/hand-out?player={}", day.player);
    desk.open("/hand-out").await;
    desk.until("the card is kept", KEPT, json!([card, "In my hand"]))
        .await;
    cable.pull().await;
    desk.open("/hand-out").await;
    desk.click("#counter-waits .hits a").await;
    desk.click(&format!("input[name=job_id][value={}]", day.ready))
        .await;
    desk.click("input[name=proof][value=ticket]").await;
    desk.fill("#proof_value", &day.link).await;
    desk.tap("Give out").await;
    desk.arrived_at("/hand-out?waits").await;
    desk.reads("#counter-waits", "Give out").await;
    desk.open(&card).await;
    desk.reads(".shelf", "Given out here, waits").await;
    desk.picture("hand-out-offline-tablet").await;
    let out = events(&tournament.admin, "weftdesk.job.out", &day.ready).await;
    assert!(out.is_empty(), "{out:?}");
}

/// Waits until this device has the card and codes of its own, so that the cable can be pulled.
pub(crate) async fn ready_to_go_on_alone(desk: &Screen, card: &str, says: &str) {
    desk.until("the card is kept", KEPT, json!([card, says])).await;
    let codes = "return outbox.fact('codes').then(codes => (codes ?? []).length > 0)";
    desk.until("codes are kept", codes, json!([])).await;
}

/// The card of the returning player is on the device; then the network goes.
async fn alone_with_the_card(desk: &Screen, cable: &mut Cable, day: &BusyDay) -> String {
    let card = format!("/hand-in?player={}", day.returning_player);
    desk.open("/hand-in").await;
    desk.open(&card).await;
    ready_to_go_on_alone(desk, &card, "Same again").await;
    cable.pull().await;
    card
}

async fn events(screen: &Screen, kind: &str, job: &str) -> Vec<Value> {
    let mut found = Vec::new();
    let mut path = "/v1/events?limit=200".to_owned();
    loop {
        let (status, page) = screen.call("GET", &path, Value::Null).await;
        assert_eq!(status, 200, "{page}");
        let items = page["items"].as_array().expect("a list").clone();
        let whole = items.len() < 200;
        found.extend(
            items
                .into_iter()
                .filter(|event| event["type"] == kind && event["subject"] == job),
        );
        if whole {
            return found;
        }
        path = format!("/v1/events?limit=200&after={}", page["after"]);
    }
}

fn text<'a>(value: &'a Value, member: &str) -> &'a str {
    value[member]
        .as_str()
        .unwrap_or_else(|| panic!("{member} of {value}"))
}
