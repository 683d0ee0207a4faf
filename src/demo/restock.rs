//! The demo's strings are delivered in time, or it would come to rest.
use crate::craft::string_plan::request::StockKind;
use crate::desk::keep_stock::{NewPiece, receive_piece};
use crate::desk::{DeskResult, Tx};
use crate::storage::stock::pieces;

/// A reel is ordered when less than this is left of a string, mm.
const LOW_MM: i64 = 100_000;
/// A reel, mm.
const REEL_MM: i64 = 200_000;

/// Books a reel in when little is left of the string.
pub(super) fn restock(tx: &mut Tx<'_>, string_id: &str) -> DeskResult<()> {
    let left_mm: i64 = pieces::open(tx.db, tx.caller.tournament())?
        .iter()
        .filter(|piece| piece.string_id == string_id)
        .map(|piece| piece.remaining_mm)
        .sum();
    if left_mm >= LOW_MM {
        return Ok(());
    }
    let reel = NewPiece {
        string_id: string_id.to_owned(),
        owner_player_id: None,
        label_code: None,
        kind: StockKind::ReelRemainder,
        length_mm: REEL_MM,
    };
    receive_piece(tx, reel).map(|_| ())
}
