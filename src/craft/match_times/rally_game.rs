//! A game in which every rally is a point and its winner serves next.
use super::distribution::Distribution;
use super::format::RallyFormat;
use super::game::{NEGLIGIBLE, PointsLeft, gather};

/// No game is followed for longer.
const LONGEST: u16 = 2_000;

/// The rest of a game from the points `from` of A and B; `a_serves` the next rally.
///
/// `p` and `q` are A's and B's chances of winning a rally on their own serve.
#[must_use]
pub fn rally_game(p: f64, q: f64, format: &RallyFormat, from: [u8; 2], a_serves: bool) -> PointsLeft {
    let mut left = PointsLeft::default();
    let (target, cap) = (u16::from(format.pts), format.cap.map(u16::from));
    let wins = |one: u16, other: u16| cap == Some(one) || (one >= target && one >= other + 2);
    let mut played = u16::from(from[0]) + u16::from(from[1]);
    let mut states = vec![((u16::from(from[0]), a_serves), 1.0)];
    let mut points = 0;
    while !states.is_empty() && played < LONGEST {
        played += 1;
        points += 1;
        let mut next = Vec::with_capacity(states.len() + 2);
        for ((a, a_serves), mass) in states {
            let chance = if a_serves { p } else { 1.0 - q };
            for (a, a_won, share) in [(a + 1, true, chance), (a, false, 1.0 - chance)] {
                let (b, mass) = (played - a, mass * share);
                if wins(a, b) {
                    left.won.put(points, mass);
                } else if wins(b, a) {
                    left.lost.put(points, mass);
                } else {
                    gather(&mut next, (a, a_won), mass);
                }
            }
        }
        next.retain(|(_, mass)| *mass > NEGLIGIBLE);
        states = next;
    }
    left
}

/// The chance that the game passes through the points `at`, from its beginning.
#[must_use]
pub fn chance_of_points(p: f64, q: f64, format: &RallyFormat, at: [u8; 2], a_serves: bool) -> f64 {
    let total = u16::from(at[0]) + u16::from(at[1]);
    let reached = (0..total).fold(vec![((0_u16, a_serves), 1.0)], |states, played| {
        let mut next = Vec::with_capacity(states.len() + 2);
        for ((a, a_serves), mass) in states {
            let b = played - a;
            let over = |one: u16, other: u16| {
                format.cap.map(u16::from) == Some(one) || (one >= u16::from(format.pts) && one >= other + 2)
            };
            if over(a, b) || over(b, a) {
                continue;
            }
            let chance = if a_serves { p } else { 1.0 - q };
            gather(&mut next, (a + 1, true), mass * chance);
            gather(&mut next, (a, false), mass * (1.0 - chance));
        }
        next
    });
    reached
        .iter()
        .filter(|((a, _), _)| *a == u16::from(at[0]))
        .map(|(_, mass)| mass)
        .sum()
}

/// Points left, whoever wins, for a game that has not begun.
#[must_use]
pub fn length(p: f64, q: f64, format: &RallyFormat, a_serves: bool) -> Distribution {
    rally_game(p, q, format, [0, 0], a_serves).whoever_wins()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::format::{MatchFormat, named};
    use super::*;

    fn format(name: &str) -> RallyFormat {
        match named(name) {
            Some(MatchFormat::Rally(format)) => format,
            other => panic!("{other:?}"),
        }
    }

    fn binomial(n: u32, k: u32) -> f64 {
        (0..k).map(|i| f64::from(n - i) / f64::from(i + 1)).product()
    }

    proptest! {
        /// Negative binomial up to two short of the target, then pairs of rallies.
        #[test]
        fn a_constant_chance_gives_the_closed_form(p in 0.3_f64..0.7) {
            let n = 11_u32;
            let r = 1.0 - p;
            let straight: f64 = (0..=n - 2).map(|k| binomial(n - 1 + k, k) * p.powi(11) * r.powi(k.cast_signed())).sum();
            let even = binomial(2 * n - 2, n - 1) * (p * r).powi(10);
            let exact = straight + even * p * p / (1.0 - 2.0 * p * r);
            let ours = rally_game(p, 1.0 - p, &format("sq_bo5_11"), [0, 0], true).won.total();
            prop_assert!((ours - exact).abs() < 1e-7);
        }
    }

    #[test]
    fn at_the_cap_one_point_decides() {
        let left = rally_game(0.5, 0.5, &format("bad_3x21"), [29, 29], true);
        assert!((left.won.at(1) - 0.5).abs() < 1e-15 && (left.lost.at(1) - 0.5).abs() < 1e-15);
    }

    #[test]
    fn the_chances_of_all_last_scores_sum_to_one() {
        let squash = format("sq_bo5_11");
        let ends: f64 = (0..=9)
            .flat_map(|k| [[11, k], [k, 11]])
            .map(|at| chance_of_points(0.55, 0.5, &squash, at, true))
            .sum();
        let tie = chance_of_points(0.55, 0.5, &squash, [10, 10], true);
        assert!((ends + tie - 1.0).abs() < 1e-12);
    }
}
