//! D07 on the Floor: what waits, who strings it when, and what holding, rushing and moving would cost before it is done.
use serde_json::json;
use weftdesk::craft::roles::Role;
use weftdesk::desk::schedule::replan::replan;

use crate::browser::{location, send};
use crate::day::{code_and_link, option, page, set_up, taken_by_station_1, with_a_racket};
use crate::harness::Harness;

async fn floor(harness: &Harness) -> String {
    replan(&harness.desk, &harness.tournament).await.expect("a plan");
    page(harness, Role::Coordinator, "/floor").await
}

/// The fields of the form that does what was priced.
fn confirm(page: &str) -> Vec<(String, String)> {
    let form = page.split("class=\"panel price").nth(1).expect("a price");
    let form = form.split("</form>").next().expect("its form");
    let hidden = form.split("<input type=\"hidden\" name=\"").skip(1);
    hidden
        .map(|field| {
            let name = field.split('"').next().unwrap_or_default();
            let value = field
                .split("value=\"")
                .nth(1)
                .and_then(|rest| rest.split('"').next());
            (name.to_owned(), value.unwrap_or_default().to_owned())
        })
        .filter(|(name, _)| name != "once")
        .collect()
}

async fn do_it(harness: &Harness, price: &str) {
    let fields = confirm(price);
    let fields: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    let done = send(harness, Role::Coordinator, "/floor", &fields).await;
    let after = location(&done);
    assert!(after.starts_with("/floor?done="), "{after}");
    let told = page(harness, Role::Coordinator, &after).await;
    assert!(told.contains("role=\"status\"><span>Done: "), "{told}");
}

fn part<'a>(page: &'a str, id: &str) -> &'a str {
    let start = page.find(&format!("id=\"{id}\"")).expect("the part");
    let rest = &page[start..];
    rest.split("</section>").next().unwrap_or(rest)
}

#[actix_web::test]
async fn a_floor_without_jobs_shows_its_lanes_and_where_the_first_racket_comes_in() {
    let harness = Harness::start().await;
    let empty = page(&harness, Role::Coordinator, "/floor").await;
    assert!(empty.contains("No station yet.") && empty.contains("No racket waits."));
    set_up(&harness).await;
    let lanes = floor(&harness).await;
    assert!(lanes.contains("Station 1") && lanes.contains("Leo") && lanes.contains("<svg"));
    let desk = harness.get(Role::Desk, "/floor").await;
    assert_eq!(desk.status, 403);
}

#[actix_web::test]
async fn holding_tells_its_price_first_and_changes_nothing_until_it_is_confirmed() {
    let (harness, job) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    let before = floor(&harness).await;
    assert!(part(&before, "numbers").contains(&code));
    let asked = format!("/floor?job={job}&do=hold&reason=player+asked+to+wait");
    let price = page(&harness, Role::Coordinator, &asked).await;
    assert!(price.contains(&format!("Hold {code}")) && price.contains("It is held."));
    assert!(
        part(&floor(&harness).await, "numbers").contains(&code),
        "looking holds nothing"
    );
    do_it(&harness, &price).await;
    let held = floor(&harness).await;
    assert!(part(&held, "aside").contains("It is held: player asked to wait."));
    let release = page(
        &harness,
        Role::Coordinator,
        &format!("/floor?job={job}&do=release"),
    )
    .await;
    assert!(
        release.contains("waits in the queue"),
        "{}",
        part(&release, "price")
    );
    do_it(&harness, &release).await;
    assert!(part(&floor(&harness).await, "numbers").contains(&code));
}

