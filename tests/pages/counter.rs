//! Ways out besides the usual one, and what a player asks for from their phone.
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;

use crate::browser::{form, location, send, shown};
use crate::day::{code_and_link, hand_in, option, page, set_up, with_a_racket};
use crate::harness::Harness;

/// The six digits on the player's page.
async fn code_on_the_phone(harness: &Harness, link: &str) -> String {
    let phone = TestRequest::with_uri(&format!("/p/{link}?ask=code&lang=en"));
    let page = shown(harness.ask(phone).await);
    let start = page.find("<bdi>").expect("the code is shown") + "<bdi>".len();
    page[start..].split('<').next().unwrap_or_default().to_owned()
}

#[actix_web::test]
async fn a_racket_is_given_back_as_it_is_against_the_code_on_the_phone() {
    let (harness, job) = with_a_racket().await;
    let (code, link) = code_and_link(&harness).await;
    let found = page(&harness, Role::Desk, &format!("/hand-out?q={code}")).await;
    assert!(
        found.contains("in-hand"),
        "the scanned tag opens its player's card"
    );
    let named = "name=\"player_id\" value=\"";
    let start = found.find(named).expect("whose card it is") + named.len();
    let id = found[start..].split('"').next().unwrap_or_default();
    let card = format!("/hand-out?player={id}");
    let shown_card = page(&harness, Role::Desk, &card).await;
    assert!(shown_card.contains("value=\"give_back\"") && !shown_card.contains("value=\"hand_out\""));
    let scanned = page(&harness, Role::Desk, &format!("{card}&q={code}")).await;
    assert!(scanned.contains("in-hand"), "the scanned tag ticks its racket");

    let player = card.rsplit('=').next().unwrap_or_default();
    let digits = code_on_the_phone(&harness, &link).await;
    let giving = |proof_value| {
        [
            ("player_id", player),
            ("job_id", job.as_str()),
            ("how", "give_back"),
            ("proof", "phone_code"),
            ("proof_value", proof_value),
        ]
    };
    let wrong = send(&harness, Role::Desk, "/hand-out", &giving("000 00")).await;
    assert_eq!(wrong.status, 422, "{}", wrong.text);
    let given = send(&harness, Role::Desk, "/hand-out", &giving(&digits)).await;
    assert_eq!(location(&given), "/hand-out");
    assert!(
        page(&harness, Role::Desk, &card)
            .await
            .contains("No racket of theirs is here.")
    );
}

#[actix_web::test]
async fn a_player_names_who_collects_and_asks_for_a_change() {
    let (harness, job) = with_a_racket().await;
    let (_, link) = code_and_link(&harness).await;
    let address = format!("/p/{link}");
    let named = form(
        &address,
        &[("once", "k1"), ("lang", "en"), ("delegate", "Coach Example")],
    );
    let told = location(&harness.ask(named).await);
    assert!(told.contains("asked=delegate"));
    let shown_again = shown(harness.ask(TestRequest::with_uri(&told)).await);
    assert!(shown_again.contains("May also collect: ") && shown_again.contains("Coach Example"));
    let asked = form(
        &address,
        &[
            ("once", "k2"),
            ("lang", "en"),
            ("job_id", job.as_str()),
            ("change", "one kilo down"),
        ],
    );
    assert!(location(&harness.ask(asked).await).contains("asked=change"));

    assert!(
        page(&harness, Role::Desk, "/snags")
            .await
            .contains("one kilo down")
    );
    let (code, _) = code_and_link(&harness).await;
    let found = page(&harness, Role::Desk, &format!("/hand-out?q={code}")).await;
    assert!(
        found.contains("in-hand"),
        "the scanned tag opens its player's card"
    );
    let named = "name=\"player_id\" value=\"";
    let start = found.find(named).expect("whose card it is") + named.len();
    let id = found[start..].split('"').next().unwrap_or_default();
    let card = format!("/hand-out?player={id}");
    assert!(
        page(&harness, Role::Desk, &card)
            .await
            .contains("value=\"delegate:Coach Example\"")
    );
    let withdrawn = form(
        &address,
        &[("once", "k4"), ("lang", "en"), ("withdraw", "Coach Example")],
    );
    assert!(location(&harness.ask(withdrawn).await).contains("asked=withdrawn"));
    assert!(
        !page(&harness, Role::Desk, &card)
            .await
            .contains("value=\"delegate:Coach Example\"")
    );
    let ended = form("/p/nobody", &[("once", "k3"), ("delegate", "Coach Example")]);
    assert_eq!(harness.ask(ended).await.status, 404);
}

