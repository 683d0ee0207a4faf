//! Photos of rackets: what is known of each, and its bytes in a table of their own.
use diesel::prelude::*;

use super::schema::{photo_files, photos, rackets};
use super::{At, Db, StoreResult};

/// What is known of a photo.
#[derive(Debug, Clone, Queryable, Selectable, Insertable)]
#[diesel(table_name = photos)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Photo {
    pub id: String,
    pub tournament_id: String,
    pub racket_id: String,
    pub job_id: Option<String>,
    pub place: Option<String>,
    pub width_px: i32,
    pub height_px: i32,
    pub digest: String,
    pub account_id: Option<String>,
    pub kept_at: At,
}

/// The photo with this id, if the tournament has it.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn find(db: &mut Db, tournament: &str, id: &str) -> StoreResult<Option<Photo>> {
    Ok(photos::table
        .find(id)
        .filter(photos::tournament_id.eq(tournament))
        .select(Photo::as_select())
        .first(db)
        .optional()?)
}

/// The photos of these rackets, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn of_rackets(db: &mut Db, tournament: &str, rackets: &[String]) -> StoreResult<Vec<Photo>> {
    Ok(photos::table
        .filter(photos::tournament_id.eq(tournament))
        .filter(photos::racket_id.eq_any(rackets.to_vec()))
        .order((photos::kept_at, photos::id))
        .select(Photo::as_select())
        .load(db)?)
}

/// At most `limit` photos that were kept before `before`, of rackets that are where `custody` says and have been
/// since before that, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn of_rackets_gone_before(
    db: &mut Db,
    tournament: &str,
    custody: &str,
    before: At,
    limit: i64,
) -> StoreResult<Vec<Photo>> {
    let gone = rackets::table
        .filter(rackets::tournament_id.eq(tournament))
        .filter(rackets::custody.eq(custody))
        .filter(rackets::custody_since.lt(before))
        .select(rackets::id);
    Ok(photos::table
        .filter(photos::tournament_id.eq(tournament))
        .filter(photos::kept_at.lt(before))
        .filter(photos::racket_id.eq_any(gone))
        .order((photos::kept_at, photos::id))
        .limit(limit)
        .select(Photo::as_select())
        .load(db)?)
}

/// Keeps a photo with its two files.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert(db: &mut Db, row: &Photo, whole: &[u8], small: &[u8]) -> StoreResult<()> {
    diesel::insert_into(photos::table).values(row).execute(db)?;
    let files = (
        photo_files::photo_id.eq(&row.id),
        photo_files::whole.eq(whole),
        photo_files::small.eq(small),
    );
    diesel::insert_into(photo_files::table)
        .values(files)
        .execute(db)?;
    Ok(())
}

/// Forgets a photo and its files.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn delete(db: &mut Db, id: &str) -> StoreResult<()> {
    diesel::delete(photo_files::table.find(id)).execute(db)?;
    diesel::delete(photos::table.find(id)).execute(db)?;
    Ok(())
}

/// The bytes of a photo, or of its small form.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn bytes(db: &mut Db, id: &str, small: bool) -> StoreResult<Option<Vec<u8>>> {
    let file = photo_files::table.find(id);
    let read = if small {
        file.select(photo_files::small).first(db)
    } else {
        file.select(photo_files::whole).first(db)
    };
    Ok(read.optional()?)
}

diesel::allow_tables_to_appear_in_same_query!(photos, rackets);
