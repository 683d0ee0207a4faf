//! String in stock: whether a job's strings are there, and what is taken for it.
//!
//! A desk that never booked a piece in keeps no stock; nothing is asked of it.
use serde_json::json;

use crate::craft::spec::Spec;
use crate::craft::stock::{PieceAtHand, place_cuts};
use crate::craft::string_plan::Plan;
use crate::craft::string_plan::request::StockUse;
use crate::craft::string_plan::steps::Piece;
use crate::desk::Tx;
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{AttemptRecord, BookedString, JobRecord, StringNeed};
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Reason};
use crate::storage::stock::pieces::{self, StockPiece};
use crate::storage::{from_record, jobs, stock};

/// A rest below this strings nothing; it is closed (common practice, no source), mm.
const SHORTEST_REST_MM: i64 = 300;
/// A starting clamp with a scrap of string reaches this much further, mm (as in the plan's length checks).
const SCRAP_MM: i64 = 80;

/// The strings that a plan takes, in the order in which they are cut.
#[must_use]
pub fn needs(plan: &Plan, spec: &Spec) -> Vec<StringNeed> {
    plan.cuts
        .iter()
        .map(|cut| {
            let (used_for, side) = match cut.piece {
                Piece::Mains => (StockUse::Mains, &spec.mains),
                Piece::Crosses => (StockUse::Crosses, &spec.crosses),
                Piece::OnePiece => (StockUse::Both, &spec.mains),
            };
            StringNeed {
                used_for,
                string_id: side.string.string_id.as_ref().map(|id| id.as_str().to_owned()),
                at_least_mm: cut.at_least_mm,
            }
        })
        .collect()
}

/// The ids of the strings of which there is not enough for this job after those that
/// wait already have had theirs; empty where all is there or no stock is kept.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn missing(
    tx: &mut Tx<'_>,
    player_id: &str,
    own_job: Option<&str>,
    needs: &[StringNeed],
) -> DeskResult<Vec<String>> {
    let mut wanted: Vec<&String> = needs.iter().filter_map(|need| need.string_id.as_ref()).collect();
    wanted.sort_unstable();
    wanted.dedup();
    if wanted.is_empty() || !pieces::any(tx.db, tx.tournament())? {
        return Ok(Vec::new());
    }
    let rows = pieces::open(tx.db, tx.tournament())?;
    let waiting = jobs::in_states(tx.db, tx.tournament(), &["waiting", "assigned"])?;
    let mut before = Vec::new();
    for job in waiting.iter().filter(|job| Some(job.id.as_str()) != own_job) {
        let record: JobRecord = from_record(&job.record)?;
        before.extend((!record.waits_for_string).then_some((job.player_id.as_str(), record.needs)));
    }
    let mut short = Vec::new();
    for string_id in wanted {
        let mut left: Vec<StockPiece> = of_string(&rows, string_id);
        for (player, needs) in &before {
            take(&mut left, player, &cuts(needs, string_id));
        }
        if !take(&mut left, player_id, &cuts(needs, string_id)) {
            short.push(string_id.clone());
        }
    }
    Ok(short)
}

fn of_string(rows: &[StockPiece], string_id: &str) -> Vec<StockPiece> {
    rows.iter()
        .filter(|piece| piece.string_id == string_id)
        .cloned()
        .collect()
}

/// The cuts of one string; a length that is not known takes at least something.
fn cuts(needs: &[StringNeed], string_id: &str) -> Vec<u32> {
    needs
        .iter()
        .filter(|need| need.string_id.as_deref() == Some(string_id))
        .map(|need| need.at_least_mm.unwrap_or(1))
        .collect()
}

/// Takes the cuts from the pieces that this player's job may use; `false` where one fits nowhere.
fn take(left: &mut [StockPiece], player_id: &str, cuts_mm: &[u32]) -> bool {
    let mut at_hand = at_hand(left, player_id);
    if place_cuts(&mut at_hand, cuts_mm).is_none() {
        return false;
    }
    for (piece, now) in left.iter_mut().zip(&at_hand) {
        if may_use(piece, player_id) {
            piece.remaining_mm = i64::from(now.length_mm);
        }
    }
    true
}

