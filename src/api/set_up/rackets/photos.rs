//! Photos of marks: `/v1/rackets/{id}/photos` and `/v1/photos/{id}`.
use actix_web::web::{Data, Path, Payload};
use actix_web::{HttpRequest, HttpResponse, delete, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::api::conditional::IfNoneMatchHeader;
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::{Code, Fault, Place, Problem, Said};
use crate::api::request::{media, query};
use crate::desk::keep_photo::{KEEPERS, Mark, REMOVERS, keep_photo, refused, remove_photo};
use crate::desk::racket_photos::{self, VIEWERS};
use crate::desk::reads::photos::{self, Photo};
use crate::desk::reads::rackets;
use crate::desk::records::DamagePlace;
use crate::desk::{Desk, DeskError, Thing};
use crate::photos::sent::{self, Sent};
use crate::photos::shown::Shown;
use crate::photos::{NotKept, prepare};

/// The field in which a photo comes.
const PHOTO: &str = "photo";

/// What is known of a photo.
#[derive(Debug, Serialize, ToSchema)]
#[schema(example = json!({
    "id": "photo_01jt3k7q2m8c5v9x4b6n1d0fgh", "racket_id": "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh",
    "job_id": null, "place": "throat", "width_px": 1600, "height_px": 1200,
    "kept_at": "2026-05-02T08:00:00Z", "account_id": "acct_01jt3k7q2m8c5v9x4b6n1d0fgh"
}))]
pub struct PhotoView {
    /// Its id.
    pub id: String,
    /// The racket it shows.
    pub racket_id: String,
    /// The job at whose hand-in the mark was seen.
    pub job_id: Option<String>,
    /// Which place of the condition check it shows: `head_top`, `shoulders`, `throat` or `grommets`.
    pub place: Option<String>,
    /// Points from left to right.
    pub width_px: i32,
    /// Points from top to bottom.
    pub height_px: i32,
    /// When it was kept, by the desk clock.
    pub kept_at: DateTime<Utc>,
    /// Who kept it.
    pub account_id: Option<String>,
}

impl From<Photo> for PhotoView {
    fn from(row: Photo) -> Self {
        Self {
            id: row.id,
            racket_id: row.racket_id,
            job_id: row.job_id,
            place: row.place,
            width_px: row.width_px,
            height_px: row.height_px,
            kept_at: row.kept_at.utc(),
            account_id: row.account_id,
        }
    }
}

/// A photo and what it shows, as a form with a file.
#[derive(ToSchema)]
#[expect(dead_code, reason = "the form in the API document; it is read part by part")]
pub struct PhotoForm {
    /// A JPEG, PNG or WebP file of at most 8 MiB and 50 million points. It is kept as a JPEG of at
    /// most 1600 points a side; all else the file holds (place, time, camera) is not kept.
    #[schema(format = Binary, content_media_type = "application/octet-stream")]
    photo: String,
    /// The job at whose hand-in the mark was seen.
    job_id: Option<String>,
    /// The place of the condition check: `head_top`, `shoulders`, `throat` or `grommets`.
    place: Option<String>,
}

/// The bytes of a JPEG.
#[derive(ToSchema)]
#[schema(value_type = String, format = Binary)]
#[expect(dead_code, reason = "the body in the API document")]
pub struct Jpeg(Vec<u8>);

/// The photos of a racket, oldest first.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    responses((status = 200, description = "What is known of its photos.", body = Page<PhotoView>))
)]
#[get("/v1/rackets/{id}/photos")]
pub(crate) async fn of_racket(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let tournament = caller.tournament().to_owned();
    let id = id.into_inner();
    let read = desk.read(move |db| racket_photos::of_racket(db, &tournament, &id));
    let kept = read.await?;
    caller.must_be(&VIEWERS)?;
    query::none(&request)?;
    Ok(Page::whole(kept.into_iter().map(PhotoView::from).collect()).answer(&request))
}

