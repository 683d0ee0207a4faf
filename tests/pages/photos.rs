//! Photos of marks at the counter and the bench, as a browser without scripts sends and sees them.
use actix_web::http::Method;
use weftdesk::craft::roles::Role;
use weftdesk::desk::find;

use crate::browser::{location, send};
use crate::day::{code_and_link, option, page, set_up, taken_by_station_1, with_a_racket};
use crate::form_with_files::{Part, form};
use crate::harness::{Harness, Reply};

/// Made by another program; see `tests/data/README.md`.
const CRACK: &[u8] = include_bytes!("../data/photos/crack.jpg");
const DOTS: &[u8] = include_bytes!("../data/photos/dots.png");

/// Sends a form with files from our own page.
async fn send_files(harness: &Harness, path: &str, fields: &[(&str, &str)], files: &[Part<'_>]) -> Reply {
    let key = harness.fresh_key();
    let mut parts: Vec<Part<'_>> = vec![("once", None, key.as_bytes())];
    parts.extend(fields.iter().map(|(name, value)| (*name, None, value.as_bytes())));
    parts.extend(files);
    let request = harness.signed(Method::POST, Role::Desk, path);
    let request = request
        .insert_header(("Sec-Fetch-Site", "same-origin"))
        .insert_header(("Content-Type", "multipart/form-data; boundary=AaB03x"))
        .set_payload(form("AaB03x", &parts));
    harness.ask(request).await
}

/// A new player's new racket with a damaged throat; the unit is the caller's to give.
async fn damaged(harness: &Harness) -> Vec<(&'static str, String)> {
    let form = page(harness, Role::Desk, "/hand-in?mode=new").await;
    assert!(form.contains("enctype=\"multipart/form-data\"") && form.contains("type=\"file\""));
    let string = option(&form, "String A");
    let fields = [
        ("wish", "new"),
        ("lines", "1"),
        ("new_player_name", "Example A."),
        ("line_1_racket_id", "new"),
        ("line_1_marks", "three dots"),
        ("line_1_as_said", "24/23"),
        ("line_1_ready_by", "12:00"),
        ("condition", "marked"),
        ("damage", "throat"),
        ("damage_note", "a dent"),
    ];
    let fields = fields.map(|(name, value)| (name, value.to_owned()));
    let mut fields = Vec::from(fields);
    fields.push(("line_1_frame_id", option(&form, "F-16x19")));
    fields.push(("mains_string_id", string.clone()));
    fields.push(("crosses_string_id", string));
    fields
}

fn borrowed<'a>(fields: &'a [(&'static str, String)]) -> Vec<(&'a str, &'a str)> {
    fields
        .iter()
        .map(|(name, value)| (*name, value.as_str()))
        .collect()
}

/// The id of the only player.
async fn player(harness: &Harness) -> String {
    let tournament = harness.tournament.clone();
    let found = harness
        .desk
        .read(move |db| find::find(db, &tournament, "example"))
        .await;
    found.expect("a look").players.remove(0).id
}

/// What stands behind `before` up to the next quote.
#[track_caller]
fn behind<'a>(page: &'a str, before: &str) -> &'a str {
    let (_, rest) = page.split_once(before).expect("it stands on the page");
    rest.split('"').next().unwrap_or_default()
}

#[actix_web::test]
async fn a_photo_of_damage_is_seen_from_the_counter_to_the_story() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let mut fields = damaged(&harness).await;
    fields.push(("line_1_unit", "kg".to_owned()));
    let file: [Part<'_>; 1] = [("line_1_photo", Some("x.jpg"), CRACK)];
    let taken = location(&send_files(&harness, "/hand-in", &borrowed(&fields), &file).await);
    let taken = page(&harness, Role::Desk, &taken).await;
    let photo = format!("/photos/{}", behind(&taken, "<a class=\"photo\" href=\"/photos/"));
    for (address, kind) in [
        (photo.clone(), "image/jpeg"),
        (format!("{photo}?size=small"), "image/jpeg"),
    ] {
        let shown = harness.get(Role::Runner, &address).await;
        assert_eq!((shown.status, shown.header("Content-Type")), (200, kind));
        assert_eq!(shown.header("Cache-Control"), "private, no-cache");
    }
    assert_eq!(harness.get(Role::Accounts, &photo).await.status, 403);

    let player = player(&harness).await;
    let card = format!("/hand-out?player={player}");
    let returning = format!("/hand-in?player={player}");
    let inside = page(&harness, Role::Desk, "/hand-in").await;
    let story = format!("/rackets/{}", behind(&inside, "href=\"/rackets/"));
    for screen in [&card, &returning, &story] {
        let shown = page(&harness, Role::Desk, screen).await;
        assert!(
            shown.contains(&photo) && shown.contains("alt=\"Throat of the racket"),
            "{screen}"
        );
    }
    let told = page(&harness, Role::Desk, &story).await;
    assert!(told.contains("Photo kept") && told.contains("throat"));
    let racket = story.rsplit('/').next().unwrap_or_default();
    let call = [
        ("player_id", player.as_str()),
        ("racket_id", racket),
        ("court", "Court 2"),
    ];
    location(&send(&harness, Role::Desk, "/court-call", &call).await);
    let runs = page(&harness, Role::Runner, "/court-call").await;
    assert!(runs.contains(&photo), "who fetches it sees what it looks like");
    let gone = [("racket_id", racket)];
    let removed = send(&harness, Role::Desk, &format!("{photo}/remove"), &gone).await;
    assert_eq!(location(&removed), format!("{story}#photos"));
    let told = page(&harness, Role::Desk, &story).await;
    assert!(told.contains("Photo removed") && told.contains("by hand"));
    assert!(told.contains("not kept any more") && !told.contains(&photo) && told.contains("No photo"));
}

