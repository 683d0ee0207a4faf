//! Matches on their page, and the rackets that are taken in for them.
use actix_web::http::Method;
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;
use weftdesk::desk::DeskError;
use weftdesk::desk::find;

use crate::browser::{location, send};
use crate::day::{code_and_link, option, page, with_a_racket};
use crate::harness::{Harness, Reply};

const DAY: &str = "2026-05-02";

/// The one player of the desk.
pub(crate) async fn player(harness: &Harness) -> String {
    let tournament = harness.tournament.clone();
    let read = harness.desk.read(move |db| {
        let found = find::find(db, &tournament, "example")?;
        Ok::<_, DeskError>(found.players[0].id.clone())
    });
    read.await.expect("the player is found")
}

/// Two matches of this player on two courts, with another before the first.
fn order(player: &str) -> String {
    format!(
        "day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n\
         {DAY},C1,1,M1,WS,bo3_tb,starting_at,14:00,TBD,TBD\n\
         {DAY},C1,2,M2,WS,bo3_tb,followed_by,,{player},TBD\n\
         {DAY},C2,1,M3,WD,dbl_noad_mtb10,not_before,20:00,{player},TBD\n"
    )
}

/// The order of play as the referee pastes it: `preview` compares, `apply` takes it in.
async fn paste(harness: &Harness, text: &str, how: &str) -> Reply {
    let fields = [("text", text), ("do", how)];
    send(harness, Role::Referee, "/court-times", &fields).await
}

#[actix_web::test]
async fn a_racket_is_taken_in_for_the_next_match_or_the_one_after() {
    let (harness, _) = with_a_racket().await;
    let player = player(&harness).await;
    let early = page(&harness, Role::Desk, &format!("/hand-in?player={player}")).await;
    assert!(early.contains("None is known yet"), "no match is promised");
    let text = order(&player);
    location(&paste(&harness, &text, "apply").await);

    let card = page(
        &harness,
        Role::Desk,
        &format!("/hand-in?player={player}&mode=new"),
    )
    .await;
    for words in [
        "for the next match",
        "M2, C1, about",
        "for the one after",
        "value=\"match:M3\"",
    ] {
        assert!(card.contains(words), "{words}");
    }
    let frame = option(&card, "F-16x19");
    let frame = frame.as_str();
    let fields = [
        ("player_id", player.as_str()),
        ("wish", "new"),
        ("lines", "2"),
        ("line_1_racket_id", "new"),
        ("line_1_frame_id", frame),
        ("line_1_marks", "one dot"),
        ("line_1_as_said", "24/23"),
        ("line_1_unit", "kg"),
        ("line_1_due", "match:M3"),
        ("own_string", "String X"),
        ("line_2_racket_id", "new"),
        ("line_2_frame_id", frame),
        ("line_2_marks", "two dots"),
        ("line_2_as_said", "24/23"),
        ("line_2_unit", "kg"),
        ("line_2_due", "time"),
        ("line_2_ready_by", "half past"),
        ("condition", "ok"),
    ];
    let wrong = send(&harness, Role::Desk, "/hand-in", &fields).await;
    assert_eq!(wrong.status, 422, "{}", wrong.text);
    assert!(wrong.text.contains("such as 14:30"), "{}", wrong.text);
    let mut fields = fields;
    fields[16] = ("line_2_ready_by", "18:05");
    let taken = location(&send(&harness, Role::Desk, "/hand-in", &fields).await);
    let taken = page(&harness, Role::Desk, &taken).await;
    // 35 minutes before the match that does not start before 20:00
    assert!(
        taken.contains("by 19:25") && taken.contains("by 18:05"),
        "{taken}"
    );
}

