//! One racket's day, page by page: set up, taken in, strung, checked, handed out.
use weftdesk::craft::roles::Role;
use weftdesk::desk::DeskError;
use weftdesk::desk::find;

use crate::browser::{location, send, shown};
use crate::harness::Harness;

pub(crate) async fn page(harness: &Harness, role: Role, path: &str) -> String {
    shown(harness.get(role, path).await)
}

/// The value of the option of a list that is labelled so.
#[track_caller]
pub(crate) fn option(page: &str, label: &str) -> String {
    let end = page
        .find(&format!(">{label}</option>"))
        .expect("an option of this label");
    let start = page[..end].rfind("value=\"").expect("its value") + "value=\"".len();
    page[start..end].split('"').next().unwrap_or_default().to_owned()
}

pub(crate) async fn set_up(harness: &Harness) {
    let admin = Role::Admin;
    let tasks: [(&str, &[(&str, &str)]); 4] = [
        (
            "string",
            &[("string_name", "String A"), ("string_gauge_mm", "1,25")],
        ),
        (
            "frame",
            &[
                ("frame_name", "F-16x19"),
                ("frame_sport", "tennis"),
                ("frame_mains", "16"),
                ("frame_crosses", "19"),
                ("frame_min", "21"),
                ("frame_max", "27"),
                ("frame_unit", "kg"),
            ],
        ),
        (
            "machine",
            &[
                ("machine_name", "M1"),
                ("machine_unit", "kg"),
                ("machine_step", "0.5"),
            ],
        ),
        ("stringer", &[("stringer_name", "Leo")]),
    ];
    for (task, fields) in tasks {
        let done = send(harness, admin, &format!("/setup/{task}"), fields).await;
        assert_eq!(location(&done), "/setup", "{task}");
    }
    let setup = page(harness, admin, "/setup").await;
    let machine = option(&setup, "M1");
    let fields = [
        ("station_name", "Station 1"),
        ("station_machine_id", machine.as_str()),
    ];
    location(&send(harness, admin, "/setup/station", &fields).await);
    let setup = page(harness, admin, "/setup").await;
    let (station, stringer) = (option(&setup, "Station 1"), option(&setup, "Leo"));
    let fields = [
        ("open_station_id", station.as_str()),
        ("open_stringer_id", stringer.as_str()),
    ];
    location(&send(harness, admin, "/setup/open", &fields).await);
}

/// Takes a new player's new racket in at 24/23 kg; answers the job's id.
pub(crate) async fn hand_in(harness: &Harness) -> String {
    let form = page(harness, Role::Desk, "/hand-in?mode=new").await;
    let (frame, string) = (option(&form, "F-16x19"), option(&form, "String A"));
    let mut fields = vec![
        ("wish", "new"),
        ("lines", "1"),
        ("new_player_name", "Example A."),
        ("line_1_racket_id", "new"),
        ("line_1_frame_id", frame.as_str()),
        ("line_1_marks", "three dots"),
        ("line_1_as_said", "24/23"),
        ("line_1_ready_by", "12:00"),
        ("mains_string_id", string.as_str()),
        ("crosses_string_id", string.as_str()),
        ("condition", "ok"),
    ];
    let asked = send(harness, Role::Desk, "/hand-in", &fields).await;
    assert_eq!(asked.status, 422);
    assert!(asked.text.contains("kilograms or pounds") && asked.text.contains("value=\"24/23\""));
    fields.push(("line_1_unit", "kg"));
    let taken = location(&send(harness, Role::Desk, "/hand-in", &fields).await);
    let confirmed = page(harness, Role::Desk, &taken).await;
    assert!(confirmed.contains("24 kg (52.9 lb)") && confirmed.contains("Print tag"));
    taken.rsplit('=').next().unwrap_or_default().to_owned()
}

/// A desk that is set up, with one racket taken in; answers the job's id.
pub(crate) async fn with_a_racket() -> (Harness, String) {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let job = hand_in(&harness).await;
    (harness, job)
}

/// Station 1 takes its next job; answers the station's id.
pub(crate) async fn taken_by_station_1(harness: &Harness) -> String {
    let next = page(harness, Role::Stringer, "/next-up").await;
    let station = option(&next, "Station 1");
    location(&send(harness, Role::Stringer, "/next-up", &[("station", &station)]).await);
    station
}

pub(crate) async fn code_and_link(harness: &Harness) -> (String, String) {
    let tournament = harness.tournament.clone();
    let read = harness.desk.read(move |db| {
        let found = find::find(db, &tournament, "example")?;
        let (player, jobs) = find::by_link(db, found.players[0].link_token.as_deref().unwrap_or("-"))?;
        Ok::<_, DeskError>((jobs[0].job.code.clone(), player.link_token.unwrap_or_default()))
    });
    read.await.expect("the player is found")
}

