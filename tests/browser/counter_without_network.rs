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

    async fn close(self) {
        self.desk.close().await;
        self.tournament.admin.close().await;
    }

    /// The card of the returning player is on the device; then the network goes.
    async fn alone_with_the_card(&mut self) -> String {
        let desk = &self.desk;
        let card = format!("/hand-in?player={}", self.day.returning_player);
        desk.open("/hand-in").await;
        desk.open(&card).await;
        ready_to_go_on_alone(desk, &card, "Same again").await;
        self.cable.pull().await;
        card
    }

    /// The card of the player with a racket on the shelf is kept; without network it leaves against the ticket.
    async fn give_out_alone(&mut self) {
        let (desk, day) = (&self.desk, &self.day);
        let card = format!("/hand-out?player={}", day.player);
        desk.open("/hand-out").await;
        desk.until("the card is kept", KEPT, json!([card, "In my hand"]))
            .await;
        self.cable.pull().await;
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
        let out = events(&self.tournament.admin, "weftdesk.job.out", &day.ready).await;
        assert!(out.is_empty(), "{out:?}");
    }
}

const KEPT: &str = "return caches.open('pages').then(pages => pages.match(arguments[0])) \
                    .then(page => page?.text()).then(text => text?.includes(arguments[1]) ?? false)";

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_taken_in_without_network_keeps_its_code_and_is_on_record_once() {
    let mut counter = Counter::open().await;
    counter.alone_with_the_card().await;
    counter.desk.open("/hand-in?q=sample").await;
    counter
        .desk
        .reads("#counter-waits", "Working without network")
        .await;
    counter.desk.click("#counter-waits .hits a").await;
    counter.desk.tap("Same again").await;
    counter.desk.arrived_at("/hand-in?waits").await;
    counter
        .desk
        .reads("#counter-waits", "Write this code on the tag.")
        .await;
    let code = counter.desk.text("#counter-waits .tag-code").await;
    // the page survives a reload, and the day's next racket is not lost in it
    counter.desk.open("/hand-in").await;
    counter.desk.reads("#counter-waits .tag-code", &code).await;
    counter
        .desk
        .reads("[data-waiting-band]", "1 change waiting")
        .await;
    counter.desk.picture("hand-in-offline-tablet").await;

    counter.cable.plug_in().await;
    counter.desk.disappears("[data-waiting-band]").await;
    let path = format!("/v1/jobs/by-code/{code}");
    let (status, job) = counter.tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(status, 200, "{job}");
    assert_eq!(
        job["racket"]["id"],
        counter.day.returning_racket.as_str(),
        "{job}"
    );
    let received = events(
        &counter.tournament.admin,
        "weftdesk.job.received",
        text(&job, "id"),
    )
    .await;
    assert_eq!(received.len(), 1, "{received:?}");
    assert!(
        text(&received[0], "devicetime") < text(&received[0], "time"),
        "{received:?}"
    );
    counter.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_taken_in_elsewhere_meanwhile_is_put_before_a_person() {
    let mut counter = Counter::open().await;
    let card = counter.alone_with_the_card().await;
    counter
        .tournament
        .take_in(&counter.tournament.admin, "P4/1", ("22", "22", "kg"))
        .await;
    counter.desk.open(&card).await;
    counter.desk.tap("Same again").await;
    counter
        .desk
        .reads("#counter-waits", "Write this code on the tag.")
        .await;
    counter.cable.plug_in().await;
    counter.desk.reads("#disputed", "Here: Same again").await;
    counter.desk.reads("#disputed", "already in as").await;
    counter.desk.picture("hand-in-disputed-tablet").await;
    counter.desk.tap("Leave it as the desk has it").await;
    counter.desk.disappears("#disputed").await;
    counter.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_given_out_without_network_is_out_once_with_the_time_of_the_device() {
    let mut counter = Counter::open().await;
    counter.give_out_alone().await;

    counter.cable.plug_in().await;
    counter.desk.disappears("[data-waiting-band]").await;
    let out = events(&counter.tournament.admin, "weftdesk.job.out", &counter.day.ready).await;
    assert_eq!(out.len(), 1, "{out:?}");
    assert!(text(&out[0], "devicetime") < text(&out[0], "time"), "{out:?}");
    counter.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn d17_a_racket_that_left_elsewhere_meanwhile_is_shown_both_ways() {
    let mut counter = Counter::open().await;
    counter.give_out_alone().await;
    let job = format!("/v1/jobs/{}", counter.day.ready);
    let (_, before) = counter.tournament.admin.call("GET", &job, Value::Null).await;
    let pickup = json!({"job_ids": [counter.day.ready], "tags": [before["tag_code"]],
                        "proof": {"kind": "ticket", "token": counter.day.link.rsplit('/').next()}});
    counter.tournament.admin.create("/v1/pickups", pickup).await;

    counter.cable.plug_in().await;
    counter.desk.reads("#disputed", "Here: Give out").await;
    counter.desk.reads("#disputed", "The desk:").await;
    counter.desk.picture("hand-out-disputed-tablet").await;
    counter.desk.tap("Leave it as the desk has it").await;
    counter.desk.disappears("#disputed").await;
    let out = events(&counter.tournament.admin, "weftdesk.job.out", &counter.day.ready).await;
    assert_eq!(out.len(), 1, "{out:?}");
    counter.close().await;
}

/// Waits until this device has the card and codes of its own, so that the cable can be pulled.
pub(crate) async fn ready_to_go_on_alone(desk: &Screen, card: &str, says: &str) {
    desk.until("the card is kept", KEPT, json!([card, says])).await;
    let codes = "return outbox.fact('codes').then(codes => (codes ?? []).length > 0)";
    desk.until("codes are kept", codes, json!([])).await;
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
