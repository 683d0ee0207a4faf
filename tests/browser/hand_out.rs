//! Rackets leave one by one: found by a scan, compared with their tags, given against each kind of proof, taken back.
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{SMALL_TABLET, TABLET};
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};

/// Nothing lies over what is to be tapped, and the way out needs no scrolling.
const COVERED: &str = "const covered = [...document.querySelectorAll('#give-out .choice, #give-out .field, #give-out .button')] \
      .filter(one => one.checkVisibility()).filter(one => { \
        one.scrollIntoView({block: 'nearest'}); const box = one.getBoundingClientRect(); \
        const seen = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2); \
        return !(one.contains(seen) || seen?.contains(one)); }); \
    scrollTo(0, 0); const out = document.querySelector('#give-out .primary').getBoundingClientRect(); \
    return [covered.map(one => one.innerText), out.bottom <= innerHeight]";
/// Who may vouch, and how.
const PIN: &str = "4071";

struct Counter {
    tournament: Tournament,
    day: BusyDay,
    desk: Screen,
    /// Tags of the same player's rackets: two ready, one that waits; and of somebody else's.
    tags: [String; 4],
}

#[tokio::test(flavor = "multi_thread")]
async fn d05_rackets_leave_by_scan_and_proof_and_come_back_within_ten_minutes() {
    let counter = Counter::opened().await;
    counter.the_first_tag_opens_the_card().await;
    counter.wrong_rackets_are_told().await;
    counter.a_wrong_code_stands_at_its_field().await;
    counter.the_coach_takes_one_by_one_tap().await;
    counter.it_comes_back_with_a_reason().await;
    counter.a_second_person_vouches().await;
    counter.one_goes_back_unstrung().await;
    counter.desk.close().await;
    counter.tournament.admin.close().await;
}

impl Counter {
    async fn opened() -> Self {
        let tournament = Tournament::start().await;
        let day = BusyDay::of(&tournament).await;
        let admin = &tournament.admin;
        let points = json!({"weave": true, "tie_offs": true, "grommets": true});
        admin
            .create(&format!("/v1/jobs/{}/checks", day.checking), points)
            .await;
        let pass = format!("/v1/jobs/{}/actions/pass", day.checking);
        admin.create(&pass, json!({"slot": "B5"})).await;
        let second = json!({"sign_in": "second", "display_name": "Example second", "role": "coordinator", "password": PASSWORD, "pin": PIN});
        admin.create("/v1/accounts", second).await;
        let waiting = newest(admin, &format!("racket_id={}", tournament.id("P1/4"))).await;
        let mut tags = Vec::new();
        for job in [&day.ready, &day.checking, &waiting, &day.late] {
            tags.push(said(admin, job, "tag_code").await);
        }
        let desk = tournament.screen("desk", SMALL_TABLET).await;
        // the player names the coach, once for all
        desk.open(&format!("{}?lang=en&ask=delegate", day.link)).await;
        desk.fill("#delegate-name", "Coach Example").await;
        desk.click("form.asked button").await;
        desk.appears(".done").await;
        let tags = tags.try_into().expect("four tags");
        Self {
            tournament,
            day,
            desk,
            tags,
        }
    }

    async fn scan(&self, text: &str) {
        self.desk.fill("#q", &format!("{text}\n")).await;
    }

    async fn the_first_tag_opens_the_card(&self) {
        let desk = &self.desk;
        desk.open("/hand-out").await;
        self.scan(&self.tags[0]).await;
        desk.reads(".panel-head", "2 of 4 ready; the next about").await;
        desk.reads(".in-hand", "B4").await;
        desk.reads(".in-hand", &self.tags[0]).await;
        desk.picture("hand-out-tablet").await;
        let seen = desk.run(COVERED, json!([])).await;
        assert_eq!(
            seen,
            json!([[], true]),
            "covered, and whether Give out is in sight"
        );
        let broken = page_rules::broken(desk, "hand-out").await;
        assert!(broken.is_empty(), "{}", broken.join("\n"));
    }

    /// The guard against mixed-up rackets: each is scanned, and a wrong one says whose it is.
    async fn wrong_rackets_are_told(&self) {
        let desk = &self.desk;
        self.scan(&self.tags[3]).await;
        desk.reads(".problem", &format!("{} belongs to ", self.tags[3]))
            .await;
        self.scan("no tag at all").await;
        desk.reads(".problem", "“no tag at all” is no tag, ticket or badge")
            .await;
        let held = "return [...document.querySelectorAll('[name=job_id]:checked')].map(one => one.value)";
        assert_eq!(desk.run(held, json!([])).await, json!([self.day.ready]));
    }