#[actix_web::test]
async fn a_racket_goes_through_every_screen() {
    let (harness, job) = with_a_racket().await;
    let (code, link) = code_and_link(&harness).await;

    let print = format!("/jobs/{job}/tag");
    for copy_2 in [false, true] {
        let sheet = location(&send(&harness, Role::Desk, &print, &[]).await);
        for look in ["first", "again"] {
            let tag = page(&harness, Role::Desk, &sheet).await;
            assert!(tag.contains(&code) && tag.contains("<svg"));
            assert_eq!(tag.contains("copy 2"), copy_2, "looking {look} counts no print");
        }
    }
    assert!(
        page(&harness, Role::Desk, &format!("/jobs/{job}/ticket"))
            .await
            .contains(&code)
    );

    let walls = [
        "/wall?for=room",
        "/wall?for=counter",
        &format!("/p/{link}?lang=en"),
    ];
    for path in walls {
        let wall = page(&harness, Role::Desk, path).await;
        for word in [" kg", " lb", "String A", "Example A."] {
            assert!(!wall.contains(word), "{path} shows {word}");
        }
    }

    let next = page(&harness, Role::Stringer, "/next-up").await;
    let station = option(&next, "Station 1");
    assert!(next.contains("Take this job"));
    location(&send(&harness, Role::Stringer, "/next-up", &[("station", &station)]).await);
    let start = format!("/jobs/{job}/do/start");
    let refused = send(&harness, Role::Stringer, &start, &[("tag_code", &code)]).await;
    assert_eq!(refused.status, 422);
    let fields = [("tag_code", code.as_str()), ("strings_by_name", "yes")];
    let plan = location(&send(&harness, Role::Stringer, &start, &fields).await);
    assert_eq!(plan, format!("/plan/{job}"));
    let shown_plan = page(&harness, Role::Stringer, &plan).await;
    assert!(shown_plan.contains("<svg") && shown_plan.contains("24.0") && shown_plan.contains("23.0"));
    for phase in ["mains_done", "crosses_done"] {
        let path = format!("/jobs/{job}/do/phase");
        location(&send(&harness, Role::Stringer, &path, &[("phase", phase)]).await);
    }
    let finish = format!("/jobs/{job}/do/finish");
    let check = location(&send(&harness, Role::Stringer, &finish, &[]).await);
    assert!(
        page(&harness, Role::Stringer, &check)
            .await
            .contains("Pass to shelf")
    );
    let pass = format!("/jobs/{job}/do/pass");
    assert_eq!(
        send(&harness, Role::Stringer, &pass, &[("weave_ok", "yes")])
            .await
            .status,
        422
    );
    let all = [
        ("weave_ok", "yes"),
        ("tie_offs_ok", "yes"),
        ("grommets_ok", "yes"),
        ("reading", "36,5"),
        ("instrument_name", "Meter 1"),
        ("instrument_unit", "DT"),
        ("slot", "B 7"),
    ];
    location(&send(&harness, Role::Stringer, &pass, &all).await);
    for shelf in ["/stock", "/hand-out"] {
        assert!(page(&harness, Role::Desk, shelf).await.contains("B7"), "{shelf}");
    }

    let wrong = [
        ("job_id", job.as_str()),
        ("proof", "ticket"),
        ("proof_value", "another"),
    ];
    assert_eq!(send(&harness, Role::Desk, "/hand-out", &wrong).await.status, 422);
    let right = [
        ("job_id", job.as_str()),
        ("proof", "ticket"),
        ("proof_value", link.as_str()),
    ];
    assert_eq!(
        location(&send(&harness, Role::Desk, "/hand-out", &right).await),
        "/hand-out"
    );
    let out = page(&harness, Role::Desk, "/hand-out").await;
    assert!(out.contains(&code) && out.contains("Undo"));
}

#[actix_web::test]
async fn a_form_sent_twice_is_done_once() {
    let harness = Harness::start().await;
    let fields = [("once", "same key"), ("stringer_name", "Leo")];
    for _ in 0..2 {
        // the later key wins over the fresh one that is sent first
        assert_eq!(
            location(&send(&harness, Role::Admin, "/setup/stringer", &fields).await),
            "/setup"
        );
    }
    let setup = page(&harness, Role::Admin, "/setup").await;
    assert_eq!(setup.matches("<bdi>Leo</bdi>").count(), 1);
}

#[actix_web::test]
async fn an_unknown_pattern_becomes_a_snag_that_is_decided_on_its_page() {
    let (harness, _) = with_a_racket().await;
    let snags = page(&harness, Role::Desk, "/snags").await;
    let start = snags.find("action=\"/snags/").expect("a snag") + "action=\"".len();
    let address = snags[start..].split('"').next().unwrap_or_default().to_owned();
    // nobody has entered them, so that is not decided by saying so
    let said = send(&harness, Role::Desk, &address, &[("choice", "recorded")]).await;
    assert_eq!(said.status, 422);
    assert!(said.text.contains("are not on record yet"), "{}", said.text);
    let decided = send(&harness, Role::Desk, &address, &[("choice", "string_from_frame")]).await;
    assert_eq!(location(&decided), "/snags");
    assert!(
        page(&harness, Role::Desk, "/snags")
            .await
            .contains("Nothing waits for a decision.")
    );
    let (code, _) = code_and_link(&harness).await;
    let found = page(&harness, Role::Desk, &format!("/hand-in?q={code}")).await;
    let start = found.find("/rackets/").expect("the way to the story");
    let story = found[start..].split('"').next().unwrap_or_default().to_owned();
    assert!(page(&harness, Role::Desk, &story).await.contains("Taken in"));
}