#[actix_web::test]
async fn a_form_that_is_refused_loses_neither_its_words_nor_its_photo() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let mut fields = damaged(&harness).await;
    let file: [Part<'_>; 1] = [("line_1_photo", Some("x.jpg"), CRACK)];
    let asked = send_files(&harness, "/hand-in", &borrowed(&fields), &file).await;
    assert_eq!(asked.status, 422);
    assert!(asked.text.contains("kilograms or pounds") && asked.text.contains("value=\"a dent\""));
    let again = behind(&asked.text, "name=\"line_1_photo_again\" value=\"").to_owned();
    assert!(
        asked.text.contains("src=\"data:image/jpeg;base64,/9j/"),
        "it is shown"
    );
    fields.push(("line_1_unit", "kg".to_owned()));
    fields.push(("line_1_photo_again", again));
    let mut without = fields.clone();
    without.push(("line_1_photo_out", "yes".to_owned()));
    for (fields, kept) in [(fields, true), (without, false)] {
        let taken = location(&send_files(&harness, "/hand-in", &borrowed(&fields), &[]).await);
        let taken = page(&harness, Role::Desk, &taken).await;
        assert_eq!(taken.contains("<a class=\"photo\""), kept);
    }
}

#[actix_web::test]
async fn what_is_no_photo_is_said_at_its_field_and_nothing_is_taken_in() {
    let harness = Harness::start().await;
    set_up(&harness).await;
    let mut fields = damaged(&harness).await;
    fields.push(("line_1_unit", "kg".to_owned()));
    let large = vec![0; 8 * 1024 * 1024 + 1];
    for (file, words) in [
        (&b"GIF89a"[..], "neither JPEG nor PNG nor WebP"),
        (&DOTS[..DOTS.len() / 2], "cannot be read"),
        (&large, "at most 8 MiB"),
    ] {
        let file: [Part<'_>; 1] = [("line_1_photo", Some("x.jpg"), file)];
        let refused = send_files(&harness, "/hand-in", &borrowed(&fields), &file).await;
        assert_eq!(refused.status, 422, "{}", refused.text);
        assert!(
            refused.text.contains("id=\"line_1_photo-fault\"") && refused.text.contains(words),
            "{words}"
        );
        assert!(
            refused.text.contains("value=\"a dent\""),
            "the rest is still there"
        );
    }
    let inside = page(&harness, Role::Desk, "/hand-in").await;
    assert!(inside.contains("No rackets in."));
}

#[actix_web::test]
async fn a_photo_is_added_from_the_story_and_a_missing_one_is_asked_for() {
    let (harness, _) = with_a_racket().await;
    let inside = page(&harness, Role::Desk, "/hand-in").await;
    let story = format!("/rackets/{}", behind(&inside, "href=\"/rackets/"));
    assert!(page(&harness, Role::Desk, &story).await.contains("No photo"));
    let place = format!("{story}/photos");
    let missing = send_files(&harness, &place, &[], &[("photo", Some(""), b"")]).await;
    assert_eq!(missing.status, 422);
    assert!(missing.text.contains("id=\"photo-fault\""), "{}", missing.text);
    let kept = send_files(&harness, &place, &[], &[("photo", Some("a"), DOTS)]).await;
    assert_eq!(location(&kept), format!("{story}#photos"));
    assert!(
        page(&harness, Role::Desk, &story)
            .await
            .contains("alt=\"Marks of the racket")
    );
    let forged = harness
        .signed(Method::POST, Role::Desk, &place)
        .insert_header(("Sec-Fetch-Site", "same-origin"))
        .insert_header(("Content-Type", "multipart/form-data; boundary=AaB03x"))
        .set_payload(form("AaB03x", &[("photo", Some("a"), DOTS)]));
    assert_eq!(
        harness.ask(forged).await.status,
        422,
        "a form of ours carries its key"
    );
}

#[actix_web::test]
async fn another_rackets_tag_at_the_bench_shows_both_rackets() {
    let (harness, _) = with_a_racket().await;
    let (code, _) = code_and_link(&harness).await;
    let mut fields = damaged(&harness).await;
    fields.push(("line_1_unit", "kg".to_owned()));
    let file: [Part<'_>; 1] = [("line_1_photo", Some("x.jpg"), CRACK)];
    let taken = location(&send_files(&harness, "/hand-in", &borrowed(&fields), &file).await);
    let taken = page(&harness, Role::Desk, &taken).await;
    let other = behind(&taken, "<span class=\"code tag-code\">");
    let other = other.split('<').next().unwrap_or_default();
    taken_by_station_1(&harness).await;
    let next = page(&harness, Role::Stringer, "/next-up").await;
    let start = format!("/jobs/{}", behind(&next, "action=\"/jobs/"));
    let own = behind(&next, "id=\"next-title\"><span class=\"code\">");
    let wrong = if own.starts_with(other) {
        code.as_str()
    } else {
        other
    };
    let scans = [("tag_code", wrong), ("strings_by_name", "yes")];
    let refused = send(&harness, Role::Stringer, &start, &scans).await;
    assert_eq!(refused.status, 422);
    let (_, both) = refused
        .text
        .split_once("id=\"mixed-up-title\"")
        .expect("the two side by side");
    let both = both.split("</section>").next().unwrap_or_default();
    for part in [code.as_str(), other, "<a class=\"photo\"", "No photo"] {
        assert!(both.contains(part), "{part}: {both}");
    }
}

#[actix_web::test]
async fn a_refused_removal_that_is_loaded_again_leads_to_the_photo() {
    let (harness, _) = with_a_racket().await;
    let inside = page(&harness, Role::Desk, "/hand-in").await;
    let story = format!("/rackets/{}", behind(&inside, "href=\"/rackets/"));
    let place = format!("{story}/photos");
    location(&send_files(&harness, &place, &[], &[("photo", Some("a"), DOTS)]).await);
    let told = page(&harness, Role::Desk, &story).await;
    let photo = format!("/photos/{}", behind(&told, "action=\"/photos/"));
    let racket = [("racket_id", story.rsplit('/').next().unwrap_or_default())];
    let refused = send(&harness, Role::Stringer, &photo, &racket).await;
    assert_eq!(refused.status, 403);
    for role in [Role::Stringer, Role::Desk] {
        let again = harness.get(role, &photo).await;
        assert_eq!(location(&again), format!("{story}#photos"));
    }
    assert_eq!(harness.get(Role::Accounts, &photo).await.status, 403);
    let gone = send(&harness, Role::Desk, &photo, &racket).await;
    assert_eq!(location(&gone), format!("{story}#photos"));
    let again = harness.get(Role::Desk, &photo).await;
    assert_eq!(again.status, 404);
    assert!(again.text.contains("There is no such photo"), "{}", again.text);
}

/// As the taps at the bench do: a refusal stands at the address of its form.
#[actix_web::test]
async fn whoever_loads_the_address_of_a_form_again_comes_to_its_screen() {
    let harness = Harness::start().await;
    for (form, screen) in [
        ("/setup/string", "/setup"),
        ("/setup/device", "/setup"),
        ("/setup/strings/str_1", "/setup"),
        ("/setup/devices/dev_1/revoke", "/setup"),
        ("/court-times/courts", "/court-times"),
        ("/court-times/matches", "/court-times"),
        ("/players/plyr_1/delegates", "/hand-in?player=plyr_1"),
    ] {
        assert_eq!(location(&harness.get(Role::Admin, form).await), screen, "{form}");
    }
}

#[actix_web::test]
async fn how_long_photos_stay_is_set_in_setup() {
    let harness = Harness::start().await;
    assert!(
        page(&harness, Role::Admin, "/setup")
            .await
            .contains("deleted 30 days after the racket has left")
    );
    for (typed, words) in [("many", "whole number"), ("0", "Give 1 to 366 days.")] {
        let fields = [("photos_photos_kept_days", typed)];
        let refused = send(&harness, Role::Admin, "/setup/photos", &fields).await;
        assert_eq!(refused.status, 422);
        let fault = refused.text.split("id=\"photos_photos_kept_days-fault\"").nth(1);
        assert!(
            fault.is_some_and(|fault| fault.contains(words)),
            "{}",
            refused.text
        );
    }
    let fields = [("photos_photos_kept_days", "14")];
    let kept = send(&harness, Role::Admin, "/setup/photos", &fields).await;
    assert_eq!(location(&kept), "/setup");
    assert!(
        page(&harness, Role::Admin, "/setup")
            .await
            .contains("deleted 14 days after the racket has left")
    );
}