/// Keeps a photo of a mark. A racket has at most eight; they are deleted after the days the tournament sets.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The racket.", example = "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh"), IdempotencyHeader),
    request_body(content = PhotoForm, content_type = "multipart/form-data"),
    responses((status = 201, description = "It is kept.", body = PhotoView))
)]
#[post("/v1/rackets/{id}/photos")]
pub(crate) async fn keep(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    payload: Payload,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Racket, rackets::find).await?;
    caller.must_be(&KEEPERS)?;
    query::none(&request)?;
    media::require_content_type(&request, "multipart/form-data")?;
    let read = sent::read(request.headers(), payload, |field| field == PHOTO).await;
    let form = read.map_err(not_kept)?;
    if !form.too_large.is_empty() {
        return Err(not_kept(NotKept::TooLarge));
    }
    let once = door::once(&request, form.fingerprint().as_bytes())?;
    let (mark, file) = asked(form)?;
    let picture = prepare(file).await.map_err(not_kept)?;
    let answer = desk.write_once(&caller, once, move |tx| {
        let photo = keep_photo(tx, &row.id, mark, &picture)?;
        let address = format!("/v1/photos/{}", photo.id);
        door::at_address(&PhotoView::from(photo), address)
    });
    Ok(door::respond(answer.await?))
}

/// What the form asks for; nothing in it is passed over in silence.
fn asked(form: Sent) -> Result<(Mark, bytes::Bytes), Problem> {
    if let Some((name, _)) = form
        .fields
        .iter()
        .find(|(name, _)| !matches!(name.as_str(), "job_id" | "place"))
    {
        let said = Said::new(
            "This form has the fields photo, job_id and place.",
            "Ce formulaire a les champs photo, job_id et place.",
        );
        let fault = Fault::at(Place::Body(format!("/{name}")), "unknown_member", said);
        return Err(Problem::new(Code::InvalidBody).fault(fault));
    }
    let place = form.get("place").map(|name| {
        DamagePlace::named(name).ok_or_else(|| {
            let detail = "Give head_top, shoulders, throat or grommets.";
            DeskError::member("/place", "invalid_value", detail)
        })
    });
    let mark = Mark {
        job_id: form.get("job_id").map(str::to_owned),
        place: place.transpose()?,
    };
    let mut photos = form.photos.into_iter();
    match (photos.next(), photos.next()) {
        (Some((_, file)), None) => Ok((mark, file)),
        (None, _) => Err(not_kept(NotKept::Missing)),
        (Some(_), Some(_)) => {
            let said = Said::new("Send one photo at a time.", "Envoyez une photo à la fois.");
            let fault = Fault::at(Place::Body(format!("/{PHOTO}")), "too_many", said);
            Err(Problem::new(Code::InvalidBody).fault(fault))
        }
    }
}

/// The refusal of a file; one that is too large has a status of its own.
fn not_kept(cause: NotKept) -> Problem {
    let problem = Problem::from(refused(cause, PHOTO));
    match cause {
        NotKept::TooLarge => problem.with_code(Code::BodyTooLarge),
        _ => problem,
    }
}

/// Which form of the photo.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Size {
    /// At most 1600 points a side.
    #[default]
    Whole,
    /// At most 320 points a side.
    Small,
}

/// In which size.
#[derive(Debug, Deserialize, utoipa::IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct Asked {
    /// `whole` unless said otherwise.
    #[serde(default)]
    #[param(inline)]
    pub size: Size,
}

/// The photo itself.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The photo.", example = "photo_01jt3k7q2m8c5v9x4b6n1d0fgh"), Asked, IfNoneMatchHeader),
    responses(
        (status = 200, description = "A JPEG without any note beside the picture.", content_type = "image/jpeg", body = Jpeg),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/photos/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Photo, photos::find).await?;
    caller.must_be(&VIEWERS)?;
    let small = query::read::<Asked>(&request)?.size == Size::Small;
    let shown = Shown {
        id: row.id.clone(),
        digest: row.digest,
        small,
    };
    if shown.is_held(&request) {
        return Ok(shown.unchanged());
    }
    let read = desk.read(move |db| racket_photos::bytes(db, &row.id, small));
    Ok(shown.answer(read.await?))
}

/// Removes a photo; the racket's story goes on saying that it was there, and who removed it.
#[utoipa::path(
    tag = "rackets",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The photo.", example = "photo_01jt3k7q2m8c5v9x4b6n1d0fgh")),
    responses((status = 204, description = "It is removed."))
)]
#[delete("/v1/photos/{id}")]
pub(crate) async fn remove(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = door::found(&desk, &caller, id.into_inner(), Thing::Photo, photos::find).await?;
    caller.must_be(&REMOVERS)?;
    query::none(&request)?;
    desk.write(&caller, move |tx| remove_photo(tx, &row.id)).await?;
    Ok(HttpResponse::NoContent().finish())
}