#[actix_web::test]
async fn a_hold_until_a_time_ends_by_itself_on_every_screen() {
    let (harness, job) = with_a_racket().await;
    let (code, link) = code_and_link(&harness).await;
    let until = json!({"reason": "asked to wait", "until": "2026-05-02T08:10:00Z"});
    let held = harness
        .post(Role::Coordinator, &format!("/v1/jobs/{job}/actions/hold"), until)
        .await;
    assert_eq!(held.status, 200, "{}", held.text);
    let player = format!("/p/{link}?lang=en");
    let looks = ["/wall?for=room", "/hand-in", player.as_str()];
    let mut seen = Vec::new();
    assert!(part(&floor(&harness).await, "aside").contains(&code));
    for path in looks {
        seen.push(page(&harness, Role::Desk, path).await);
    }
    assert!(seen[0].contains("asked to wait") && seen[1].contains("held"));
    harness.pass_minutes(11);
    let ended = floor(&harness).await;
    assert!(part(&ended, "numbers").contains(&code), "it has its place");
    for (path, before) in looks.into_iter().zip(seen) {
        let after = page(&harness, Role::Desk, path).await;
        assert!(
            !after.contains("asked to wait") && !after.contains("held<"),
            "{path}: {after}"
        );
        assert_ne!(after, before, "{path}");
    }
}

#[actix_web::test]
async fn a_job_moved_to_a_free_station_is_there_and_a_time_that_is_none_says_so_at_its_field() {
    let (harness, job) = with_a_racket().await;
    let shown = page(&harness, Role::Coordinator, &format!("/floor?job={job}")).await;
    let station = shown
        .split("name=\"station\" value=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("the station's id");
    let wrong = harness
        .get(Role::Coordinator, &format!("/floor?job={job}&do=due&due=soon"))
        .await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text.contains("href=\"#due\"") && wrong.text.contains("Write the time as hh:mm."));
    let price = page(
        &harness,
        Role::Coordinator,
        &format!("/floor?job={job}&do=move&station={station}"),
    )
    .await;
    assert!(price.contains("to Station 1"));
    do_it(&harness, &price).await;
    let moved = floor(&harness).await;
    assert!(part(&moved, "numbers").contains("assigned"), "{moved}");
    // the stringer goes off: what was not begun waits again
    let off = page(
        &harness,
        Role::Coordinator,
        &format!("/floor?do=close_station&station={station}"),
    )
    .await;
    assert!(off.contains("Station 1 off"));
    do_it(&harness, &off).await;
    let closed = floor(&harness).await;
    assert!(part(&closed, "aside").contains("No station is open."), "{closed}");
    assert!(closed.contains("lane-closed") && part(&closed, "shifts").contains("Station 1 opens with"));
}