fn may_use(piece: &StockPiece, player_id: &str) -> bool {
    piece
        .owner_player_id
        .as_deref()
        .is_none_or(|owner| owner == player_id)
}

/// The pieces in the same order; another player's string is as if it were not there.
fn at_hand(rows: &[StockPiece], player_id: &str) -> Vec<PieceAtHand> {
    rows.iter()
        .map(|piece| PieceAtHand {
            length_mm: if may_use(piece, player_id) {
                u32::try_from(piece.remaining_mm).unwrap_or(0)
            } else {
                0
            },
            own: piece.owner_player_id.is_some(),
        })
        .collect()
}

/// Takes the string for an attempt that begins: from the piece whose label was scanned, else
/// from those at hand. What is not in stock, because nobody booked it in, is not booked.
///
/// # Errors
/// [`DeskError::Rule`] where the scanned piece is too short for its cut.
pub fn book(tx: &mut Tx<'_>, sheet: &JobSheet, scanned: &AttemptRecord) -> DeskResult<Vec<BookedString>> {
    let mut booked = Vec::new();
    let mut touched: Vec<StockPiece> = Vec::new();
    let rows = pieces::open(tx.db, tx.tournament())?;
    for need in &sheet.record.needs {
        let (Some(string_id), Some(length_mm)) = (&need.string_id, need.at_least_mm) else {
            continue;
        };
        let mut candidates = of_string(&rows, string_id);
        for piece in &mut candidates {
            if let Some(shorter) = touched.iter().find(|taken| taken.id == piece.id) {
                piece.clone_from(shorter);
            }
        }
        let label = scanned_for(scanned, need.used_for);
        let piece = match candidates
            .iter()
            .find(|piece| piece.label_code.as_deref() == label && label.is_some())
        {
            Some(piece) => {
                long_enough(piece, length_mm, need.used_for)?;
                Some(piece.clone())
            }
            None => place_cuts(&mut at_hand(&candidates, &sheet.job.player_id), &[length_mm])
                .and_then(|from| from.first().and_then(|index| candidates.get(*index)).cloned()),
        };
        let Some(mut piece) = piece else { continue };
        let length_mm = length_mm.min(u32::try_from(piece.remaining_mm).unwrap_or(0));
        piece.remaining_mm -= i64::from(length_mm);
        touched.retain(|other| other.id != piece.id);
        booked.push(BookedString {
            piece_id: piece.id.clone(),
            used_for: need.used_for,
            length_mm,
        });
        touched.push(piece);
    }
    for mut piece in touched {
        settle(tx, &mut piece, &sheet.job.id)?;
    }
    Ok(booked)
}

/// The plan's cuts have changed: each piece gives what more the new cut takes, or gets the rest back.
///
/// # Errors
/// [`DeskError::Rule`] where a piece is too short for its new cut.
pub fn cut_anew(
    tx: &mut Tx<'_>,
    job_id: &str,
    needs: &[StringNeed],
    booked: &mut [BookedString],
) -> DeskResult<()> {
    for one in booked {
        let need = needs.iter().find(|need| need.used_for == one.used_for);
        let Some(length_mm) = need.and_then(|need| need.at_least_mm) else {
            continue;
        };
        if length_mm == one.length_mm {
            continue;
        }
        let Some(mut piece) = pieces::find(tx.db, tx.tournament(), &one.piece_id)? else {
            continue;
        };
        piece.remaining_mm += i64::from(one.length_mm);
        long_enough(&piece, length_mm, one.used_for)?;
        one.length_mm = length_mm.min(u32::try_from(piece.remaining_mm).unwrap_or(0));
        piece.remaining_mm -= i64::from(one.length_mm);
        settle(tx, &mut piece, job_id)?;
    }
    Ok(())
}

