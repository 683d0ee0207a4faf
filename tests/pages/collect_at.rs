//! Where players collect: set in Setup, said on the phone, the ticket, the calendar and at the counter.
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;

use crate::browser::{location, send, shown};
use crate::day::{code_and_link, hand_in, page, set_up};
use crate::harness::Harness;

/// What a careless page or calendar would trip over.
const PLACE: &str = "Gate B, <b>beside</b> \"Court 1\"; ask \\ Ana & Leo";
/// The same in HTML.
const IN_HTML: &str =
    "<bdi>Gate B, &#60;b&#62;beside&#60;/b&#62; &#34;Court 1&#34;; ask \\ Ana &#38; Leo</bdi>";
/// The words for it in the ten languages of players.
const LABELS: [(&str, &str); 10] = [
    ("en", "Where to collect"),
    ("es", "Lugar de recogida"),
    ("fr", "Lieu de retrait"),
    ("de", "Abholort"),
    ("it", "Luogo di ritiro"),
    ("pt", "Local de levantamento"),
    ("ja", "お受け取り場所"),
    ("zh-Hans", "领取地点"),
    ("ko", "수령 장소"),
    ("ar", "مكان الاستلام"),
];

async fn set(harness: &Harness, place: &str) {
    let fields = [("collect_collect_at", place)];
    let kept = send(harness, Role::Admin, "/setup/collect", &fields).await;
    assert_eq!(location(&kept), "/setup");
}

async fn on_the_phone(harness: &Harness, path: &str) -> String {
    shown(harness.ask(TestRequest::with_uri(path)).await)
}

/// The place that a calendar of other authors finds for the player's racket.
async fn in_the_calendar(harness: &Harness, link: &str) -> Option<String> {
    let text = on_the_phone(harness, &format!("/p/{link}/calendar.ics?lang=ar")).await;
    let theirs: icalendar::Calendar = text.parse().expect("a calendar");
    let event = theirs.events().next().expect("the racket's event");
    icalendar::EventLike::get_location(event).map(str::to_owned)
}

#[actix_web::test]
async fn the_place_stands_on_phone_ticket_calendar_and_kit_and_nowhere_before_it_is_set() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let job = hand_in(&harness).await;
    let (_, link) = code_and_link(&harness).await;
    let desk = Role::Desk;
    let (ticket, taken) = (format!("/jobs/{job}/ticket"), format!("/hand-in?taken={job}"));
    for (language, label) in LABELS {
        let phone = on_the_phone(&harness, &format!("/p/{link}?lang={language}")).await;
        assert!(
            !phone.contains(label) && !phone.contains("class=\"where\""),
            "{label}"
        );
    }
    assert!(!page(&harness, desk, &ticket).await.contains("Where to collect"));
    assert!(!page(&harness, desk, &taken).await.contains("Collected at"));
    assert!(
        !page(&harness, desk, "/paper-kit")
            .await
            .contains("Players collect at")
    );
    assert_eq!(in_the_calendar(&harness, &link).await, None);

    set(&harness, PLACE).await;
    for (language, label) in LABELS {
        for part in ["", "&ask=code"] {
            let phone = on_the_phone(&harness, &format!("/p/{link}?lang={language}{part}")).await;
            assert!(
                phone.contains(label) && phone.contains(IN_HTML),
                "{label}: {phone}"
            );
        }
    }
    for (path, words) in [
        (ticket.as_str(), "Where to collect"),
        (&taken, "Collected at"),
        ("/paper-kit", "Players collect at"),
    ] {
        let sheet = page(&harness, desk, path).await;
        assert!(
            sheet.contains(words) && sheet.contains(IN_HTML),
            "{path}: {sheet}"
        );
    }
    assert_eq!(in_the_calendar(&harness, &link).await.as_deref(), Some(PLACE));

    set(&harness, "").await;
    let phone = on_the_phone(&harness, &format!("/p/{link}?lang=en")).await;
    assert!(!phone.contains("Where to collect"));
}

#[actix_web::test]
async fn the_place_is_corrected_in_setup_and_only_by_those_who_may() {
    let harness = Harness::start().await;
    set(&harness, "South Gate").await;
    let setup = page(&harness, Role::Admin, "/setup").await;
    assert!(
        setup.contains("name=\"collect_collect_at\" value=\"South Gate\""),
        "{setup}"
    );
    assert!(
        !page(&harness, Role::Coordinator, "/setup")
            .await
            .contains("Place to collect")
    );
    let long = "x".repeat(121);
    let fields = [("collect_collect_at", long.as_str())];
    let refused = send(&harness, Role::Admin, "/setup/collect", &fields).await;
    assert_eq!(refused.status, 422);
    let fault = refused.text.split("id=\"collect_collect_at-fault\"").nth(1);
    assert!(
        fault.is_some_and(|fault| fault.contains("at most 120 characters")),
        "{}",
        refused.text
    );
    assert!(refused.text.contains(&long), "what was typed is still there");
    let coordinators = send(&harness, Role::Coordinator, "/setup/collect", &fields[..1]).await;
    assert_eq!(coordinators.status, 403);
    set(&harness, "North Gate").await;
    let setup = page(&harness, Role::Admin, "/setup").await;
    assert!(setup.contains("<bdi>North Gate</bdi>") && !setup.contains("South Gate"));
}