    async fn a_wrong_code_stands_at_its_field(&self) {
        let desk = &self.desk;
        desk.click("[name=proof][value=phone_code]").await;
        desk.fill("#proof_value", "000000").await;
        desk.tap("Give out").await;
        desk.reads(".problem", "not the code on the owner's page").await;
        desk.reads("#proof_value-fault", "not the code on the owner's page")
            .await;
        assert_eq!(self.state(&self.day.ready).await, "ready");
    }

    /// Only the scanned one leaves; its tag then says when and with whom it went.
    async fn the_coach_takes_one_by_one_tap(&self) {
        let desk = &self.desk;
        desk.click("[name=proof][value='delegate:Coach Example']").await;
        desk.disappears("#proof_value").await;
        desk.disappears("#collector").await;
        desk.tap("Give out").await;
        desk.reads(".tasks li", &self.tags[0]).await;
        desk.reads(".tasks li", "to Coach Example at ").await;
        assert_eq!(self.state(&self.day.ready).await, "out");
        assert_eq!(self.state(&self.day.checking).await, "ready");
        self.scan(&self.tags[0]).await;
        desk.reads(".problem", &format!("{} is out already: at ", self.tags[0]))
            .await;
        desk.reads(".problem", "to Coach Example").await;
    }

    async fn it_comes_back_with_a_reason(&self) {
        let desk = &self.desk;
        desk.open("/hand-out").await;
        desk.tap("Undo").await;
        desk.tap("wrong person").await;
        desk.reads("#shelf", &self.tags[0]).await;
        assert_eq!(self.state(&self.day.ready).await, "ready");
        desk.open(&format!("/rackets/{}", self.day.told_racket)).await;
        desk.reads("main", "wrong person").await;
    }

    /// Nothing matches: a reason, and the PIN of somebody else.
    async fn a_second_person_vouches(&self) {
        let desk = &self.desk;
        desk.open("/hand-out").await;
        self.scan(&self.tags[0]).await;
        desk.disappears("#second_pin").await;
        self.scan(&self.tags[1]).await;
        desk.until(
            "both are in the hand",
            "return document.querySelectorAll('.in-hand').length === 2",
            json!([]),
        )
        .await;
        desk.click("[name=proof][value=override]").await;
        desk.fill("#reason", "ticket lost, known at the desk").await;
        desk.fill("#collector", "Physio Example").await;
        for (pin, told) in [("1111", "#second_pin-fault"), (PIN, ".tasks li")] {
            desk.fill("#second_pin", pin).await;
            desk.tap("Give out").await;
            desk.appears(told).await;
        }
        desk.reads(".tasks li", "to Physio Example at ").await;
        assert_eq!(self.state(&self.day.ready).await, "out");
        assert_eq!(self.state(&self.day.checking).await, "out");
    }

    async fn one_goes_back_unstrung(&self) {
        let desk = &self.desk;
        self.scan(&self.tags[2]).await;
        desk.reads(".in-hand", "goes as it is").await;
        desk.click("[name=proof][value='delegate:Coach Example']").await;
        desk.chromium.resize(TABLET).await;
        desk.picture("hand-out-as-it-is-tablet").await;
        desk.tap("Give back as it is").await;
        desk.disappears("#give-out").await;
        let job = newest(
            &self.tournament.admin,
            &format!("racket_id={}", self.tournament.id("P1/4")),
        )
        .await;
        assert_eq!(self.state(&job).await, "out");
        assert_eq!(said(&self.tournament.admin, &job, "outcome").await, "unstrung");
    }

    async fn state(&self, job: &str) -> String {
        said(&self.tournament.admin, job, "state").await
    }
}

/// A member of a job.
async fn said(screen: &Screen, job: &str, member: &str) -> String {
    let (_, job) = screen.call("GET", &format!("/v1/jobs/{job}"), Value::Null).await;
    job[member]
        .as_str()
        .unwrap_or_else(|| panic!("{member} of {job}"))
        .to_owned()
}

/// The newest job of this search.
async fn newest(screen: &Screen, search: &str) -> String {
    let (_, page) = screen
        .call("GET", &format!("/v1/jobs?{search}"), Value::Null)
        .await;
    let last = page["items"]
        .as_array()
        .and_then(|all| all.last())
        .expect("a job");
    last["id"].as_str().expect("its id").to_owned()
}
