//! What the player's phone says while play is stopped: where, and what that does to the time of each racket.
use actix_web::test::TestRequest;
use serde_json::json;
use weftdesk::craft::roles::Role;

use crate::browser::{behind, location, send};
use crate::court_times::player;
use crate::day::{code_and_link, hand_in, option, page, set_up};
use crate::harness::Harness;

const DAY: &str = "2026-05-02";
/// That the time may move with the match, in the ten languages of players.
const MAY_MOVE: [(&str, &str); 10] = [
    ("en", "If your match moves, this time may move with it."),
    ("es", "Si su partido se retrasa, esta hora también puede cambiar."),
    ("fr", "Si votre match est décalé, cette heure peut l’être aussi."),
    (
        "de",
        "Verschiebt sich Ihr Match, kann sich auch diese Zeit verschieben.",
    ),
    (
        "it",
        "Se la sua partita si sposta, può spostarsi anche questo orario.",
    ),
    (
        "pt",
        "Se o seu encontro mudar de hora, esta hora também pode mudar.",
    ),
    ("ja", "試合の時刻が変わると、この時刻も変わることがあります。"),
    ("zh-Hans", "如果您的比赛时间变动，此时间也可能随之变动。"),
    ("ko", "경기 시간이 바뀌면 이 시간도 바뀔 수 있습니다."),
    ("ar", "إذا تغيّر موعد مباراتك فقد يتغيّر هذا الوقت معه."),
];
const STOPPED: &str = "Play is stopped on Court 1: your match may start later.";
const HOLDS: &str = "We have begun this racket: the stop does not move its time.";
const STAYS: &str = "It stays here, ready for you.";

/// The page as it is read: the marks that keep directions apart are not seen.
async fn phone(harness: &Harness, link: &str, language: &str) -> String {
    let asked = TestRequest::with_uri(&format!("/p/{link}?lang={language}"));
    let shown = harness.ask(asked).await;
    assert_eq!(
        (shown.status, shown.header("Refresh")),
        (200, "60"),
        "it loads itself again"
    );
    assert!(!shown.text.contains("<script"), "and needs no script");
    shown.text.replace(['\u{2068}', '\u{2069}'], "")
}

/// A racket in for a plain time and one for the player's match, which follows another on Court 1;
/// answers the job of the second and the player's link.
async fn two_rackets(harness: &Harness) -> (String, String) {
    set_up(harness).await;
    hand_in(harness).await;
    let (_, link) = code_and_link(harness).await;
    let player = player(harness).await;
    let player = player.as_str();
    let court = |id: &str, label: &str| {
        json!({"id": id, "label": label, "surface": "clay", "covered": false,
                                              "opens": "10:00", "closes": "26:00"})
    };
    let one = |id: &str, court: &str, seq: u32, start, first: &str| {
        json!({"id": id, "court": court, "seq": seq, "discipline": "tennis", "draw": "WS", "round": "R16",
               "format": "bo3_tb", "start": start, "sides": [[first], ["TBD"]]})
    };
    let at_two = || json!({"rule": "starting_at", "time": "14:00"});
    let order = json!({
        "schema": "weftdesk.order_of_play/1", "tournament": "demo", "tzid": "Europe/Paris", "day": DAY, "version": 1,
        "defaults": {"warm_up_min": 8, "turnaround_min": 7, "rest_min": 30},
        "courts": [court("C1", "Court 1"), court("C2", "Court 2")],
        "matches": [one("M1", "C1", 1, at_two(), "TBD"),
                    one("M2", "C1", 2, json!({"rule": "followed_by"}), player),
                    one("M3", "C2", 1, at_two(), "TBD")]
    });
    let path = format!("/v1/order-of-play/{DAY}");
    let request = harness.signed(actix_web::http::Method::PUT, Role::Referee, &path);
    harness.ask(request.set_json(order)).await.expect(201);
    let card = page(harness, Role::Desk, &format!("/hand-in?player={player}&mode=new")).await;
    let (frame, string) = (option(&card, "F-16x19"), option(&card, "String A"));
    let fields = [
        ("player_id", player),
        ("wish", "new"),
        ("lines", "1"),
        ("line_1_racket_id", "new"),
        ("line_1_frame_id", frame.as_str()),
        ("line_1_marks", "one dot"),
        ("line_1_as_said", "24/23"),
        ("line_1_unit", "kg"),
        ("line_1_due", "next_match"),
        ("mains_string_id", string.as_str()),
        ("crosses_string_id", string.as_str()),
        ("condition", "ok"),
    ];
    let taken = location(&send(harness, Role::Desk, "/hand-in", &fields).await);
    (taken.rsplit('=').next().unwrap_or_default().to_owned(), link)
}

async fn stop(harness: &Harness, court: &str, expected: &str) {
    let stop = json!({"courts": [court], "reason": "rain", "expected_resume_at": expected});
    let path = "/v1/courts/actions/stop";
    harness.post(Role::Referee, path, stop).await.expect(200);
}

