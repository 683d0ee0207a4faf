//! Strings (products) and stock pieces (reels, sets, half sets, offcuts).
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::{stock_pieces, strings};
use super::{At, Db, StoreResult};

/// A string product.
#[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = strings, treat_none_as_null = true)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct StringProduct {
    pub id: String,
    pub tournament_id: String,
    pub name: String,
    pub search_key: String,
    pub record: String,
    pub version: i64,
    pub created_at: At,
}

keeps!(strings, StringProduct);

/// All strings, by name.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<StringProduct>> {
    Ok(strings::table
        .filter(strings::tournament_id.eq(tournament))
        .order((strings::search_key, strings::id))
        .select(StringProduct::as_select())
        .load(db)?)
}

/// The strings with these ids, in no order.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn with_ids(db: &mut Db, ids: &[String]) -> StoreResult<Vec<StringProduct>> {
    Ok(strings::table
        .filter(strings::id.eq_any(ids.to_vec()))
        .select(StringProduct::as_select())
        .load(db)?)
}

/// Reels, sets, half sets and offcuts.
pub mod pieces {
    use super::*;

    /// A reel, set, half set or offcut.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = stock_pieces, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct StockPiece {
        pub id: String,
        pub tournament_id: String,
        pub string_id: String,
        pub owner_player_id: Option<String>,
        pub label_code: Option<String>,
        pub kind: String,
        pub nominal_mm: i64,
        pub remaining_mm: i64,
        pub closed_at: Option<At>,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(stock_pieces, StockPiece);

    /// All pieces that are not used up, oldest first.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn open(db: &mut Db, tournament: &str) -> StoreResult<Vec<StockPiece>> {
        Ok(stock_pieces::table
            .filter(stock_pieces::tournament_id.eq(tournament))
            .filter(stock_pieces::closed_at.is_null())
            .order((stock_pieces::created_at, stock_pieces::id))
            .select(StockPiece::as_select())
            .load(db)?)
    }

    /// Whether a piece was ever booked in.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn any(db: &mut Db, tournament: &str) -> StoreResult<bool> {
        let first: Option<String> = stock_pieces::table
            .filter(stock_pieces::tournament_id.eq(tournament))
            .select(stock_pieces::id)
            .first(db)
            .optional()?;
        Ok(first.is_some())
    }

    /// The piece that carries this label.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn by_label(db: &mut Db, tournament: &str, label: &str) -> StoreResult<Option<StockPiece>> {
        Ok(stock_pieces::table
            .filter(stock_pieces::tournament_id.eq(tournament))
            .filter(stock_pieces::label_code.eq(label))
            .select(StockPiece::as_select())
            .first(db)
            .optional()?)
    }
}
