//! How long whole matches take, in minutes from first to last point.
use std::collections::HashMap;
use std::sync::Arc;

use super::distribution::Distribution;
use super::format::MatchFormat;
use super::known_sets::KnownSets;
use super::live::{Remaining, remaining};
use super::play::play_knowing;
use super::players::{Strengths, normal_nodes};
use super::score::{LiveScore, ScoreFault};
use super::tempo::Tempo;

/// What the length of a match depends on before it has begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatchKind {
    /// How it is won.
    pub format: MatchFormat,
    /// Who plays.
    pub strengths: Strengths,
    /// How fast.
    pub tempo: Tempo,
}

/// Shares of matches that do not take their course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// Matches that are never begun: an assumption of one in a hundred.
    pub walkover: f64,
    /// Matches that end anywhere on their way: an assumption of three in a hundred.
    pub retirement: f64,
}

impl Default for Chances {
    fn default() -> Self {
        Self {
            walkover: 0.01,
            retirement: 0.03,
        }
    }
}

impl Chances {
    /// Every match is begun and played to its end.
    pub const NONE: Self = Self {
        walkover: 0.0,
        retirement: 0.0,
    };
}

/// Tails below this share of a length are folded together.
pub const TAIL: f64 = 1e-5;

/// Minutes that matches of this kind take, all of them played to the end.
///
/// A mixture over means, differences and tempos by Gauss-Hermite quadrature (3, 9 and 7
/// points). Who of two unequal players is the better one does not change the length, so half the
/// differences are enough.
#[must_use]
pub fn whole_match(kind: &MatchKind) -> Distribution {
    let mut sum = Distribution::default();
    let mut sets = KnownSets::default();
    for pair in kind.strengths.pairs(3, 9) {
        if pair.p < pair.q {
            continue;
        }
        let share = if pair.p > pair.q {
            2.0 * pair.weight
        } else {
            pair.weight
        };
        for (z, weight) in normal_nodes(7) {
            let tempo = Tempo {
                point_s: kind.tempo.point_s * z.mul_add(kind.tempo.variation, 1.0).max(0.3),
                variation: 0.0,
            };
            let course = play_knowing(pair.p, pair.q, &kind.format, None, &tempo.clock(), &mut sets);
            sum.add(&course.length(), share * weight);
        }
    }
    let total = sum.total();
    sum.scaled(1.0 / total).trimmed(TAIL)
}

/// A length of which the share `retirement` is cut short anywhere on its way.
#[must_use]
pub fn with_retirements(length: &Distribution, retirement: f64) -> Distribution {
    let mut mixed = length.clone().scaled(1.0 - retirement);
    if retirement > 0.0 {
        mixed.add(&length.cut_short(), retirement);
    }
    mixed
}

/// Lengths by kind: each is computed once, for it takes many thousand times longer than its use.
#[derive(Debug, Default, Clone)]
pub struct Lengths {
    known: HashMap<String, Arc<Distribution>>,
    live: HashMap<String, Arc<Remaining>>,
}

fn key(kind: &MatchKind, retirement: f64) -> String {
    format!("{kind:?} {retirement}")
}

/// So many scores are remembered; then all are forgotten, for old ones do not come again.
const SCORES_KEPT: usize = 500;

impl Lengths {
    /// The length of matches of this kind, retirements included.
    pub fn of(&mut self, kind: &MatchKind, retirement: f64) -> Arc<Distribution> {
        let length = self
            .known
            .entry(key(kind, retirement))
            .or_insert_with(|| Arc::new(Self::computed(kind, retirement)));
        Arc::clone(length)
    }

    /// Whether the length of matches of this kind was computed before.
    #[must_use]
    pub fn knows(&self, kind: &MatchKind, retirement: f64) -> bool {
        self.known.contains_key(&key(kind, retirement))
    }

    /// Keeps a length that [`Self::computed`] gave.
    pub fn keep(&mut self, kind: &MatchKind, retirement: f64, length: Distribution) {
        self.known.insert(key(kind, retirement), Arc::new(length));
    }

    /// The length of matches of this kind, retirements included, computed anew.
    #[must_use]
    pub fn computed(kind: &MatchKind, retirement: f64) -> Distribution {
        with_retirements(&whole_match(kind), retirement).trimmed(TAIL)
    }

    /// What is left of a match of this kind, as [`remaining`] computes it.
    ///
    /// # Errors
    /// [`ScoreFault`] when a match of this kind cannot have the score.
    pub fn remaining(
        &mut self,
        kind: &MatchKind,
        score: &LiveScore,
        playing_s: Option<f64>,
    ) -> Result<Arc<Remaining>, ScoreFault> {
        let key = format!("{kind:?} {score:?} {playing_s:?}");
        if let Some(known) = self.live.get(&key) {
            return Ok(Arc::clone(known));
        }
        if self.live.len() >= SCORES_KEPT {
            self.live.clear();
        }
        let left = Arc::new(remaining(kind, score, playing_s)?);
        self.live.insert(key, Arc::clone(&left));
        Ok(left)
    }
}

#[cfg(test)]
mod tests {
    use super::super::format::named;
    use super::super::players::PlayerMix;
    use super::super::tempo::Surface;
    use super::*;
    use crate::sport::Sport;

    fn kind(format: &str, sport: Sport, mix: PlayerMix) -> MatchKind {
        MatchKind {
            format: named(format).unwrap(),
            strengths: mix.strengths(),
            tempo: Tempo::usual(sport, Surface::Hard, mix),
        }
    }

    /// Mean, sd, q05, q50, q95 in minutes as a program of another author gave them for the same assumptions.
    #[test]
    fn the_usual_lengths_agree_with_an_independent_computation() {
        for (format, sport, mix, expected) in [
            (
                "bo5_tb",
                Sport::Tennis,
                PlayerMix::Men,
                [148.0, 46.0, 87.0, 140.0, 234.0],
            ),
            (
                "bo3_tb",
                Sport::Tennis,
                PlayerMix::Women,
                [89.0, 30.0, 51.0, 82.0, 146.0],
            ),
            (
                "dbl_noad_mtb10",
                Sport::Tennis,
                PlayerMix::Doubles,
                [78.0, 16.0, 54.0, 77.0, 107.0],
            ),
            (
                "short4",
                Sport::Tennis,
                PlayerMix::Club,
                [52.0, 19.0, 28.0, 49.0, 89.0],
            ),
            (
                "bad_3x21",
                Sport::Badminton,
                PlayerMix::Badminton,
                [45.0, 12.0, 31.0, 42.0, 65.0],
            ),
            (
                "sq_bo5_11",
                Sport::Squash,
                PlayerMix::Squash,
                [41.0, 11.0, 26.0, 41.0, 60.0],
            ),
        ] {
            let length = whole_match(&kind(format, sport, mix));
            let quantile = |alpha: f64| length.quantile(alpha) as f64;
            let ours = [
                length.mean(),
                length.variance().sqrt(),
                quantile(0.05),
                quantile(0.5),
                quantile(0.95),
            ];
            for (ours, expected) in ours.iter().zip(expected) {
                assert!((ours - expected).abs() <= 1.5, "{format}: {ours} for {expected}");
            }
        }
    }

    #[test]
    fn retirements_shorten_the_mean_by_half_their_share() {
        let length = Distribution::from_pairs(&[(100, 1.0)]);
        let mixed = with_retirements(&length, 0.04);
        assert!((mixed.mean() - 98.0).abs() < 1e-9);
        assert!((mixed.total() - 1.0).abs() < 1e-12);
    }
}