fn scanned_for(scanned: &AttemptRecord, used_for: StockUse) -> Option<&str> {
    match used_for {
        StockUse::Mains | StockUse::Both => scanned.mains.as_deref(),
        StockUse::Crosses => scanned.crosses.as_deref(),
    }
}

fn long_enough(piece: &StockPiece, cut_mm: u32, used_for: StockUse) -> DeskResult<()> {
    if piece.remaining_mm + SCRAP_MM >= i64::from(cut_mm) {
        return Ok(());
    }
    let pointer = match used_for {
        StockUse::Mains | StockUse::Both => "/mains",
        StockUse::Crosses => "/crosses",
    };
    let detail = format!(
        "This piece has {} mm left and the cut takes {cut_mm} mm; take a longer one.",
        piece.remaining_mm
    );
    Err(DeskError::Rule {
        reason: Reason::StringTooShort,
        detail: detail.clone(),
        faults: vec![MemberFault::at(pointer, "string_too_short", detail)],
        insist: None,
    })
}

/// Saves a piece that was cut: an opened set is an offcut from now on, a scrap is closed.
fn settle(tx: &mut Tx<'_>, piece: &mut StockPiece, job_id: &str) -> DeskResult<()> {
    if matches!(piece.kind.as_str(), "set" | "half_set") && piece.remaining_mm < piece.nominal_mm {
        "offcut".clone_into(&mut piece.kind);
    }
    piece.closed_at = (piece.remaining_mm < SHORTEST_REST_MM).then(|| tx.at());
    pieces::save(tx.db, piece)?;
    let data = json!({"string_id": piece.string_id, "job_id": job_id, "remaining_mm": piece.remaining_mm});
    tx.emit("stock.booked", &piece.id, &data)?;
    if piece.closed_at.is_some() {
        let left = pieces::open(tx.db, tx.tournament())?;
        if !left.iter().any(|other| other.string_id == piece.string_id) {
            tx.emit("stock.empty", &piece.string_id, &json!({}))?;
        }
    }
    Ok(())
}

/// How much string is lost when an attempt ends now, by plan and phase: the mains, and with
/// them the crosses once those are begun; `None` where the plan knows no cuts.
#[must_use]
pub fn likely_waste_mm(needs: &[StringNeed], crosses_begun: bool) -> Option<u32> {
    needs
        .iter()
        .filter(|need| crosses_begun || need.used_for != StockUse::Crosses)
        .map(|need| need.at_least_mm)
        .sum()
}

/// An attempt is over early: what was booked and is not lost goes back to its piece, the crosses first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn write_off(tx: &mut Tx<'_>, job_id: &str, booked: &[BookedString], wasted_mm: u32) -> DeskResult<()> {
    let taken: u32 = booked.iter().map(|one| one.length_mm).sum();
    let mut back_mm = taken.saturating_sub(wasted_mm);
    for one in booked.iter().rev() {
        let returned = back_mm.min(one.length_mm);
        back_mm -= returned;
        if returned == 0 {
            continue;
        }
        if let Some(mut piece) = pieces::find(tx.db, tx.tournament(), &one.piece_id)? {
            piece.remaining_mm += i64::from(returned);
            if piece.remaining_mm >= SHORTEST_REST_MM {
                piece.closed_at = None;
            }
            pieces::save(tx.db, &mut piece)?;
            let data = json!({"job_id": job_id, "length_mm": returned, "remaining_mm": piece.remaining_mm});
            tx.emit("stock.given_back", &piece.id, &data)?;
        }
    }
    tx.emit("stock.written_off", job_id, &json!({"length_mm": wasted_mm}))
}

/// The names of strings, for a sentence.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn names(tx: &mut Tx<'_>, ids: &[String]) -> DeskResult<String> {
    let rows = stock::with_ids(tx.db, ids)?;
    let names: Vec<_> = rows.into_iter().map(|row| row.name).collect();
    Ok(names.join(", "))
}
