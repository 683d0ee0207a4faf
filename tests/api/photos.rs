//! Photos of marks: what comes in, what is kept of it, who sees it, and how it goes.
use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::form_with_files::{Part, form};
use crate::harness::{Harness, Reply, found};
use crate::jobs::{ready, taken_in};

/// Made by another program; see `tests/data/README.md`.
const CRACK: &[u8] = include_bytes!("../data/photos/crack.jpg");
pub(crate) const DOTS_PNG: &[u8] = include_bytes!("../data/photos/dots.png");
pub(crate) const DOTS_WEBP: &[u8] = include_bytes!("../data/photos/dots.webp");

struct Sending<'a> {
    harness: &'a Harness,
    racket: &'a str,
    key: String,
    boundary: &'a str,
}

impl Sending<'_> {
    async fn send(&self, role: Role, parts: &[Part<'_>]) -> Reply {
        let address = format!("/v1/rackets/{}/photos", self.racket);
        let kind = format!("multipart/form-data; boundary={}", self.boundary);
        let request = self.harness.signed(Method::POST, role, &address);
        let request = request
            .insert_header(("Content-Type", kind))
            .insert_header(("Idempotency-Key", self.key.clone()))
            .set_payload(form(self.boundary, parts));
        self.harness.ask(request).await
    }
}

fn to<'a>(harness: &'a Harness, racket: &'a str) -> Sending<'a> {
    Sending {
        harness,
        racket,
        key: harness.fresh_key(),
        boundary: "AaB03x",
    }
}

pub(crate) async fn kept(harness: &Harness, racket: &str, file: &[u8]) -> Value {
    let sending = to(harness, racket);
    let reply = sending.send(Role::Desk, &[("photo", Some("x"), file)]).await;
    reply.expect(201)
}

pub(crate) fn address(photo: &Value) -> String {
    format!("/v1/photos/{}", photo["id"].as_str().expect("an id"))
}

pub(crate) async fn list(harness: &Harness, racket: &str) -> Vec<Value> {
    let reply = harness
        .get(Role::Desk, &format!("/v1/rackets/{racket}/photos"))
        .await;
    reply.expect(200)["items"].as_array().expect("a list").clone()
}

/// The markers of a JPEG up to its points (ITU T.81, B.1).
fn markers(file: &[u8]) -> Vec<u8> {
    assert_eq!(file[..2], [0xff, 0xd8], "a JPEG");
    let mut all = Vec::new();
    let mut at = 2;
    while file[at] == 0xff && file[at + 1] != 0xda {
        all.push(file[at + 1]);
        at += 2 + usize::from(u16::from_be_bytes([file[at + 2], file[at + 3]]));
    }
    all
}

fn holds(file: &[u8], words: &str) -> bool {
    file.windows(words.len()).any(|window| window == words.as_bytes())
}

#[actix_web::test]
async fn a_photo_is_kept_upright_and_small_and_tells_nothing_but_the_picture() {
    let (harness, fixture) = ready().await;
    let photo = kept(&harness, fixture.id("P1/1"), CRACK).await;
    // the camera was turned and the longest side was 1800
    assert_eq!(
        (&photo["width_px"], &photo["height_px"]),
        (&json!(1067), &json!(1600))
    );
    assert_eq!(
        list(&harness, fixture.id("P1/1")).await,
        std::slice::from_ref(&photo)
    );
    for (size, longest) in [("", 1600), ("?size=small", 320), ("?size=whole", 1600)] {
        let shown = harness.get(Role::Stringer, &(address(&photo) + size)).await;
        assert_eq!(shown.status, 200, "{}", shown.text);
        assert_eq!(shown.header("Content-Type"), "image/jpeg");
        assert_eq!(shown.header("Cache-Control"), "private, no-cache");
        assert_eq!(shown.header("X-Content-Type-Options"), "nosniff");
        let name = format!(
            "inline; filename=\"{}.jpg\"",
            photo["id"].as_str().expect("an id")
        );
        assert_eq!(shown.header("Content-Disposition"), name);
        let picture = image::load_from_memory(&shown.bytes).expect("a picture");
        assert_eq!(picture.height(), longest);
        for told in ["Exif", "Example Camera", "2026:05:02", "taken at the gate"] {
            assert!(holds(CRACK, told) && !holds(&shown.bytes, told), "{told}");
        }
        assert!(markers(CRACK).contains(&0xe1) && markers(CRACK).contains(&0xfe));
        let told: Vec<u8> = markers(&shown.bytes)
            .into_iter()
            .filter(|code| *code >= 0xe0)
            .collect();
        assert_eq!(told, [0xe0], "only APP0");
    }
}

