//! What a player usually brings, and what is assumed of players who were not here yet.
use crate::chance::Chance;
use crate::dispatch::problem::Attributes;

/// Rackets of one player for one singles match beyond the first: an assumption.
const MORE_IN_SINGLES: f64 = 1.5;
/// The same in doubles: an assumption.
const MORE_IN_DOUBLES: f64 = 0.5;
/// Days of the assumption that a player's own days are weighed against.
const WEIGHT_OF_USUAL: f64 = 2.0;
/// Seconds of stringing by racket. Common practice, no source.
const USUAL_BASE_S: [i64; 3] = [870, 960, 1080];
/// Two strings take longer. Common practice, no source.
const HYBRID_S: i64 = 60;
/// Different strings, frames and tensions among rackets of which nothing is known: an assumption.
const KINDS: usize = 20;

/// String that one racket takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StringAsked {
    /// Its number in the caller's list.
    pub string: usize,
    /// How much, mm.
    pub length_mm: i64,
}

/// A racket as the dispatcher sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RacketKind {
    /// Seconds of stringing at a pace of 1000 per mille.
    pub base_s: i64,
    /// Whether its method frees a clamp.
    pub swivel: bool,
    /// What it needs on the machine.
    pub needs: Attributes,
    /// The strings it takes; none where they are not known.
    pub strings: Vec<StringAsked>,
}

/// One player's way.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Habit {
    /// Rackets for one match, the mean; none: as players usually do.
    pub per_match: Option<f64>,
    /// Their rackets; none: like anybody's.
    pub kinds: Vec<RacketKind>,
    /// Index of the station they belong to.
    pub home: Option<usize>,
}

/// Rackets for a match, the mean, of a player who is not known.
#[must_use]
pub const fn usual_per_match(doubles: bool) -> f64 {
    1.0 + if doubles { MORE_IN_DOUBLES } else { MORE_IN_SINGLES }
}

/// The mean of a player who brought `rackets` on `days` days with a racket: their own days against
/// two days of the usual, so that one day does not decide.
#[must_use]
pub fn learned_per_match(rackets: f64, days: f64) -> f64 {
    WEIGHT_OF_USUAL.mul_add(usual_per_match(false), rackets) / (WEIGHT_OF_USUAL + days)
}

impl Habit {
    /// How many rackets come for one match: one, and a Poisson number more.
    pub(super) fn draw_count(&self, doubles: bool, chance: &mut Chance) -> usize {
        let mean = self.per_match.unwrap_or_else(|| usual_per_match(doubles));
        if mean < 1.0 {
            return usize::from(chance.unit() < mean);
        }
        1 + poisson(mean - 1.0, chance)
    }
}

/// A Poisson number, by multiplying unit draws (Knuth).
fn poisson(mean: f64, chance: &mut Chance) -> usize {
    let limit = (-mean).exp();
    let (mut product, mut count) = (chance.unit(), 0);
    while product > limit && count < 100 {
        product *= chance.unit();
        count += 1;
    }
    count
}

/// A racket of which nothing is known.
pub(super) fn unknown_kind(chance: &mut Chance) -> RacketKind {
    // numbers below zero are nobody's, so nothing known is taken for the same
    let mut number = |kinds: usize| -1 - i64::try_from(chance.below(kinds)).unwrap_or(0);
    let needs = Attributes {
        main: number(KINDS),
        cross: number(KINDS),
        pattern: number(KINDS),
        mount: number(3),
        tension: number(KINDS),
    };
    let hybrid = if needs.main == needs.cross { 0 } else { HYBRID_S };
    RacketKind {
        base_s: USUAL_BASE_S[chance.below(USUAL_BASE_S.len())] + hybrid,
        swivel: false,
        needs,
        strings: Vec::new(),
    }
}
