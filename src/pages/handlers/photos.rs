//! Photos of marks: shown, kept from a form with a file, removed.
use actix_web::HttpRequest;
use actix_web::web::{self, Payload, ServiceConfig};

use super::filled::Filled;
use super::visit::Visitor;
use super::{Shown, story, uploaded, words};
use crate::desk::job_sheet::JobSheet;
use crate::desk::keep_photo::{Mark, keep_photo, refused, remove_photo};
use crate::desk::racket_photos::{self, VIEWERS};
use crate::desk::reads::photos::{self, Photo};
use crate::desk::{DeskError, DeskResult, Thing};
use crate::pages::views::photos::{Photos, Thumb};
use crate::photos::{NotKept, prepare, shown};

/// The field of a form that keeps one photo.
const PHOTO: &str = "photo";

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/photos/{id}", web::get().to(show))
        .route("/photos/{id}/remove", web::post().to(remove))
        .route("/photos/{id}/remove", web::get().to(back))
        .route("/rackets/{id}/photos", web::post().to(keep));
}

/// The photos of one of several rackets, for a screen.
pub fn of_racket(visitor: &Visitor, all: &[Photo], racket_id: &str, whose: &str) -> Photos {
    let own = all.iter().filter(|photo| photo.racket_id == racket_id);
    Photos {
        thumbs: own.map(|photo| thumb(visitor, photo, whose)).collect(),
    }
}

/// The photos of the racket of a job; its code says whose.
pub fn of_job(visitor: &Visitor, all: &[Photo], sheet: &JobSheet) -> Photos {
    of_racket(visitor, all, &sheet.racket.id, &sheet.job.code)
}

/// The photos of some rackets, as they are stored.
///
/// # Errors
/// [`DeskError::Storage`].
pub async fn of_rackets(visitor: &Visitor, racket_ids: Vec<String>) -> DeskResult<Vec<Photo>> {
    if racket_ids.is_empty() || visitor.caller.must_be(&VIEWERS).is_err() {
        return Ok(Vec::new());
    }
    let tournament = visitor.tournament();
    let read = visitor
        .desk
        .read(move |db| racket_photos::of_rackets(db, &tournament, &racket_ids));
    read.await
}

/// One photo, with what it shows in words.
pub fn thumb(visitor: &Visitor, photo: &Photo, whose: &str) -> Thumb {
    let shows = words::photographed(photo.place.as_deref());
    let at = words::day_and_time(visitor.house.zone, photo.kept_at.utc());
    Thumb {
        id: photo.id.clone(),
        words: format!("{shows} of the racket {whose}, photographed {at}"),
        caption: format!("{shows}, {at}"),
        width_px: photo.width_px,
        height_px: photo.height_px,
    }
}

async fn show(
    request: HttpRequest,
    visitor: Visitor,
    id: web::Path<String>,
    asked: web::Query<Filled>,
) -> Shown {
    let (tournament, id) = (visitor.tournament(), id.into_inner());
    let found = visitor
        .desk
        .read(move |db| photos::find(db, &tournament, &id)?.ok_or(DeskError::NotFound(Thing::Photo)));
    let photo = found.await?;
    visitor.caller.must_be(&VIEWERS)?;
    let small = asked.get("size") == "small";
    let shown = shown::Shown {
        id: photo.id.clone(),
        digest: photo.digest,
        small,
    };
    if shown.is_held(&request) {
        return Ok(shown.unchanged());
    }
    let read = visitor
        .desk
        .read(move |db| racket_photos::bytes(db, &photo.id, small));
    Ok(shown.answer(read.await?))
}

async fn keep(request: HttpRequest, visitor: Visitor, id: web::Path<String>, payload: Payload) -> Shown {
    let racket = id.into_inner();
    let done = kept(&request, &visitor, &racket, payload).await;
    went(&visitor, &racket, done).await
}

async fn kept(
    request: &HttpRequest,
    visitor: &Visitor,
    racket: &str,
    payload: Payload,
) -> DeskResult<String> {
    let sent = uploaded::with_photos(request, payload, |field| field == PHOTO).await?;
    let refused = |cause| refused(cause, PHOTO);
    let file = match (sent.too_large.first(), sent.photos.into_iter().next()) {
        (Some(_), _) => return Err(refused(NotKept::TooLarge)),
        (None, None) => return Err(refused(NotKept::Missing)),
        (None, Some((_, file))) => file,
    };
    let picture = prepare(file).await.map_err(refused)?;
    let route = format!("/rackets/{racket}/photos");
    let racket = racket.to_owned();
    let done = visitor.once(&route, &sent.form, move |tx| {
        Ok(keep_photo(tx, &racket, Mark::default(), &picture)?.id)
    });
    done.await
}

async fn remove(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (photo, racket) = (id.into_inner(), form.get("racket_id").to_owned());
    let route = format!("/photos/{photo}/remove");
    let done = visitor.once(&route, &form, move |tx| Ok(remove_photo(tx, &photo)?.id));
    let done = done.await;
    went(&visitor, &racket, done).await
}

/// A removal that was refused stays at its own address; whoever loads that again comes to the photo among its
/// racket's others.
async fn back(visitor: Visitor, id: web::Path<String>) -> Shown {
    let (tournament, id) = (visitor.tournament(), id.into_inner());
    let found = visitor
        .desk
        .read(move |db| photos::find(db, &tournament, &id)?.ok_or(DeskError::NotFound(Thing::Photo)));
    let photo = found.await?;
    visitor.caller.must_be(&VIEWERS)?;
    Ok(visitor.go_to(&format!("/rackets/{}#photos", photo.racket_id)))
}

async fn went(visitor: &Visitor, racket: &str, done: DeskResult<String>) -> Shown {
    match done {
        Ok(_) => Ok(visitor.go_to(&format!("/rackets/{racket}#photos"))),
        Err(error @ (DeskError::NotAllowed | DeskError::NotFound(_))) => Err(error.into()),
        Err(error) => story::again(visitor, racket, error).await,
    }
}