#[actix_web::test]
async fn a_file_is_what_its_bytes_are_and_not_what_it_is_called() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    for (name, file) in [("dots.jpg", DOTS_PNG), ("dots.txt", DOTS_WEBP)] {
        let sending = to(&harness, racket);
        let reply = sending.send(Role::Desk, &[("photo", Some(name), file)]).await;
        let photo = reply.expect(201);
        assert_eq!(
            (&photo["width_px"], &photo["height_px"]),
            (&json!(640), &json!(480))
        );
    }
    for file in [
        &b"GIF89a\x01\0\x01\0\0\0\0;"[..],
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        &DOTS_PNG[..DOTS_PNG.len() / 2],
    ] {
        let refused = to(&harness, racket)
            .send(Role::Desk, &[("photo", Some("crack.jpg"), file)])
            .await;
        assert_eq!(refused.refusal(), (422, "invalid_body"), "{}", refused.text);
        assert_eq!(refused.first_pointer(), "/photo");
    }
    assert_eq!(list(&harness, racket).await.len(), 2);
}

#[actix_web::test]
async fn a_photo_belongs_to_a_mark_of_a_job_where_that_is_said() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let job_id = job["id"].as_str().expect("an id");
    let sent = |job: String, place: &'static str| {
        let (harness, fixture) = (&harness, &fixture);
        async move {
            let parts: [Part<'_>; 3] = [
                ("job_id", None, job.as_bytes()),
                ("place", None, place.as_bytes()),
                ("photo", Some("a.png"), DOTS_PNG),
            ];
            to(harness, fixture.id("P1/1")).send(Role::Stringer, &parts).await
        }
    };
    let photo = sent(job_id.to_owned(), "throat").await.expect(201);
    assert_eq!(
        (&photo["job_id"], &photo["place"]),
        (&job["id"], &json!("throat"))
    );
    assert_eq!(photo["account_id"], json!(harness.accounts["stringer"]));
    let other = taken_in(&harness, &fixture, "P1/2").await;
    let other = other["id"].as_str().expect("an id").to_owned();
    assert_eq!(sent(other, "throat").await.first_pointer(), "/job_id");
    assert_eq!(sent(job_id.to_owned(), "grip").await.first_pointer(), "/place");
    let story = harness
        .get(Role::Desk, &format!("/v1/rackets/{}/story", fixture.id("P1/1")))
        .await
        .expect(200);
    let told = last(&story);
    assert_eq!(told["type"], "weftdesk.racket.photo_kept");
    assert_eq!(
        told["data"],
        json!({"photo_id": photo["id"], "job_id": job["id"], "place": "throat"})
    );
}

pub(crate) fn last(story: &Value) -> &Value {
    story["items"]
        .as_array()
        .and_then(|all| all.last())
        .expect("an entry")
}

#[actix_web::test]
async fn the_same_request_keeps_one_photo_however_its_parts_are_divided() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    let mut sending = to(&harness, racket);
    let first = sending
        .send(Role::Desk, &[("photo", Some("a.png"), DOTS_PNG)])
        .await;
    sending.boundary = "----another";
    let again = sending
        .send(Role::Desk, &[("photo", Some("b.png"), DOTS_PNG)])
        .await;
    assert_eq!(again.header("Idempotency-Replayed"), "true");
    assert_eq!(first.expect(201), again.expect(201));
    let other = sending
        .send(Role::Desk, &[("photo", Some("a.png"), DOTS_WEBP)])
        .await;
    assert_eq!(other.refusal(), (422, "idempotency_key_reused"));
    assert_eq!(list(&harness, racket).await.len(), 1);
}