#[actix_web::test]
async fn a_change_is_asked_for_a_racket_that_is_here_and_the_answer_names_it() {
    let (harness, job) = with_a_racket().await;
    let (_, link) = code_and_link(&harness).await;
    let address = format!("/p/{link}");
    let ask = async |once: &str, job: &str| {
        let fields = [
            ("once", once),
            ("lang", "en"),
            ("job_id", job),
            ("change", "one kilo down"),
        ];
        harness.ask(form(&address, &fields)).await
    };
    for none in ["", "job_nobody"] {
        let refused = ask(&format!("none{none}"), none).await;
        assert_eq!(refused.status, 422, "{none}");
        assert!(refused.text.contains("Choose one of the rackets") && refused.text.contains("one kilo down"));
    }
    let told = location(&ask("one", &job).await);
    let answer = shown(harness.ask(TestRequest::with_uri(&told)).await);
    let answer = answer.replace(['\u{2068}', '\u{2069}'], "");
    assert!(
        answer.contains("The desk has your request for racket three dots."),
        "{answer}"
    );
}

#[actix_web::test]
async fn only_an_admin_sees_every_component() {
    let harness = Harness::start().await;
    assert!(
        page(&harness, Role::Admin, "/styleguide?place=bench")
            .await
            .contains("chip-late")
    );
    assert_eq!(harness.get(Role::Desk, "/styleguide").await.status, 403);
}

#[actix_web::test]
async fn stock_is_booked_in_and_counted() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let stock = page(&harness, Role::Desk, "/stock").await;
    let start = stock.find("name=\"string_id\"").expect("the list of strings");
    let value = stock[start..].find("value=\"").expect("a string") + start + "value=\"".len();
    let string = stock[value..].split('"').next().unwrap_or_default().to_owned();
    let receive = |length| {
        [
            ("string_id", string.as_str()),
            ("kind", "reel"),
            ("length_m", length),
        ]
    };
    let refused = send(&harness, Role::Desk, "/stock/receive", &receive("long")).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text.contains("Give the metres"));
    location(&send(&harness, Role::Desk, "/stock/receive", &receive("200,5")).await);
    let stock = page(&harness, Role::Desk, "/stock").await;
    assert!(stock.contains("200.5 m") && stock.contains("about 16 jobs"));
    let start = stock.find("action=\"/stock/").expect("a piece");
    let counts = stock[start..].match_indices("/stock/");
    let address = counts
        .map(|(at, _)| stock[start + at..].split('"').next().unwrap_or_default())
        .find(|address| address.ends_with("/count"))
        .expect("its count form");
    let fields = [("version", "1"), ("remaining_m", "24"), ("reason", "measured")];
    location(&send(&harness, Role::Desk, address, &fields).await);
    assert!(page(&harness, Role::Desk, "/stock").await.contains("24.0 m"));

    // what a player brought stands apart and reaches for nobody else
    hand_in(&harness).await;
    let mut own = receive("6.1").to_vec();
    own[1] = ("kind", "half_set");
    own.push(("owner", "nobody of this name"));
    let refused = send(&harness, Role::Desk, "/stock/receive", &own).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text.contains("owner-fault") && refused.text.contains("No player of this name"));
    own[3] = ("owner", "example");
    location(&send(&harness, Role::Desk, "/stock/receive", &own).await);
    let stock = page(&harness, Role::Desk, "/stock").await;
    let start = stock.find("id=\"own\"").expect("players' own string");
    assert!(stock[start..].contains("Example A.") && stock[start..].contains("half set"));
    assert!(stock[start..].contains("less than a job"));
    let before = &stock[..start];
    assert!(before.contains("about 2 jobs") && !before.contains("6.1 m"));
}

#[actix_web::test]
async fn whoever_decides_second_reads_who_was_first_and_with_what() {
    let (harness, _) = with_a_racket().await;
    let snags = page(&harness, Role::Desk, "/snags").await;
    assert!(snags.contains("For the bench") && snags.contains("ready by "));
    let start = snags.find("action=\"/snags/").expect("a snag") + "action=\"".len();
    let address = snags[start..].split('"').next().unwrap_or_default();
    let frame = [("choice", "string_from_frame")];
    location(&send(&harness, Role::Stringer, address, &frame).await);
    let second = send(&harness, Role::Desk, address, &[("choice", "give_back")]).await;
    assert_eq!(second.status, 409);
    let told = "Somebody decided this first. ";
    let start = second.text.find(told).expect("that somebody was first") + told.len();
    let line = second.text[start..].split('<').next().unwrap_or_default();
    assert!(line.contains("String it, reading the frame"), "{line}");
    let snags = page(&harness, Role::Desk, "/snags").await;
    assert!(
        snags.contains("Decided last") && snags.contains(line.trim_end_matches('.')),
        "{line}"
    );
}

