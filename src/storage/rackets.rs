//! Frames (models) and rackets (the things).
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::{frames, rackets};
use super::{At, Db, StoreResult};

/// One physical racket.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = rackets, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Racket {
    pub id: String,
    pub tournament_id: String,
    pub player_id: String,
    pub frame_id: String,
    pub label_code: Option<String>,
    pub custody: String,
    pub custody_since: At,
    pub record: String,
    pub version: i64,
    pub created_at: At,
}

keeps!(rackets, Racket);

/// The rackets of a player, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn of_player(db: &mut Db, tournament: &str, player: &str) -> StoreResult<Vec<Racket>> {
    Ok(rackets::table
        .filter(rackets::tournament_id.eq(tournament))
        .filter(rackets::player_id.eq(player))
        .order((rackets::created_at, rackets::id))
        .select(Racket::as_select())
        .load(db)?)
}

/// Rackets, or those of one player, from the place `after` (time and id) on, oldest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn page(
    db: &mut Db,
    tournament: &str,
    player: Option<&str>,
    after: Option<(At, String)>,
    limit: i64,
) -> StoreResult<Vec<Racket>> {
    let mut query = rackets::table
        .filter(rackets::tournament_id.eq(tournament.to_owned()))
        .into_boxed();
    if let Some(player) = player {
        query = query.filter(rackets::player_id.eq(player.to_owned()));
    }
    if let Some((moment, id)) = after {
        query = query.filter(
            rackets::created_at
                .gt(moment)
                .or(rackets::created_at.eq(moment).and(rackets::id.gt(id))),
        );
    }
    Ok(query
        .order((rackets::created_at, rackets::id))
        .limit(limit)
        .select(Racket::as_select())
        .load(db)?)
}

/// The racket that carries this label.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_label(db: &mut Db, tournament: &str, label: &str) -> StoreResult<Option<Racket>> {
    Ok(rackets::table
        .filter(rackets::tournament_id.eq(tournament))
        .filter(rackets::label_code.eq(label))
        .select(Racket::as_select())
        .first(db)
        .optional()?)
}

/// The rackets with these ids, in no order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn with_ids(db: &mut Db, ids: &[String]) -> StoreResult<Vec<Racket>> {
    Ok(rackets::table
        .filter(rackets::id.eq_any(ids.to_vec()))
        .select(Racket::as_select())
        .load(db)?)
}

/// Rackets whose custody text starts with `prefix`.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn in_custody(db: &mut Db, tournament: &str, prefix: &str) -> StoreResult<Vec<Racket>> {
    Ok(rackets::table
        .filter(rackets::tournament_id.eq(tournament))
        .filter(rackets::custody.like(format!("{prefix}%")))
        .order((rackets::custody, rackets::id))
        .select(Racket::as_select())
        .load(db)?)
}

/// Frame models.
pub mod models {
    use super::*;

    /// A frame model's stringing facts.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = frames, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Frame {
        pub id: String,
        pub tournament_id: String,
        pub sport: String,
        pub name: String,
        pub search_key: String,
        pub record: String,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(frames, Frame);

    /// All frames, by name.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Frame>> {
        Ok(frames::table
            .filter(frames::tournament_id.eq(tournament))
            .order((frames::search_key, frames::id))
            .select(Frame::as_select())
            .load(db)?)
    }

    /// The frames with these ids, in no order.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn with_ids(db: &mut Db, ids: &[String]) -> StoreResult<Vec<Frame>> {
        Ok(frames::table
            .filter(frames::id.eq_any(ids.to_vec()))
            .select(Frame::as_select())
            .load(db)?)
    }
}