#[actix_web::test]
async fn too_large_too_many_or_no_photo_is_refused_by_name() {
    let (harness, fixture) = ready().await;
    let racket = fixture.id("P1/1");
    // the largest that is read: 8 MiB, of which the points are a small part
    let mut large = DOTS_PNG.to_vec();
    large.resize(8 * 1024 * 1024, 0);
    kept(&harness, racket, &large).await;
    large.push(0);
    let refused = to(&harness, racket)
        .send(Role::Desk, &[("photo", Some("a.png"), &large)])
        .await;
    assert_eq!(refused.refusal(), (413, "body_too_large"));
    assert_eq!(refused.first_pointer(), "/photo");
    let two: [Part<'_>; 2] = [("photo", Some("a"), DOTS_PNG), ("photo", Some("b"), DOTS_PNG)];
    for (parts, pointer) in [
        (&two[..], "/photo"),
        (&[][..], "/photo"),
        (&[("photo", Some(""), &b""[..])][..], "/photo"),
        (&[("colour", None, &b"red"[..]), two[0]][..], "/colour"),
    ] {
        let refused = to(&harness, racket).send(Role::Desk, parts).await;
        assert_eq!(
            (refused.refusal(), refused.first_pointer()),
            ((422, "invalid_body"), pointer),
            "{}",
            refused.text
        );
    }
    for _ in 1..8 {
        kept(&harness, racket, DOTS_PNG).await;
    }
    let ninth = to(&harness, racket)
        .send(Role::Desk, &[("photo", Some("a"), DOTS_PNG)])
        .await;
    assert_eq!(ninth.refusal(), (422, "rule_refused"));
    assert_eq!(ninth.first_pointer(), "/photo");
    assert_eq!(list(&harness, racket).await.len(), 8);
}

#[actix_web::test]
async fn a_body_of_another_kind_or_cut_off_is_refused_in_both_languages() {
    let (harness, fixture) = ready().await;
    let place = format!("/v1/rackets/{}/photos", fixture.id("P1/1"));
    let json = harness.post(Role::Desk, &place, json!({})).await;
    assert_eq!(json.refusal(), (415, "unsupported_media_type"));
    let whole = form("AaB03x", &[("photo", Some("a"), DOTS_PNG)]);
    for (language, words) in [("en", "Send the photo whole"), ("fr", "Envoyez la photo entière")] {
        let cut = harness
            .signed(Method::POST, Role::Desk, &place)
            .insert_header(("Content-Type", "multipart/form-data; boundary=AaB03x"))
            .insert_header(("Idempotency-Key", harness.fresh_key()))
            .insert_header(("Accept-Language", language))
            .set_payload(whole[..whole.len() / 2].to_vec());
        let cut = harness.ask(cut).await;
        assert_eq!(cut.refusal(), (422, "invalid_body"), "{}", cut.text);
        assert!(cut.text.contains(words), "{}", cut.text);
    }
    assert!(list(&harness, fixture.id("P1/1")).await.is_empty());
}

#[actix_web::test]
async fn a_photo_that_is_held_is_not_sent_again() {
    let (harness, fixture) = ready().await;
    let photo = kept(&harness, fixture.id("P1/1"), DOTS_PNG).await;
    let whole = harness.get(Role::Desk, &address(&photo)).await;
    let small = harness.get(Role::Desk, &(address(&photo) + "?size=small")).await;
    assert_ne!(whole.header("ETag"), small.header("ETag"));
    let ask = |tag: String| {
        let request = harness.signed(Method::GET, Role::Desk, &address(&photo));
        harness.ask(request.insert_header(("If-None-Match", tag)))
    };
    let held = ask(whole.header("ETag").to_owned()).await;
    assert_eq!((held.status, held.bytes.len()), (304, 0));
    assert_eq!(held.header("ETag"), whole.header("ETag"));
    assert_eq!(held.header("Cache-Control"), "private, no-cache");
    assert_eq!(ask(small.header("ETag").to_owned()).await.status, 200);
    let wrong = harness.get(Role::Desk, &(address(&photo) + "?size=huge")).await;
    assert_eq!(wrong.refusal(), (400, "invalid_parameter"));
}

#[actix_web::test]
async fn photos_of_another_tournament_are_not_there() {
    let (harness, fixture) = ready().await;
    let photo = kept(&harness, fixture.id("P1/1"), DOTS_PNG).await;
    let other = found(&harness.desk, "Second Open").await;
    let bearer = format!("Bearer {}", harness.token_in(&other, Role::Admin));
    let racket = format!("/v1/rackets/{}/photos", fixture.id("P1/1"));
    for (method, place) in [
        (Method::GET, address(&photo)),
        (Method::DELETE, address(&photo)),
        (Method::GET, racket.clone()),
        (Method::POST, racket),
    ] {
        let request = actix_web::test::TestRequest::with_uri(&place)
            .method(method)
            .insert_header(("Content-Type", "multipart/form-data; boundary=AaB03x"))
            .insert_header(("Idempotency-Key", harness.fresh_key()))
            .insert_header(("Authorization", bearer.clone()))
            .set_payload(form("AaB03x", &[("photo", Some("a"), DOTS_PNG)]));
        assert_eq!(
            harness.ask(request).await.refusal(),
            (404, "not_found"),
            "{place}"
        );
    }
    assert_eq!(harness.get(Role::Runner, &address(&photo)).await.status, 200);
}

/// For the table of roles: a photo that is there to be asked for, though one of them may have removed the last.
pub(crate) async fn some_photo(harness: &Harness, racket: &str) -> String {
    let photo = match list(harness, racket).await.pop() {
        Some(photo) => photo,
        None => kept(harness, racket, DOTS_PNG).await,
    };
    photo["id"].as_str().expect("an id").to_owned()
}