#[actix_web::test]
async fn what_a_stringer_refuses_is_not_offered_again_and_the_coordinator_reads_why() {
    let (harness, job) = with_a_racket().await;
    let offered = page(&harness, Role::Stringer, "/next-up").await;
    let form = offered
        .split("action=\"/next-up/refuse\"")
        .nth(1)
        .expect("a way to refuse");
    let station = form
        .split("name=\"station\" value=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("the station");
    let fields = [
        ("station", station),
        ("job", job.as_str()),
        ("reason", "No string here"),
    ];
    let done = send(&harness, Role::Stringer, "/next-up/refuse", &fields).await;
    let next = page(&harness, Role::Stringer, &location(&done)).await;
    assert!(next.contains("Nothing waiting."));
    let shown = floor(&harness).await;
    let aside = part(&shown, "aside");
    assert!(
        aside.contains("Every stringer at work who could do it has refused it."),
        "{aside}"
    );
    assert!(
        aside.contains("Leo at Station 1") && aside.contains("No string here"),
        "{aside}"
    );
    let snags = page(&harness, Role::Coordinator, "/snags").await;
    assert!(snags.contains("nobody can") && snags.contains("Any station may do it that can"));
}

#[actix_web::test]
async fn a_job_that_is_held_after_it_was_given_is_not_started_and_can_be_given_back() {
    let (harness, job) = with_a_racket().await;
    let station = taken_by_station_1(&harness).await;
    let taken = page(&harness, Role::Stringer, "/next-up").await;
    assert!(taken.contains("/do/start"));
    let held = harness
        .post(
            Role::Coordinator,
            &format!("/v1/jobs/{job}/actions/hold"),
            json!({"reason": "asked to wait"}),
        )
        .await;
    assert_eq!(held.status, 200, "{}", held.text);
    let told = page(&harness, Role::Stringer, "/next-up").await;
    assert!(
        !told.contains("/do/start") && told.contains("Held: asked to wait."),
        "{told}"
    );
    let fields = [
        ("station", station.as_str()),
        ("job", job.as_str()),
        ("reason", "No string here"),
    ];
    let back = send(&harness, Role::Stringer, "/next-up/refuse", &fields).await;
    let after = page(&harness, Role::Stringer, &location(&back)).await;
    assert!(after.contains("Nothing waiting."), "{after}");
}

#[actix_web::test]
async fn a_break_takes_the_station_off_and_it_comes_back_with_whoever_is_named() {
    let (harness, job) = with_a_racket().await;
    let shown = page(&harness, Role::Stringer, "/next-up").await;
    assert!(shown.contains("Break: Station 1 off"), "{shown}");
    let form = shown
        .split("action=\"/next-up/off\"")
        .nth(1)
        .expect("a way to go off");
    let station = form.split("name=\"station\" value=\"").nth(1);
    let station = station
        .and_then(|rest| rest.split('"').next())
        .expect("the station")
        .to_owned();
    location(&send(&harness, Role::Stringer, "/next-up", &[("station", &station)]).await);
    let off = send(&harness, Role::Stringer, "/next-up/off", &[("station", &station)]).await;
    let back = location(&off);
    let shown = page(&harness, Role::Stringer, &back).await;
    assert!(shown.contains("Station 1 is off and gets no jobs."), "{shown}");
    let job = harness
        .get(Role::Coordinator, &format!("/v1/jobs/{job}"))
        .await
        .expect(200);
    assert_eq!(
        (&job["state"], &job["station_id"]),
        (&json!("waiting"), &json!(null))
    );
    let seen = floor(&harness).await;
    assert!(
        seen.contains("closed") && !seen.contains("Refused at the bench"),
        "a break refuses no job: {seen}"
    );
    let who = option(&shown, "Leo");
    let fields = [("station", station.as_str()), ("stringer", who.as_str())];
    let back = location(&send(&harness, Role::Stringer, "/next-up/on", &fields).await);
    let shown = page(&harness, Role::Stringer, &back).await;
    assert!(shown.contains("Take this job"), "{shown}");
}

#[actix_web::test]
async fn a_stop_of_play_is_a_line_of_its_own() {
    let (harness, _) = with_a_racket().await;
    let order = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n\
        2026-05-02,C1,1,M1,bo3_tb,starting_at,10:00,TBD,TBD\n\
        2026-05-02,C2,1,M2,bo3_tb,starting_at,10:00,TBD,TBD\n";
    let fields = [("day", "2026-05-02"), ("text", order), ("do", "apply")];
    location(&send(&harness, Role::Coordinator, "/court-times", &fields).await);
    assert!(!floor(&harness).await.contains("Play stopped"));
    let stop = [
        ("do", "stop_courts"),
        ("court", "C1"),
        ("reason", "rain"),
        ("until", ""),
    ];
    location(&send(&harness, Role::Coordinator, "/floor", &stop).await);
    let seen = floor(&harness).await;
    let line = seen
        .split("Play stopped: ")
        .nth(1)
        .and_then(|rest| rest.split("</p>").next());
    let line = line.expect("a line of its own");
    for words in [
        "C1",
        "since",
        "rain",
        "nobody has said when it goes on",
        "No racket waits on it.",
    ] {
        assert!(line.contains(words), "{words}: {line}");
    }
    assert!(!line.contains("C2"), "{line}");
}
