//! Sentences: what is read back to the player, and what was understood so far.
use crate::spec::Pieces;
use crate::tension::Tension;
use crate::wishes::RacketWish;
use crate::wishes::grammar::{Amount, Said, SaidRacket};

/// The wish in one sentence that can itself be resolved.
pub(crate) fn read_back(rackets: &[RacketWish], pieces: Option<Pieces>, remark: Option<&str>) -> String {
    let mut sentences: Vec<String> = match rackets {
        [one] => vec![capital(&tensions(one))],
        many => (1..)
            .zip(many)
            .map(|(number, racket)| format!("Racket {number}: {}", tensions(racket)))
            .collect(),
    };
    sentences.extend(pieces.map(|pieces| capital(pieces_text(pieces))));
    let text = sentences.join(". ");
    match remark {
        Some(remark) => format!("{text}; {remark}"),
        None => format!("{text}."),
    }
}

/// "mains 24 kg, crosses 23 kg".
pub(crate) fn tensions(racket: &RacketWish) -> String {
    if racket.mains == racket.crosses {
        format!("mains and crosses {}", tension(&racket.mains))
    } else {
        format!(
            "mains {}, crosses {}",
            tension(&racket.mains),
            tension(&racket.crosses)
        )
    }
}

/// "24 kg".
pub(crate) fn tension(tension: &Tension) -> String {
    format!("{} {}", tension.value(), tension.unit().symbol())
}

/// "two pieces, four knots".
pub(crate) fn pieces_text(pieces: Pieces) -> &'static str {
    match pieces {
        Pieces::One => "one piece, two knots",
        Pieces::Two => "two pieces, four knots",
    }
}

/// What was said so far, if anything; `of_now`: a change counts from what is asked for now.
pub(crate) fn understood(said: &Said, of_now: bool) -> Option<String> {
    let mut parts: Vec<String> = said.rackets.iter().filter_map(said_tensions).collect();
    parts.extend(
        said.same
            .then(|| "as last time".to_owned())
            .into_iter()
            .chain(said.changes.iter().map(|change| {
                let way = if change.up { "up" } else { "down" };
                let from = if of_now { "" } else { " on last time" };
                format!("{} {way}{from}", amount(&change.amount))
            }))
            .chain(said.pieces.map(|pieces| pieces_text(pieces).to_owned())),
    );
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn said_tensions(racket: &SaidRacket) -> Option<String> {
    match (&racket.mains, &racket.crosses) {
        (Some(mains), Some(crosses)) => Some(format!("mains {}, crosses {}", amount(mains), amount(crosses))),
        (Some(mains), None) => Some(format!("mains {}", amount(mains))),
        (None, Some(crosses)) => Some(format!("crosses {}", amount(crosses))),
        (None, None) => None,
    }
}

/// "24 kg", or "24" where no unit was said.
pub(crate) fn amount(amount: &Amount) -> String {
    match amount.unit {
        Some(unit) => format!("{} {}", amount.text, unit.symbol()),
        None => amount.text.clone(),
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs
        .next()
        .map(|first| first.to_uppercase().chain(signs).collect())
        .unwrap_or_default()
}
