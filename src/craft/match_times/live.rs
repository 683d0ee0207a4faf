//! A match under way: how long it still takes, and who wins.
use super::distribution::Distribution;
use super::format::MatchFormat;
use super::known_sets::KnownSets;
use super::length::MatchKind;
use super::play::play_knowing;
use super::players::{Pair, normal_nodes};
use super::rally_game::chance_of_points;
use super::score::{LiveScore, ScoreFault};
use super::set::{SetRules, chance_of_games};
use super::tempo::{POINTS_PER_GAME, Tempo, rests_s};

/// What is left of a match after its last reported score.
#[derive(Debug, Clone, PartialEq)]
pub struct Remaining {
    /// Minutes to the last point.
    pub minutes: Distribution,
    /// The chance that side 1 wins.
    pub side_one_wins: f64,
}

/// Differences between players that are told apart during a match.
const DIFFERENCES: usize = 5;
/// Tempos that are told apart during a match.
const TEMPOS: usize = 3;
/// Mean of the minutes that a match goes on which has left its table: an assumption.
const BEYOND_MIN: f64 = 6.0;

/// The rest of a match from `score`, reached in `playing_s` seconds of play if that is known.
///
/// Players are weighed by how likely the sets and games so far are for them; the
/// tempo moves towards what was seen. Other tempos stretch the time axis.
///
/// # Errors
/// [`ScoreFault`] when a match of this kind cannot have the score.
pub fn remaining(
    kind: &MatchKind,
    score: &LiveScore,
    playing_s: Option<f64>,
) -> Result<Remaining, ScoreFault> {
    let standing = score.standing(&kind.format)?;
    let tempo = playing_s.map_or(kind.tempo, |seconds| seen_tempo(kind, score, seconds));
    let clock = Tempo {
        variation: 0.0,
        ..tempo
    }
    .clock();
    let pairs = weighed(kind, score);
    let mut minutes = Distribution::default();
    let mut side_one_wins = 0.0;
    let mut sets = KnownSets::default();
    for pair in pairs {
        let course = play_knowing(pair.p, pair.q, &kind.format, Some(&standing), &clock, &mut sets);
        side_one_wins += pair.weight * course.chance_of_a();
        minutes.add(&course.length(), pair.weight);
    }
    let mut spread = Distribution::default();
    for (z, weight) in normal_nodes(TEMPOS) {
        spread.add(
            &minutes.stretched(z.mul_add(tempo.variation, 1.0).max(0.3)),
            weight,
        );
    }
    let total = spread.total();
    Ok(Remaining {
        minutes: spread.scaled(1.0 / total).trimmed(super::length::TAIL),
        side_one_wins,
    })
}

/// Pairs of players, weighed by the score so far.
fn weighed(kind: &MatchKind, score: &LiveScore) -> Vec<Pair> {
    let mut pairs = kind.strengths.pairs(1, DIFFERENCES);
    for pair in &mut pairs {
        pair.weight *= likelihood(pair, &kind.format, score);
    }
    let total: f64 = pairs.iter().map(|pair| pair.weight).sum();
    if total <= 0.0 {
        return kind.strengths.pairs(1, DIFFERENCES);
    }
    for pair in &mut pairs {
        pair.weight /= total;
    }
    pairs
}

/// How likely these sets and games are, whoever served first in each.
fn likelihood(pair: &Pair, format: &MatchFormat, score: &LiveScore) -> f64 {
    let either = |chance: &dyn Fn(bool) -> f64| f64::midpoint(chance(true), chance(false));
    match format {
        MatchFormat::Sets(sets) => {
            let rules = SetRules::of(sets, false);
            let of = |games: [u8; 2]| either(&|first| chance_of_games(pair.p, pair.q, &rules, games, first));
            score.sets.iter().map(|set| of(*set)).product::<f64>() * of(score.games)
        }
        MatchFormat::Rally(rally) => {
            let of =
                |points: [u8; 2]| either(&|first| chance_of_points(pair.p, pair.q, rally, points, first));
            score.sets.iter().map(|game| of(*game)).product::<f64>() * of(score.points)
        }
    }
}

