//! Wishes as they are spoken over the counter: "24/23", "52", "24 and a half",
//! "one kilo down on last time", "one each at 24, 25 and 26", "two knots".
//!
//! A wish is resolved to tensions with their units and read back in a sentence
//! that is itself such a wish. Nothing is guessed: where the unit or the tension
//! is open, the answer is a question with choices. Whatever stands behind a
//! semicolon is a remark and is kept word for word.
mod grammar;
mod read_back;
mod resolve;
mod words;

use serde::Serialize;
use utoipa::ToSchema;

use crate::spec::{Pieces, Spec};
use crate::sport::Sport;
use crate::tension::{Tension, TensionUnit};
use crate::text_enum::text_enum;

pub use resolve::is_plausible;

/// The most rackets in one wish.
pub const MOST_RACKETS: usize = 20;
/// The most characters before the remark; the longest sentence that is read back has fewer.
pub const MOST_CHARACTERS: usize = 1_500;
/// The most characters of the remark.
pub const MOST_REMARK_CHARACTERS: usize = 500;

/// What is known before the player speaks.
#[derive(Debug, Clone, Copy)]
pub struct WishContext<'a> {
    /// The racket's sport.
    pub sport: Sport,
    /// The unit in which this player speaks of tension, if remembered.
    pub usual_unit: Option<TensionUnit>,
    /// The unit that was chosen for this very wish, beside its words.
    pub chosen_unit: Option<TensionUnit>,
    /// How this player's racket was strung last, if known.
    pub last: Option<&'a Spec>,
    /// What is asked for now, where that is to change: a change counts from it unless it names last time.
    pub now: Option<&'a Spec>,
}

/// What became of a wish.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum WishAnswer {
    /// It is clear.
    Resolved(ResolvedWish),
    /// Somebody has to be asked first.
    Needs(Needs),
}

/// A wish in numbers, to be read back to the player.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ResolvedWish {
    /// The wish in the player's words.
    pub as_said: String,
    /// One entry per racket; a single one where the wish does not tell rackets apart.
    pub rackets: Vec<RacketWish>,
    /// One piece ("two knots") or two ("four knots"), if said: common practice, no source.
    pub pieces: Option<Pieces>,
    /// What stood behind a semicolon, word for word.
    pub remarks: Vec<String>,
    /// What to look at twice before the racket goes to the bench.
    pub cautions: Vec<String>,
    /// The sentence to read back; resolved again it gives the same tensions.
    pub read_back: String,
}

/// The tensions of one racket.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct RacketWish {
    /// The mains.
    pub mains: Tension,
    /// The crosses.
    pub crosses: Tension,
}

text_enum! {
    /// What a wish leaves open.
    pub enum Missing, "open question of a wish" {
        /// Kilograms, pounds or newtons.
        Unit = "unit",
        /// A tension, or that of the mains or the crosses.
        Tension = "tension",
        /// How it was strung last time.
        LastSpec = "last_spec",
        /// Whether a comma parts two numbers or the decimals.
        Comma = "comma",
    }
}

/// A question to the player.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Needs {
    /// What is open.
    pub what: Missing,
    /// The question, to be asked as it stands.
    pub question: String,
    /// The answers at hand; none where only the player can tell.
    pub choices: Vec<Choice>,
    /// What was understood so far, if anything.
    pub understood: Option<String>,
}

/// One answer to a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Choice {
    /// The answer in a word or two.
    pub label: String,
    /// The whole wish with this answer, to be resolved in place of the first.
    pub wish: String,
}

/// Why a wish cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{trouble} {}{way_out}", .understood.as_ref().map(|what| format!("Understood: {what}. ")).unwrap_or_default())]
pub struct WishFault {
    /// What was understood before it, if anything.
    pub understood: Option<String>,
    /// What is wrong, a sentence.
    pub trouble: String,
    /// What to write in its place, a sentence.
    pub way_out: String,
}

/// What stops the reading of a wish.
#[derive(Debug)]
pub(crate) enum Stop {
    /// It cannot be read.
    Fault(WishFault),
    /// Somebody has to be asked.
    Ask(Needs),
}

impl Stop {
    fn fault(trouble: impl Into<String>, way_out: impl Into<String>) -> Self {
        Self::Fault(WishFault {
            understood: None,
            trouble: trouble.into(),
            way_out: way_out.into(),
        })
    }

    /// Adds what was understood before the reading stopped.
    fn having_understood(self, what: Option<String>) -> Self {
        match self {
            Self::Fault(fault) => Self::Fault(WishFault {
                understood: fault.understood.or(what),
                ..fault
            }),
            Self::Ask(needs) => Self::Ask(Needs {
                understood: needs.understood.or(what),
                ..needs
            }),
        }
    }
}

/// Resolves a wish as spoken to tensions, or tells what to ask.
///
/// # Errors
/// A [`WishFault`] that says what was understood and how to write the rest.
pub fn resolve_wish(text: &str, context: &WishContext<'_>) -> Result<WishAnswer, WishFault> {
    match resolve::resolve(text, context) {
        Ok(wish) => Ok(WishAnswer::Resolved(wish)),
        Err(Stop::Ask(needs)) => Ok(WishAnswer::Needs(needs)),
        Err(Stop::Fault(fault)) => Err(fault),
    }
}

#[cfg(test)]
mod tests;