#[actix_web::test]
async fn what_a_players_phone_cannot_take_is_said_in_their_language_and_keeps_what_was_typed() {
    let (harness, job) = with_a_racket().await;
    let (_, link) = code_and_link(&harness).await;
    let address = format!("/p/{link}");
    let ask = async |once: &str, fields: &[(&str, &str)]| {
        let mut all = vec![("once", once), ("lang", "de"), ("still", "yes")];
        all.extend(fields);
        harness.ask(form(&address, &all)).await
    };
    let long = "x".repeat(121);
    let wrong = ask("w1", &[("job_id", &job), ("change", &long)]).await;
    assert_eq!(wrong.status, 422);
    assert!(
        wrong
            .text
            .contains("was geändert werden soll, höchstens 120 Zeichen")
            && wrong.text.contains(&long)
    );
    assert!(wrong.text.contains("lang=\"de\"") && wrong.text.contains("still=yes"));
    let nobody = ask("w2", &[("delegate", "  ")]).await;
    assert_eq!(nobody.status, 422);
    assert!(nobody.text.contains("Bitte einen Namen eingeben"));
    // a link may ask only so often; that too is said so that its reader understands it
    let mut last = nobody;
    for number in 0..20 {
        let name = format!("Coach {number}");
        last = ask(&format!("n{number}"), &[("delegate", &name)]).await;
        if last.status == 429 {
            break;
        }
    }
    assert_eq!(last.status, 429);
    assert!(
        last.text.contains("Zu viele Anfragen von dieser Seite."),
        "{}",
        last.text
    );
}

/// Takes two new rackets of one new player in; answers the player's id.
async fn two_rackets(harness: &Harness) -> String {
    let form = page(harness, Role::Desk, "/hand-in?mode=new").await;
    let (frame, string) = (option(&form, "F-16x19"), option(&form, "String A"));
    let mut fields = vec![
        ("wish", "new"),
        ("lines", "2"),
        ("new_player_name", "Example B."),
        ("mains_string_id", string.as_str()),
        ("crosses_string_id", string.as_str()),
        ("condition", "ok"),
    ];
    let lines = ["1", "2"].map(|line| {
        [
            ("racket_id", "new"),
            ("frame_id", frame.as_str()),
            ("marks", line),
            ("as_said", "24/23 kg"),
            ("ready_by", "12:00"),
        ]
        .map(|(field, value)| (format!("line_{line}_{field}"), value))
    });
    fields.extend(
        lines
            .iter()
            .flatten()
            .map(|(name, value)| (name.as_str(), *value)),
    );
    let taken = location(&send(harness, Role::Desk, "/hand-in", &fields).await);
    let first = taken.rsplit('=').next().unwrap_or_default();
    harness.get(Role::Desk, &format!("/v1/jobs/{first}")).await.json["player"]["id"]
        .as_str()
        .map(str::to_owned)
        .expect("whose racket it is")
}

#[actix_web::test]
async fn all_that_is_given_back_at_once_goes_with_who_was_named_for_one_time() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let player = two_rackets(&harness).await;
    let card = format!("/hand-out?player={player}");
    let name = [
        ("player_id", player.as_str()),
        ("how", "name_delegate"),
        ("delegate_name", "Partner Example"),
    ];
    location(&send(&harness, Role::Desk, "/hand-out", &name).await);
    let shown = page(&harness, Role::Desk, &card).await;
    let jobs: Vec<&str> = shown
        .split("name=\"job_id\" value=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert_eq!(jobs.len(), 2, "{shown}");
    let mut giving = vec![
        ("player_id", player.as_str()),
        ("how", "give_back"),
        ("proof", "delegate:Partner Example"),
    ];
    let none = send(&harness, Role::Desk, "/hand-out", &giving).await;
    assert_eq!(none.status, 422);
    assert!(none.text.contains("Tick the rackets in your hand") && none.text.contains("Partner Example"));
    giving.extend(jobs.iter().map(|job| ("job_id", *job)));
    assert_eq!(
        location(&send(&harness, Role::Desk, "/hand-out", &giving).await),
        "/hand-out"
    );
    let gone = page(&harness, Role::Desk, &card).await;
    assert!(
        gone.contains("No racket of theirs is here.") && !gone.contains("value=\"delegate:Partner Example\"")
    );
}

#[actix_web::test]
async fn a_player_stops_the_page_from_loading_itself() {
    let (harness, _) = with_a_racket().await;
    let (_, link) = code_and_link(&harness).await;
    let at = |asked: &str| harness.ask(TestRequest::with_uri(&format!("/p/{link}?lang=en{asked}")));
    let loading = at("").await;
    assert_eq!(loading.header("Refresh"), "60");
    // a link that was copied in part is one that ended, for programs and people alike
    let bare = harness.ask(TestRequest::with_uri("/p/?lang=fr")).await;
    assert_eq!(bare.status, 404);
    assert!(bare.text.contains("Ce lien n’est plus valable."));
    // the code changes, so its page is read again too, and says until when it is taken
    let code = at("&ask=code").await;
    assert_eq!(code.header("Refresh"), "60");
    assert!(code.text.contains("Valid until"));
    assert!(loading.text.contains("reloads every minute") && loading.text.contains("still=yes"));
    let still = at("&still=yes").await;
    assert_eq!((still.status, still.header("Refresh")), (200, ""));
    assert!(!still.text.contains("reloads every minute"));
}
