//! A racket breaks on court: the desk calls in a few touches, the runner picks up and delivers.
use serde_json::{Value, json};

use crate::busy_day::BusyDay;
use crate::chromium::{PHONE, TABLET};
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::{PASSWORD, Tournament};

#[tokio::test(flavor = "multi_thread")]
async fn d18_a_court_calls_and_a_runner_delivers() {
    let tournament = Tournament::start().await;
    let day = BusyDay::of(&tournament).await;
    let runner = json!({"sign_in": "runner", "display_name": "Example runner", "role": "runner", "password": PASSWORD});
    let runner_id = tournament.admin.create("/v1/accounts", runner).await;
    let desk = tournament.screen("desk", TABLET).await;
    let runs = tournament.screen("runner", PHONE).await;
    runs.arrived_at("/court-call").await;
    runs.reads("#runs", "No runs.").await;

    // a racket that is not here: taken in the same again, before all others
    desk.open("/court-call?q=sample").await;
    desk.click(&format!("input[name=racket_id][value={}]", day.returning_racket))
        .await;
    desk.click("input[name=court][value='Court 2']").await;
    desk.click(&format!("input[name=runner_id][value={runner_id}]"))
        .await;
    desk.picture("court-call-tablet").await;
    desk.tap("To the court, before all others").await;
    desk.reads("#runs", "Court 2").await;
    runs.reads("#runs", "Court 2").await;
    let called = job_of(&tournament, &day.returning_racket).await;
    assert_eq!(called["flags"]["rush"], "court", "{called}");

    // a racket on the shelf: only a runner is missing
    desk.open(&format!("/court-call?player={}&court=Court%201", day.player))
        .await;
    desk.click(&format!("input[name=racket_id][value={}]", tournament.id("P1/1")))
        .await;
    desk.click(&format!("input[name=runner_id][value={runner_id}]"))
        .await;
    desk.tap("To the court, before all others").await;
    desk.reads("#runs", "Court 1").await;
    runs.tap("Picked up").await;
    runs.tap("Delivered: chair umpire").await;
    runs.reads_no_more("#runs", "Court 1").await;
    runs.picture("court-call-runs-phone").await;
    let (_, job) = tournament
        .admin
        .call("GET", &format!("/v1/jobs/{}", day.ready), Value::Null)
        .await;
    assert_eq!(job["state"], "out", "{job}");

    desk.open(&format!("/court-call?player={}&court=Court%201", day.player))
        .await;
    who_is_on_court_stands_ready(&tournament, &desk).await;
    a_call_that_is_not_complete_keeps_what_was_typed(&tournament, &desk, &day).await;
    let broken = page_rules::broken(&desk, "court-call").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    for screen in [desk, runs, tournament.admin] {
        screen.close().await;
    }
}

/// Without a court the page says so and loses nothing; a place with a long name leaves room for the rest of its line,
/// and a racket that is not needed any more takes its turn in the queue again.
async fn a_call_that_is_not_complete_keeps_what_was_typed(
    tournament: &Tournament,
    desk: &Screen,
    day: &BusyDay,
) {
    let racket = tournament.id("P6/1");
    desk.open(&format!("/court-call?player={}", tournament.id("P6")))
        .await;
    desk.click(&format!("input[name=racket_id][value={racket}]"))
        .await;
    desk.tap("To the court, before all others").await;
    desk.reads(".problem", "Choose the court").await;
    desk.appears(&format!("input[name=racket_id][value={racket}]:checked"))
        .await;
    desk.fill("#other_court", "Practice hall behind the centre court, gate 14")
        .await;
    desk.tap("To the court, before all others").await;
    desk.reads("#runs", "gate 14").await;
    desk.picture("court-call-long-place-tablet").await;
    const OVER: &str = "const [li] = [...document.querySelectorAll('.runs li')].filter(one => one.innerText.includes('gate 14')); \
        const boxes = [...li.querySelectorAll('.court-name, .chip, .code, p, .button')].map(one => [one, one.getBoundingClientRect()]); \
        return boxes.flatMap(([a, x]) => boxes.filter(([b, y]) => a !== b && !a.contains(b) && !b.contains(a) \
            && x.left < y.right - 1 && y.left < x.right - 1 && x.top < y.bottom - 1 && y.top < x.bottom - 1) \
            .map(([b]) => `${a.innerText} over ${b.innerText}`))";
    let over = desk.run(OVER, json!([])).await;
    assert_eq!(over, json!([]), "parts of a run lie over each other");
    assert_eq!(job_of(tournament, racket).await["flags"]["rush"], "court");
    desk.click(&format!(
        "form[action='/court-call/{}'] [value=bring_back]",
        day.late
    ))
    .await;
    desk.reads_no_more("#runs", "gate 14").await;
    assert_eq!(job_of(tournament, racket).await["flags"]["rush"], Value::Null);
}

/// A match begins: its player and court are one touch, without a name typed; it ends, and they are gone.
async fn who_is_on_court_stands_ready(tournament: &Tournament, desk: &Screen) {
    let event = |n: u32, kind: &str, more: &str| {
        format!(
            r#"{{"src":"referee","n":{n},"at":"2026-05-02T08:00:0{n}Z","match":"M13","type":"{kind}"{more}}}"#
        )
    };
    desk.open("/court-call").await;
    let none = "return document.querySelector('.on-court') === null";
    desk.until("nobody on court", none, json!([])).await;
    tell_courts(&tournament.admin, &event(1, "started", r#","server":1"#)).await;
    desk.open("/court-call").await;
    desk.reads(".on-court a", "Court 2").await;
    desk.picture("court-call-on-court-tablet").await;
    desk.click(".on-court a").await;
    desk.appears("input[name=court][value='Court 2']:checked").await;
    let player = desk.text("#caller-title").await;
    tell_courts(&tournament.admin, &event(2, "retired", r#","winner":2"#)).await;
    desk.open("/court-call").await;
    desk.reads_no_more(".on-court a", &player).await;
}

async fn tell_courts(admin: &Screen, line: &str) {
    const SEND: &str = "const [line, done] = arguments; \
        fetch('/v1/order-of-play/2026-05-02/events', {method: 'POST', body: line, headers: { \
            'Content-Type': 'application/x-ndjson', 'Idempotency-Key': `\"${crypto.randomUUID()}\"`}}) \
          .then(async answer => done([answer.status, await answer.text()]), fault => done([0, String(fault)]))";
    let told = admin.client().execute_async(SEND, vec![json!(line)]).await;
    let told = told.expect("the courts are told");
    assert_eq!(told[0], 200, "{told}");
}

/// The newest job of a racket.
async fn job_of(tournament: &Tournament, racket: &str) -> Value {
    let path = format!("/v1/jobs?racket_id={racket}");
    let (status, page) = tournament.admin.call("GET", &path, Value::Null).await;
    assert_eq!(status, 200, "{page}");
    page["items"]
        .as_array()
        .and_then(|all| all.last())
        .cloned()
        .expect("a job")
}
