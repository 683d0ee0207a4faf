//! Players.
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::players;
use super::{At, Db, StoreResult};

/// A player, who owns rackets.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = players, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Player {
    pub id: String,
    pub tournament_id: String,
    pub display_name: String,
    pub search_key: String,
    pub badge: Option<String>,
    pub link_token: Option<String>,
    pub record: String,
    pub version: i64,
    pub created_at: At,
}

keeps!(players, Player);

/// Players whose search key contains `key`, by name; an empty key finds all.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn search(db: &mut Db, tournament: &str, key: &str, limit: i64) -> StoreResult<Vec<Player>> {
    Ok(players::table
        .filter(players::tournament_id.eq(tournament))
        .filter(
            players::search_key
                .like(format!("%{}%", like_escaped(key)))
                .escape('!'),
        )
        .order((players::search_key, players::id))
        .limit(limit)
        .select(Player::as_select())
        .load(db)?)
}

/// The id of every player, with the badge where there is one.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn badges(db: &mut Db, tournament: &str) -> StoreResult<Vec<(String, Option<String>)>> {
    Ok(players::table
        .filter(players::tournament_id.eq(tournament))
        .select((players::id, players::badge))
        .load(db)?)
}

/// As [`search`], from the place `after` (search key and id) on.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn page(
    db: &mut Db,
    tournament: &str,
    key: &str,
    after: Option<(String, String)>,
    limit: i64,
) -> StoreResult<Vec<Player>> {
    let mut query = players::table
        .filter(players::tournament_id.eq(tournament.to_owned()))
        .filter(
            players::search_key
                .like(format!("%{}%", like_escaped(key)))
                .escape('!'),
        )
        .into_boxed();
    if let Some((key, id)) = after {
        query = query.filter(
            players::search_key
                .gt(key.clone())
                .or(players::search_key.eq(key).and(players::id.gt(id))),
        );
    }
    Ok(query
        .order((players::search_key, players::id))
        .limit(limit)
        .select(Player::as_select())
        .load(db)?)
}

/// The players with these ids, in no order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn with_ids(db: &mut Db, ids: &[String]) -> StoreResult<Vec<Player>> {
    Ok(players::table
        .filter(players::id.eq_any(ids.to_vec()))
        .select(Player::as_select())
        .load(db)?)
}

/// The player whose badge this is.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_badge(db: &mut Db, tournament: &str, badge: &str) -> StoreResult<Option<Player>> {
    Ok(players::table
        .filter(players::tournament_id.eq(tournament))
        .filter(players::badge.eq(badge))
        .select(Player::as_select())
        .first(db)
        .optional()?)
}

/// The player whose link carries this token.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn by_link_token(db: &mut Db, token: &str) -> StoreResult<Option<Player>> {
    Ok(players::table
        .filter(players::link_token.eq(token))
        .select(Player::as_select())
        .first(db)
        .optional()?)
}

/// `text` with the pattern signs of LIKE taken literally (escape sign `!`).
fn like_escaped(text: &str) -> String {
    text.chars()
        .fold(String::with_capacity(text.len()), |mut out, symbol| {
            if matches!(symbol, '%' | '_' | '!') {
                out.push('!');
            }
            out.push(symbol);
            out
        })
}
