//! What photos there are of rackets, who may look at them, and how long they stay.
use chrono::{DateTime, TimeDelta, Utc};

use crate::craft::custody::Custody;
use crate::craft::roles::Role;
use crate::desk::Tx;
use crate::desk::keep_photo::forget;
use crate::desk::records::TournamentSettings;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::photos::{self, Photo};
use crate::storage::{At, Db, from_record, rackets, tournaments};

/// Who may look: whoever has the racket in hand.
pub const VIEWERS: [Role; 4] = [Role::Desk, Role::Stringer, Role::Coordinator, Role::Runner];
/// How many are forgotten in one transaction, so that nobody waits long behind it.
const AT_ONCE: i64 = 50;

/// The photos of a racket, oldest first.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn of_racket(db: &mut Db, tournament: &str, racket_id: &str) -> DeskResult<Vec<Photo>> {
    rackets::find(db, tournament, racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    of_rackets(db, tournament, &[racket_id.to_owned()])
}

/// The photos of these rackets, oldest first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn of_rackets(db: &mut Db, tournament: &str, racket_ids: &[String]) -> DeskResult<Vec<Photo>> {
    Ok(photos::of_rackets(db, tournament, racket_ids)?)
}

/// The photo's JPEG, or its small form.
///
/// # Errors
/// [`DeskError::NotFound`] where it was removed meanwhile.
pub fn bytes(db: &mut Db, photo_id: &str, small: bool) -> DeskResult<Vec<u8>> {
    photos::bytes(db, photo_id, small)?.ok_or(DeskError::NotFound(Thing::Photo))
}

/// Whether the tournament has photos that were kept as long as it wants them: so many days from when their racket
/// left the desk. Photos of a racket that is still here stay, however old they are.
///
/// # Errors
/// [`DeskError::Storage`], [`DeskError::NotFound`].
pub fn some_are_old(db: &mut Db, tournament: &str, now: DateTime<Utc>) -> DeskResult<bool> {
    Ok(!old(db, tournament, now, 1)?.is_empty())
}

/// Forgets photos that were kept long enough; answers how many. Fifty at a time: ask again until none is left.
///
/// # Errors
/// [`DeskError::Storage`], [`DeskError::NotFound`].
pub fn forget_old(tx: &mut Tx<'_>) -> DeskResult<usize> {
    let old = old(tx.db, tx.tournament(), tx.now, AT_ONCE)?;
    for photo in &old {
        forget(tx, photo, "kept_long_enough")?;
    }
    Ok(old.len())
}

/// How many days after its racket has left a photo of this tournament is deleted.
///
/// # Errors
/// [`DeskError::Storage`], [`DeskError::NotFound`].
pub fn kept_days(db: &mut Db, tournament: &str) -> DeskResult<u16> {
    let row = tournaments::find(db, tournament)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let settings: TournamentSettings = from_record(&row.record)?;
    Ok(settings.photos_kept_days)
}

fn old(db: &mut Db, tournament: &str, now: DateTime<Utc>, limit: i64) -> DeskResult<Vec<Photo>> {
    let days = kept_days(db, tournament)?;
    let before: At = (now - TimeDelta::days(days.into())).into();
    let with_owner = Custody::Owner.to_string();
    Ok(photos::of_rackets_gone_before(
        db,
        tournament,
        &with_owner,
        before,
        limit,
    )?)
}
