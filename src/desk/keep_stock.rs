//! Strings (products) and the pieces of them that lie here: reels, sets, half sets, offcuts.
use serde_json::json;

use crate::craft::ids::{StockPieceId, StringId};
use crate::craft::roles::Role;
use crate::craft::search_key::search_key;
use crate::craft::string_plan::request::StockKind;
use crate::desk::records::StringRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, ids, text_member};
use crate::storage::stock::pieces::{self, StockPiece};
use crate::storage::stock::{self, StringProduct};
use crate::storage::{players, to_record};

/// Who may.
pub const KEEPERS: [Role; 3] = [Role::Desk, Role::Coordinator, Role::Stringer];
/// The longest reel, mm: 1 km.
const LONGEST_MM: i64 = 1_000_000;

/// Lists a string product.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`], [`DeskError::Conflict`] for a name that is taken.
pub fn add_string(tx: &mut Tx<'_>, name: &str, record: &StringRecord) -> DeskResult<StringProduct> {
    tx.caller.must_be(&KEEPERS)?;
    let name = text_member::name(name, "/name")?;
    sound_gauge(record)?;
    refuse_twin(tx, Named::StringProduct, &name, None)?;
    let product = StringProduct {
        id: ids::new::<StringId>(),
        tournament_id: tx.tournament().to_owned(),
        search_key: search_key(&name),
        name,
        record: to_record(record)?,
        version: 1,
        created_at: tx.at(),
    };
    stock::insert(tx.db, &product)?;
    tx.emit("string.listed", &product.id, &json!({}))?;
    Ok(product)
}

/// Refuses a diameter that no string has.
///
/// # Errors
/// [`DeskError::Invalid`].
pub(super) fn sound_gauge(record: &StringRecord) -> DeskResult<()> {
    match &record.gauge_mm {
        Some(gauge) if !gauge.parse::<f64>().is_ok_and(|mm| (0.4..=2.0).contains(&mm)) => {
            let detail = "Give the diameter in mm, 0.4 to 2.0, such as \"1.25\".";
            Err(DeskError::member("/gauge_mm", "out_of_range", detail))
        }
        _ => Ok(()),
    }
}

/// A piece of string to book in.
#[derive(Debug, Clone)]
pub struct NewPiece {
    /// Of which string.
    pub string_id: String,
    /// Whose it is; `None`: the desk's.
    pub owner_player_id: Option<String>,
    /// Its label, if it carries one.
    pub label_code: Option<String>,
    /// What it is.
    pub kind: StockKind,
    /// Its length, mm.
    pub length_mm: i64,
}

/// Books a piece in.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn receive_piece(tx: &mut Tx<'_>, new: NewPiece) -> DeskResult<StockPiece> {
    tx.caller.must_be(&KEEPERS)?;
    let tournament = tx.tournament();
    if stock::find(tx.db, tournament, &new.string_id)?.is_none() {
        return Err(DeskError::member(
            "/string_id",
            "unknown_reference",
            "No such string; list it first.",
        ));
    }
    if let Some(owner) = &new.owner_player_id
        && players::find(tx.db, tournament, owner)?.is_none()
    {
        return Err(DeskError::member(
            "/owner_player_id",
            "unknown_reference",
            "No such player.",
        ));
    }
    check_length(new.length_mm, "/length_mm")?;
    if let Some(label) = &new.label_code
        && pieces::by_label(tx.db, tournament, label)?.is_some()
    {
        return Err(DeskError::member(
            "/label_code",
            "already_exists",
            "Another piece carries this label.",
        ));
    }
    let piece = StockPiece {
        id: ids::new::<StockPieceId>(),
        tournament_id: tournament.to_owned(),
        string_id: new.string_id,
        owner_player_id: new.owner_player_id,
        label_code: new.label_code,
        kind: kind_text(new.kind).to_owned(),
        nominal_mm: new.length_mm,
        remaining_mm: new.length_mm,
        closed_at: None,
        version: 1,
        created_at: tx.at(),
    };
    pieces::insert(tx.db, &piece)?;
    tx.emit(
        "stock.received",
        &piece.id,
        &json!({"string_id": piece.string_id, "length_mm": piece.nominal_mm}),
    )?;
    Ok(piece)
}

/// Corrects what is left of a piece after measuring it; 0 closes it. More than was ever on it says in `more_because`
/// where that comes from.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`].
pub fn count_piece(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    remaining_mm: i64,
    reason: &str,
    more_because: Option<&str>,
) -> DeskResult<StockPiece> {
    let mut piece =
        pieces::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::StockPiece))?;
    tx.caller.must_be(&KEEPERS)?;
    if piece.version != version {
        return Err(DeskError::Stale {
            current: piece.version,
        });
    }
    if remaining_mm != 0 {
        check_length(remaining_mm, "/remaining_mm")?;
    }
    if remaining_mm > piece.nominal_mm && more_because.is_none() {
        let ever = format!("{}.{}", piece.nominal_mm / 1000, piece.nominal_mm % 1000 / 100);
        let detail = format!(
            "There were never more than {ever} m on this piece. Count again, or say where more comes from."
        );
        return Err(DeskError::member("/reason", "missing_member", detail));
    }
    let reason = match more_because {
        Some(more) if more != reason => format!("{reason}: {more}"),
        _ => reason.to_owned(),
    };
    piece.nominal_mm = piece.nominal_mm.max(remaining_mm);
    let before_mm = std::mem::replace(&mut piece.remaining_mm, remaining_mm);
    piece.closed_at = (remaining_mm == 0).then(|| tx.at());
    pieces::save(tx.db, &mut piece)?;
    let data = json!({"before_mm": before_mm, "remaining_mm": remaining_mm, "reason": reason});
    tx.emit("stock.counted", id, &data)?;
    Ok(piece)
}

fn check_length(length_mm: i64, pointer: &str) -> DeskResult<()> {
    if (1..=LONGEST_MM).contains(&length_mm) {
        return Ok(());
    }
    let detail = format!("Give a length of 1 to {LONGEST_MM} mm.");
    Err(DeskError::member(pointer, "out_of_range", detail))
}

/// The text under which a kind is stored.
#[must_use]
pub const fn kind_text(kind: StockKind) -> &'static str {
    match kind {
        StockKind::Set => "set",
        StockKind::HalfSet => "half_set",
        StockKind::Offcut => "offcut",
        StockKind::ReelRemainder => "reel",
    }
}