/// The tempo after the points so far, counted by games where points are not reported.
fn seen_tempo(kind: &MatchKind, score: &LiveScore, playing_s: f64) -> Tempo {
    let sum = |pairs: &[[u8; 2]]| -> f64 { pairs.iter().map(|[a, b]| f64::from(*a) + f64::from(*b)).sum() };
    let (points, rests) = match kind.format {
        MatchFormat::Sets(_) => (
            (sum(&score.sets) + sum(&[score.games])).mul_add(POINTS_PER_GAME, sum(&[score.points])),
            rests_s(&score.sets, score.games),
        ),
        MatchFormat::Rally(rally) => {
            let games = score.sets.len() as f64;
            let rest = if rally.mid.is_some() { rally.mid_s } else { 0.0 };
            (
                sum(&score.sets) + sum(&[score.points]),
                games * (rally.brk_s + rest),
            )
        }
    };
    kind.tempo.after(points, playing_s - rests)
}

/// `length` given that it is more than `elapsed`; once beyond all it can be, a geometric rest.
///
/// The answer counts from the same moment as `length` does.
#[must_use]
pub fn given_elapsed(length: &Distribution, elapsed: i64) -> Distribution {
    length.given_above(elapsed).unwrap_or_else(|| beyond(elapsed))
}

fn beyond(elapsed: i64) -> Distribution {
    let each = 1.0 / BEYOND_MIN;
    let mut left = 1.0;
    let mut mass = Vec::new();
    while left > super::length::TAIL {
        mass.push(left * each);
        left *= 1.0 - each;
    }
    if let Some(last) = mass.last_mut() {
        *last += left;
    }
    Distribution::from_masses(elapsed + 1, mass)
}

#[cfg(test)]
mod tests {
    use super::super::format::named;
    use super::super::players::PlayerMix;
    use super::super::tempo::Surface;
    use super::*;
    use crate::sport::Sport;

    fn kind() -> MatchKind {
        MatchKind {
            format: named("bo3_tb").unwrap(),
            strengths: PlayerMix::Men.strengths(),
            tempo: Tempo::usual(Sport::Tennis, Surface::Hard, PlayerMix::Men),
        }
    }

    fn score(sets: &[[u8; 2]], games: [u8; 2]) -> LiveScore {
        LiveScore {
            sets: sets.to_vec(),
            games,
            server: Some(1),
            ..LiveScore::default()
        }
    }

    #[test]
    fn the_side_that_leads_is_likely_the_better_one() {
        let even = remaining(&kind(), &score(&[], [0, 0]), None).unwrap();
        let ahead = remaining(&kind(), &score(&[[6, 1]], [3, 0]), None).unwrap();
        assert!((even.side_one_wins - 0.5).abs() < 1e-6);
        assert!(ahead.side_one_wins > 0.95, "{}", ahead.side_one_wins);
        assert!(ahead.minutes.mean() < 35.0, "{}", ahead.minutes.mean());
    }

    #[test]
    fn a_slow_match_stays_slow() {
        let usual = remaining(&kind(), &score(&[[6, 4]], [0, 0]), None).unwrap();
        // 64 points in 75 min with 380 s of rests: 65 s a point, twice the usual
        let slow = remaining(&kind(), &score(&[[6, 4]], [0, 0]), Some(4500.0)).unwrap();
        assert!(slow.minutes.mean() > 1.5 * usual.minutes.mean());
    }

    #[test]
    fn beyond_the_table_a_match_goes_on_for_six_minutes_on_average() {
        let rest = given_elapsed(&Distribution::certain(100), 130);
        assert_eq!(rest.first(), 131);
        assert!((rest.mean() - 136.0).abs() < 0.01, "{}", rest.mean());
    }
}
