//! Whether the string at hand is long enough, piece by piece, then the sum.
use crate::string_plan::plan::{Cut, LengthCheck, LengthVerdict};
use crate::string_plan::request::{PlanRequest, StockPiece, StockUse};
use crate::string_plan::sentences::metres;
use crate::string_plan::steps::Piece;

/// A rest below this is told as tight, mm.
const TIGHT_MM: i64 = 300;
/// A starting clamp with a scrap of string reaches this much further, mm (common practice, no source).
const SCRAP_MM: i64 = 80;
/// Mains and crosses of one string are bought as one set.
const MM_PER_M: f64 = 1000.0;

/// The checks of the pieces at hand; of an ordinary set when none is on record.
pub(crate) fn checks(request: &PlanRequest, cuts: &[Cut]) -> Vec<LengthCheck> {
    if request.stock.is_empty() {
        return ordinary_set(request, cuts).into_iter().collect();
    }
    request
        .stock
        .iter()
        .filter_map(|piece| Some(check(piece, needed(piece.used_for, cuts)?)))
        .collect()
}

fn needed(used_for: StockUse, cuts: &[Cut]) -> Option<u32> {
    let wanted = |cut: &&Cut| match used_for {
        StockUse::Mains => cut.piece == Piece::Mains,
        StockUse::Crosses => cut.piece == Piece::Crosses,
        StockUse::Both => true,
    };
    let mut lengths = cuts.iter().filter(wanted).map(|cut| cut.at_least_mm).peekable();
    lengths.peek()?;
    lengths.sum()
}

fn check(piece: &StockPiece, needed_mm: u32) -> LengthCheck {
    let (verdict, rest_mm) = verdict(piece.length_mm, needed_mm);
    LengthCheck {
        kind: Some(piece.kind),
        used_for: piece.used_for,
        length_mm: piece.length_mm,
        needed_mm,
        rest_mm,
        verdict,
        text: text(verdict, piece.length_mm, needed_mm, rest_mm),
    }
}

fn verdict(length_mm: u32, needed_mm: u32) -> (LengthVerdict, i64) {
    let rest = i64::from(length_mm) - i64::from(needed_mm);
    let verdict = match rest {
        rest if rest >= TIGHT_MM => LengthVerdict::Enough,
        0.. => LengthVerdict::Tight,
        rest if rest >= -SCRAP_MM => LengthVerdict::ExtendTail,
        _ => LengthVerdict::TooShort,
    };
    (verdict, rest)
}

fn text(verdict: LengthVerdict, length_mm: u32, needed_mm: u32, rest_mm: i64) -> String {
    let (length, needed) = (metres(length_mm), metres(needed_mm));
    match verdict {
        LengthVerdict::Enough => format!(
            "{needed} of {length}: {} rest.",
            metres(length_mm.saturating_sub(needed_mm))
        ),
        LengthVerdict::Tight => format!("{needed} of {length}: only {rest_mm} mm rest."),
        LengthVerdict::ExtendTail => format!(
            "{needed} of {length}: {} mm short; extend the tail with a starting clamp and a scrap of string.",
            -rest_mm
        ),
        LengthVerdict::TooShort => format!("{needed} of {length}: {} mm too short.", -rest_mm),
    }
}

/// One ordinary set for the whole job, when both directions take the same string.
fn ordinary_set(request: &PlanRequest, cuts: &[Cut]) -> Option<LengthCheck> {
    let (mains, crosses) = (&request.spec.mains.string, &request.spec.crosses.string);
    if mains.name != crosses.name || mains.material != crosses.material || mains.gauge_mm != crosses.gauge_mm
    {
        return None;
    }
    let needed_mm = needed(StockUse::Both, cuts)?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a set is some ten metres"
    )]
    let length_mm = (request.frame.sport.defaults().set_m * MM_PER_M) as u32;
    let (verdict, rest_mm) = verdict(length_mm, needed_mm);
    Some(LengthCheck {
        kind: None,
        used_for: StockUse::Both,
        length_mm,
        needed_mm,
        rest_mm,
        verdict,
        text: format!(
            "An ordinary set: {}",
            text(verdict, length_mm, needed_mm, rest_mm)
        ),
    })
}
