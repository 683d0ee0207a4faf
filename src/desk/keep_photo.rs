//! A photo of a mark on a racket is kept, or removed again.
use serde_json::json;

use crate::craft::ids::PhotoId;
use crate::craft::roles::Role;
use crate::desk::records::DamagePlace;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Reason, Thing};
use crate::desk::{Tx, ids};
use crate::photos::{NotKept, Picture};
use crate::storage::photos::{self, Photo};
use crate::storage::{jobs, rackets};

/// Who may keep one: whoever looks at the racket.
pub const KEEPERS: [Role; 3] = [Role::Desk, Role::Stringer, Role::Coordinator];
/// Who may remove one. It may be what settles a dispute, so the log says who did.
pub const REMOVERS: [Role; 2] = [Role::Desk, Role::Coordinator];
/// The most photos of one racket. Common practice, no source: marks and four places, and some more.
pub const MOST_OF_A_RACKET: usize = 8;

/// What is photographed.
#[derive(Debug, Clone, Default)]
pub struct Mark {
    /// The job at whose hand-in it was seen; none for a mark that tells the racket from its sisters.
    pub job_id: Option<String>,
    /// Which place of the condition check it shows.
    pub place: Option<DamagePlace>,
}

/// Keeps a photo; `picture` was made before, for that takes longer than a write may.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`]; [`DeskError::Invalid`] for a job of another
/// racket; [`DeskError::Rule`] where the racket has enough of them.
pub fn keep_photo(tx: &mut Tx<'_>, racket_id: &str, mark: Mark, picture: &Picture) -> DeskResult<Photo> {
    let tournament = tx.tournament();
    rackets::find(tx.db, tournament, racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    tx.caller.must_be(&KEEPERS)?;
    if let Some(job_id) = &mark.job_id {
        let job = jobs::find(tx.db, tournament, job_id)?;
        if job.is_none_or(|job| job.racket_id != racket_id) {
            let detail = "No such job of this racket.";
            return Err(DeskError::member("/job_id", "unknown_reference", detail));
        }
    }
    let kept = photos::of_rackets(tx.db, tournament, &[racket_id.to_owned()])?;
    if kept.len() >= MOST_OF_A_RACKET {
        return Err(enough());
    }
    let points = |count: u32| i32::try_from(count).unwrap_or(i32::MAX);
    let photo = Photo {
        id: ids::new::<PhotoId>(),
        tournament_id: tournament.to_owned(),
        racket_id: racket_id.to_owned(),
        job_id: mark.job_id,
        place: mark.place.map(|place| place.as_str().to_owned()),
        width_px: points(picture.width_px),
        height_px: points(picture.height_px),
        digest: picture.digest.clone(),
        account_id: tx.caller.account_id.clone(),
        kept_at: tx.at(),
    };
    photos::insert(tx.db, &photo, &picture.whole, &picture.small)?;
    let data = json!({"photo_id": photo.id, "job_id": photo.job_id, "place": photo.place});
    tx.emit("racket.photo_kept", racket_id, &data)?;
    Ok(photo)
}

/// Removes a photo; the racket's story goes on saying that it was there and who removed it.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn remove_photo(tx: &mut Tx<'_>, photo_id: &str) -> DeskResult<Photo> {
    let photo = photos::find(tx.db, tx.tournament(), photo_id)?.ok_or(DeskError::NotFound(Thing::Photo))?;
    tx.caller.must_be(&REMOVERS)?;
    forget(tx, &photo, "by_hand")?;
    Ok(photo)
}

/// Deletes a photo; `why` it went stays in the log.
pub(super) fn forget(tx: &mut Tx<'_>, photo: &Photo, why: &str) -> DeskResult<()> {
    photos::delete(tx.db, &photo.id)?;
    let data = json!({"photo_id": photo.id, "job_id": photo.job_id, "place": photo.place, "why": why});
    tx.emit("racket.photo_removed", &photo.racket_id, &data)
}

fn enough() -> DeskError {
    let detail =
        format!("A racket has at most {MOST_OF_A_RACKET} photos; remove one that is no longer needed first.");
    DeskError::Rule {
        reason: Reason::RuleRefused,
        faults: vec![MemberFault::at("/photo", "too_many", detail.clone())],
        detail,
        insist: None,
    }
}

/// What is said of a file that is not kept as a photo; `field` is where it was chosen.
#[must_use]
pub fn refused(cause: NotKept, field: &str) -> DeskError {
    let (code, detail) = match cause {
        NotKept::Missing => (
            "missing_member",
            "Choose a photo: a JPEG, PNG or WebP file in the field photo.",
        ),
        NotKept::NoForm => ("invalid_value", "Send the photo whole, as a form with files."),
        NotKept::TooLarge => (
            "too_large",
            "A photo may have at most 8 MiB; set the camera to a smaller picture and take it again.",
        ),
        NotKept::OtherKind => (
            "invalid_value",
            "This file is neither JPEG nor PNG nor WebP; set the camera to JPEG and take the photo again.",
        ),
        NotKept::Broken => (
            "invalid_value",
            "This picture cannot be read; take the photo again.",
        ),
        NotKept::TooManyPoints => (
            "too_large",
            "This picture has too many points; set the camera to at most 50 megapixels and take it again.",
        ),
    };
    DeskError::member(format!("/{field}"), code, detail)
}