/// The form of Court Times as a browser sends it with a chosen file.
async fn upload(harness: &Harness, fields: &[(&str, &str)], file: &str) -> Reply {
    let key = harness.fresh_key();
    let mut body = String::new();
    for (name, value) in [("once", key.as_str())].iter().chain(fields) {
        body += &format!("--AaB03x\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
    }
    body += &format!(
        "--AaB03x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"day.csv\"\r\nContent-Type: text/csv\r\n\r\n{file}\r\n--AaB03x--\r\n"
    );
    let request = harness
        .signed(Method::POST, Role::Referee, "/court-times")
        .insert_header(("Sec-Fetch-Site", "same-origin"))
        .insert_header(("Content-Type", "multipart/form-data; boundary=AaB03x"))
        .set_payload(body);
    harness.ask(request).await
}

#[actix_web::test]
async fn a_file_is_compared_before_it_is_applied_and_wrong_rows_name_their_line() {
    let (harness, _) = with_a_racket().await;
    let text = order(&player(&harness).await);
    let wrong = text.replace("C2,1,M3,WD", "C2,first,M3,WD");
    let refused = upload(&harness, &[("do", "preview")], &wrong).await;
    assert_eq!(refused.status, 422, "{}", refused.text);
    assert!(
        refused.text.contains("Rows that are wrong") && refused.text.contains("<td class=\"num\">4</td>")
    );
    assert!(
        refused.text.contains("C2,first,M3,WD"),
        "what was sent is still there"
    );
    let compared = upload(&harness, &[("do", "preview")], &text).await;
    assert_eq!(compared.status, 200, "{}", compared.text);
    for words in ["Matches: 3 new", "affects no job", "new: M1, M2, M3"] {
        assert!(compared.text.contains(words), "{words}");
    }
    let day = page(&harness, Role::Referee, &format!("/court-times?day={DAY}")).await;
    assert!(day.contains("Add the first match."), "comparing changes nothing");
    let applied = upload(&harness, &[("do", "apply")], &text).await;
    assert_eq!(location(&applied), format!("/court-times?day={DAY}"));
    let day = page(&harness, Role::Referee, &format!("/court-times?day={DAY}")).await;
    for words in ["id=\"match-M3\"", "planned", "rackets by", "Example A."] {
        assert!(day.contains(words), "{words}");
    }
}

#[actix_web::test]
async fn what_happens_on_court_is_pasted_into_the_same_box() {
    let (harness, _) = with_a_racket().await;
    let text = order(&player(&harness).await);
    let referee = Role::Referee;
    location(&paste(&harness, &text, "apply").await);
    let line =
        r#"{"src":"referee","n":1,"at":"2026-05-02T07:55:00Z","match":"M1","type":"walkover","winner":1}"#;
    let compared = paste(&harness, line, "preview").await;
    assert!(
        compared.text.contains("1 new on court, 0 known already"),
        "{}",
        compared.text
    );
    location(&paste(&harness, line, "apply").await);
    let day = page(&harness, referee, &format!("/court-times?day={DAY}")).await;
    assert!(day.contains("walkover"));
    let fields = [
        ("court", "C1"),
        ("do", "stop"),
        ("reason", "rain"),
        ("from", "15:00"),
    ];
    location(&send(&harness, referee, "/court-times/courts", &fields).await);
    let day = page(&harness, referee, &format!("/court-times?day={DAY}")).await;
    assert!(day.contains("C1 · stopped") && !day.contains("C2 · stopped"));
}

#[actix_web::test]
async fn an_order_of_play_names_its_players_and_a_day_that_is_left_open_stays_open() {
    let (harness, _) = with_a_racket().await;
    let referee = Role::Referee;
    let text = order("example a.");
    let stranger = text.replace(
        "C2,1,M3,WD,dbl_noad_mtb10,not_before,20:00,example a.",
        "C2,1,M3,WD,dbl_noad_mtb10,not_before,20:00,Example Nobody",
    );
    let refused = paste(&harness, &stranger, "preview").await;
    assert_eq!(refused.status, 422, "{}", refused.text);
    for words in [
        "<td class=\"num\">4</td>",
        "&#34;Example Nobody&#34; is no player here",
        "name=\"day\" value=\"\"",
    ] {
        assert!(refused.text.contains(words), "{words}: {}", refused.text);
    }
    let other = [("day", "2026-05-03"), ("text", text.as_str()), ("do", "preview")];
    let refused = send(&harness, referee, "/court-times", &other).await;
    assert!(
        refused.text.contains("2026-05-02: choose that day"),
        "{}",
        refused.text
    );
    let nothing = send(&harness, referee, "/court-times", &[("do", "preview")]).await;
    assert!(nothing.text.contains("Paste the order of play or choose a file."));
    location(&paste(&harness, &text, "apply").await);
    an_order_is_compared_by_who_plays(&harness, &text).await;
}

async fn an_order_is_compared_by_who_plays(harness: &Harness, text: &str) {
    // written by id it is the same order
    let same = order(&player(harness).await);
    let same = paste(harness, &same, "preview").await;
    assert!(same.text.contains("No match changes."), "{}", same.text);
    let moved = text.replace("not_before,20:00", "not_before,19:00");
    let moved = paste(harness, &moved, "preview").await;
    for words in [
        "Sat 2 May",
        "1 moved",
        "C2, about 20:0",
        "C2, about 19:0",
        "Example A.",
    ] {
        assert!(moved.text.contains(words), "{words}: {}", moved.text);
    }
}

#[actix_web::test]
async fn what_happens_in_a_match_is_entered_by_hand_and_taken_back() {
    let (harness, _) = with_a_racket().await;
    let referee = Role::Referee;
    let text = order(&player(&harness).await);
    location(&paste(&harness, &text, "apply").await);
    let at = format!("/court-times?day={DAY}");
    let tell = async |fields: &[(&str, &str)]| {
        let fields = [&[("day", DAY), ("match", "M1")], fields].concat();
        send(&harness, referee, "/court-times/matches", &fields).await
    };
    let state = async || {
        let page = page(&harness, referee, &at).await;
        let row = page.split("id=\"match-M1\"").nth(1).unwrap_or_default();
        row.split("class=\"tell\"").next().unwrap_or_default().to_owned()
    };
    assert!(state().await.contains("planned"));
    location(&tell(&[("do", "started")]).await);
    assert!(state().await.contains("on court"));
    let wrong = tell(&[("do", "score"), ("sets", "six four")]).await;
    assert_eq!(wrong.status, 422);
    assert!(
        wrong.text.contains("#sets-M1") && wrong.text.contains("such as 6-4 2-1"),
        "{}",
        wrong.text
    );
    location(&tell(&[("do", "score"), ("sets", "6-4 2-1")]).await);
    let open = tell(&[("do", "over"), ("how", "completed")]).await;
    assert!(open.text.contains("Choose who goes on."), "{}", open.text);
    location(
        &tell(&[
            ("do", "over"),
            ("how", "retired"),
            ("winner", "2"),
            ("sets", "6-4 2-1"),
        ])
        .await,
    );
    assert!(state().await.contains("retired"));
    location(&tell(&[("do", "take_back")]).await);
    assert!(state().await.contains("on court"));
    a_match_moves_and_only_those_who_keep_the_order_are_asked(&harness, &at).await;
}

async fn a_match_moves_and_only_those_who_keep_the_order_are_asked(harness: &Harness, at: &str) {
    let referee = Role::Referee;
    let move_it = [("do", "move"), ("court", "C2"), ("seq", "2"), ("match", "M2")];
    let move_it = [&[("day", DAY)][..], &move_it].concat();
    location(&send(harness, referee, "/court-times/matches", &move_it).await);
    let day = page(harness, referee, at).await;
    let second = day.find("id=\"court-C2\"").expect("the second court");
    assert!(day.find("id=\"match-M2\"").expect("the match") > second);
    let desk = Role::Desk;
    let refused = send(
        harness,
        desk,
        "/court-times/matches",
        &[("day", DAY), ("match", "M3"), ("do", "called")],
    )
    .await;
    assert_eq!(refused.status, 403);
    assert!(
        !page(harness, desk, at)
            .await
            .contains("action=\"/court-times/matches\"")
    );
}

#[actix_web::test]
async fn a_player_subscribes_to_their_ready_bys_by_their_link() {
    let (harness, _) = with_a_racket().await;
    let (_, link) = code_and_link(&harness).await;
    let asked = |path: String| TestRequest::with_uri(&path);
    let phone = harness.ask(asked(format!("/p/{link}?lang=fr"))).await;
    let address = format!("/p/{link}/calendar.ics?lang=fr");
    assert!(phone.text.contains(&address), "{}", phone.text);
    let calendar = harness.ask(asked(address)).await;
    assert_eq!(calendar.header("content-type"), "text/calendar; charset=utf-8");
    // a reader of other authors finds one event with all that the standard asks for
    let theirs: icalendar::Calendar = calendar.text.parse().expect("a calendar");
    let events: Vec<_> = theirs.events().collect();
    assert_eq!(events.len(), 1);
    assert!(icalendar::Component::get_uid(events[0]).is_some_and(|uid| uid.ends_with("@weftdesk.invalid")));
    assert!(icalendar::Component::get_timestamp(events[0]).is_some());
    // the time that the page says, which is two hours ahead of UTC in Paris
    let page = phone.text.replace(['\u{2068}', '\u{2069}'], "");
    let (_, safe) = page.split_once("très probablement avant ").expect("a safe time");
    let hour: u32 = safe[..2].parse().expect("an hour");
    let start = format!("DTSTART:20260502T{:02}{}00Z\r\n", hour - 2, &safe[3..5]);
    assert!(calendar.text.contains(&start), "{start} in {}", calendar.text);
    assert!(
        calendar
            .text
            .contains("SUMMARY;LANGUAGE=fr:Raquette three dots prête\r\n")
    );
    for secret in ["24", "String A", "Example A."] {
        let told = calendar.text.replace("T0", "");
        assert!(
            !told.contains(&format!(" {secret}")) && !told.contains(&format!(":{secret}")),
            "{secret}"
        );
    }
    let ended = harness
        .ask(asked("/p/nobody/calendar.ics?lang=fr".to_owned()))
        .await;
    assert_eq!(ended.status, 404);
    assert!(ended.text.contains("Ce lien n’est plus valable."));
}