#[actix_web::test]
async fn a_stop_is_said_where_a_time_waits_on_it_and_only_while_it_lasts() {
    let harness = Harness::start().await;
    let (_, link) = two_rackets(&harness).await;
    let before = phone(&harness, &link, "en").await;
    assert!(before.contains("one dot") && !before.contains("Play is stopped"));
    stop(&harness, "C2", "2026-05-02T13:00:00Z").await;
    let elsewhere = phone(&harness, &link, "en").await;
    assert!(
        !elsewhere.contains("Play is stopped"),
        "the match is on another court"
    );

    stop(&harness, "C1", "2026-05-02T12:30:00Z").await;
    for (language, words) in MAY_MOVE {
        let told = phone(&harness, &link, language).await;
        assert_eq!(
            told.matches(words).count(),
            1,
            "{language}: the plain time waits for no match: {told}"
        );
        // half past two in Paris
        assert!(
            told.contains("Court 1") && told.contains("14:30"),
            "{language}: {told}"
        );
    }
    let told = phone(&harness, &link, "en").await;
    assert!(
        told.contains(&format!("{STOPPED} It is expected to go on at about 14:30.")),
        "{told}"
    );
    let row = told.split("one dot").nth(1).expect("the racket's row");
    let row = row.split("</li>").next().unwrap_or_default();
    assert!(
        row.contains("very likely by") && row.contains(MAY_MOVE[0].1),
        "{row}"
    );

    harness.pass_minutes(5 * 60);
    let later = phone(&harness, &link, "en").await;
    assert!(
        later.contains(STOPPED) && !later.contains("expected to go on"),
        "that time has passed"
    );
    let path = "/v1/courts/actions/restart";
    harness
        .post(Role::Referee, path, json!({"courts": ["C1"]}))
        .await
        .expect(200);
    let again = phone(&harness, &link, "en").await;
    assert!(!again.contains("Play is stopped") && !again.contains(MAY_MOVE[0].1));
}

/// What the stringer does to the job.
async fn act(harness: &Harness, job: &str, what: &str, fields: &[(&str, &str)]) {
    let path = format!("/jobs/{job}/do/{what}");
    location(&send(harness, Role::Stringer, &path, fields).await);
}

/// Puts the job onto the machine of the one station.
async fn start(harness: &Harness, job: &str) {
    let next = page(harness, Role::Stringer, "/next-up").await;
    let station = json!({"station_id": option(&next, "Station 1")});
    let path = format!("/v1/jobs/{job}/actions/assign");
    harness.post(Role::Coordinator, &path, station).await.expect(200);
    let taken = page(harness, Role::Desk, &format!("/hand-in?taken={job}")).await;
    let code = behind(&taken, "<span class=\"code tag-code\">");
    let code = code.split('<').next().unwrap_or_default();
    act(
        harness,
        job,
        "start",
        &[("tag_code", code), ("strings_by_name", "yes")],
    )
    .await;
}

const CHECKED: [(&str, &str); 7] = [
    ("weave_ok", "yes"),
    ("tie_offs_ok", "yes"),
    ("grommets_ok", "yes"),
    ("reading", "36,5"),
    ("instrument_name", "Meter 1"),
    ("instrument_unit", "DT"),
    ("slot", "B 7"),
];

#[actix_web::test]
async fn what_is_begun_keeps_its_time_and_what_is_ready_stays() {
    let harness = Harness::start().await;
    let (job, link) = two_rackets(&harness).await;
    stop(&harness, "C1", "2026-05-02T12:30:00Z").await;
    start(&harness, &job).await;
    let told = phone(&harness, &link, "en").await;
    assert!(
        told.contains(STOPPED) && told.contains(HOLDS) && !told.contains(MAY_MOVE[0].1),
        "{told}"
    );
    for phase in ["mains_done", "crosses_done"] {
        act(&harness, &job, "phase", &[("phase", phase)]).await;
    }
    act(&harness, &job, "finish", &[]).await;
    assert!(phone(&harness, &link, "en").await.contains(HOLDS));
    act(&harness, &job, "pass", &CHECKED).await;
    let told = phone(&harness, &link, "en").await;
    assert!(
        told.contains(STOPPED) && told.contains(STAYS) && !told.contains(HOLDS),
        "{told}"
    );
    its_match_begins_and_is_stopped(&harness).await;
    // a stop in the middle of it moves no time of a racket
    let told = phone(&harness, &link, "en").await;
    assert!(
        told.contains("one dot") && !told.contains("Play is stopped"),
        "{told}"
    );
}

async fn its_match_begins_and_is_stopped(harness: &Harness) {
    let path = "/v1/courts/actions/restart";
    let courts = json!({"courts": ["C1"]});
    harness.post(Role::Referee, path, courts).await.expect(200);
    harness.pass_minutes(1);
    let line = |n: u32, of: &str, what: &str| {
        format!(r#"{{"src":"referee","n":{n},"at":"2026-05-02T08:01:00Z","match":"{of}","type":{what}}}"#)
    };
    let lines = [
        line(1, "M1", r#""walkover","winner":1"#),
        line(2, "M2", r#""started","server":1"#),
    ];
    let lines = lines.join("\n");
    let fields = [("day", DAY), ("text", lines.as_str()), ("do", "apply")];
    location(&send(harness, Role::Referee, "/court-times", &fields).await);
    harness.pass_minutes(1);
    stop(harness, "C1", "2026-05-02T12:30:00Z").await;
}
